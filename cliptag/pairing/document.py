"""The pairing's document: which reviews, how they are matched, and what the coach says of both."""

from __future__ import annotations

import os
import re
from pathlib import Path, PurePosixPath
from typing import Annotated, Final, Literal, TypeAlias

import msgspec
from msgspec import Meta, Struct

from cliptag.errors import PairingError
from cliptag.files import write_bytes
from cliptag.review import Kind, MomentName, Region

SCHEMA_NUMBER: Final = 1
SUFFIX: Final = ".pairing.json"

Layout = Literal["side", "above", "over"]
Match = Literal["moments", "true_speed"]
Mirror = Literal["auto", "yes", "no"]
Direction = Literal["less", "more"]

LAYOUTS: Final[tuple[Layout, ...]] = ("side", "above", "over")

_Path: TypeAlias = Annotated[str, Meta(min_length=1, max_length=4096)]
_Name: TypeAlias = Annotated[str, Meta(min_length=1, max_length=120)]
_BIGGEST_FILE: Final = 16 * 2**20


class PairingNote(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the coach says of both at one place of the common axis, 0 to 100 %."""

    percent: Annotated[float, Meta(ge=0, le=100)]
    text: Annotated[str, Meta(min_length=1, max_length=20_000)]
    region: Region = "whole"
    kind: Kind = "seen"


class Pairing(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two reviews or more of one movement; written to ``NAME.pairing.json``.

    ``reviews`` are paths, earliest first, relative to the document where they are near it: the
    first and the last are set side by side, all of them make the trend. ``match`` 'moments'
    stretches each phase of the shorter to the longer; 'true_speed' lets both run as they were
    filmed, together at ``from_moment`` (the first shared one where that is None). ``goals`` tell
    which way a quantity should go, by its name; without one nothing is called better or worse.
    """

    schema: Literal["cliptag-pairing/1"] = "cliptag-pairing/1"
    reviews: Annotated[tuple[_Path, ...], Meta(min_length=2, max_length=500)]
    layout: Layout = "side"
    match: Match = "moments"
    from_moment: MomentName | None = None
    mirror: Mirror = "auto"
    goals: dict[_Name, Direction] = {}
    notes: tuple[PairingNote, ...] = ()


def load_pairing(path: str | Path) -> Pairing:
    """Read a pairing; its review paths come out absolute.

    Raises PairingError when it can't be read, is damaged or is of a newer schema.
    """
    path = Path(path)
    try:
        if path.stat().st_size > _BIGGEST_FILE:
            raise PairingError(f"{path.name} is too large for a pairing: is it another file?")
        data = path.read_bytes()
    except OSError as error:
        raise PairingError(
            f"{path} can't be read: {error.strerror or error}. Check the name."
        ) from error
    try:
        pairing = msgspec.json.decode(data, type=Pairing)
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise _damaged(path, data, error) from error
    home = path.absolute().parent
    found = (os.path.normpath(home / PurePosixPath(name)) for name in pairing.reviews)
    return msgspec.structs.replace(pairing, reviews=tuple(found))


def save_pairing(pairing: Pairing, path: str | Path) -> Path:
    """Write a pairing, all or nothing; gives the path. Raises PairingError."""
    path = Path(path)
    home = path.absolute().parent
    reviews = tuple(_near(Path(name), home) for name in pairing.reviews)
    data = msgspec.json.encode(msgspec.structs.replace(pairing, reviews=reviews))
    try:
        msgspec.json.decode(data, type=Pairing)
        write_bytes(path, msgspec.json.format(data, indent=2) + b"\n")
    except msgspec.ValidationError as error:
        raise PairingError(f"The pairing isn't sound and was not saved: {error}.") from error
    except OSError as error:
        raise PairingError(
            f"The pairing can't be saved to {path}: {error.strerror or error}. "
            "Choose another folder."
        ) from error
    return path


def _near(review: Path, home: Path) -> str:
    try:
        relative = os.path.relpath(review.absolute(), home)
    except ValueError:  # Windows: another drive
        return review.absolute().as_posix()
    is_near = relative.count("..") <= 2
    return (Path(relative) if is_near else review.absolute()).as_posix()


def _damaged(path: Path, data: bytes, error: Exception) -> PairingError:
    newer = re.search(rb'"schema"\s*:\s*"cliptag-pairing/(\d{1,6})"', data[:4096])
    if newer and int(newer[1]) > SCHEMA_NUMBER:
        return PairingError(f"{path.name} was written by a newer cliptag: update cliptag.")
    return PairingError(
        f"{path.name} is not a sound pairing ({error}): mend that place in a text editor, or "
        "compare the two reviews anew."
    )
