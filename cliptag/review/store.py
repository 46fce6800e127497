"""A review's file: read strictly, written all or nothing, with backups of earlier versions."""

from __future__ import annotations

import re
import shutil
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

import msgspec

from cliptag.errors import ReviewError, ReviewFormatError, ReviewSchemaError
from cliptag.files import replacing, write_bytes
from cliptag.review.jsonplace import line_of_byte, line_of_path
from cliptag.review.model import SCHEMA_NAME, SCHEMA_NUMBER, Review

SUFFIX: Final = ".review.json"
BACKUPS_KEPT: Final = 5
BACKUP_EVERY_S: Final = 60.0
_BIGGEST_FILE: Final = 256 * 2**20

Migration = Callable[[dict[str, Any]], dict[str, Any]]

MIGRATIONS: Final[Mapping[int, Migration]] = {}
"""For each schema number below the present one: how its tree becomes the next number's."""


class _Head(msgspec.Struct):
    schema: str


def load_review(path: str | Path) -> Review:
    """Read a review file.

    Raises ReviewFormatError, naming the line and the field, for a damaged file;
    ReviewSchemaError for one that a newer program wrote; ReviewError when it can't be read.
    """
    path = Path(path)
    data = _read(path)
    number = _schema_number(path, data)
    if number > SCHEMA_NUMBER:
        raise ReviewSchemaError(
            f"{path.name} was written by a newer cliptag (schema {SCHEMA_NAME}/{number}; this one "
            f"knows up to {SCHEMA_NAME}/{SCHEMA_NUMBER}): update cliptag; the file is as it was."
        )
    try:
        if number == SCHEMA_NUMBER:
            return msgspec.json.decode(data, type=Review)
        return msgspec.convert(_migrate(path, data, number), Review)
    except msgspec.ValidationError as error:
        raise _field_error(path, data, error) from error


def save_review(review: Review, path: str | Path) -> Path:
    """Write a review so that a crash leaves the old file or the new one; gives the path.

    The version that is replaced is kept as a backup (see ``backups_of``), at most one a minute.
    Raises ReviewError when it can't be written or when a newer program wrote the file there.
    """
    path = Path(path)
    data = encode_review(review)
    try:
        if path.exists():
            _refuse_newer(path)
            _back_up(path)
        write_bytes(path, data)
    except OSError as error:
        raise ReviewError(
            f"The review can't be saved to {path}: {error.strerror or error}. "
            "Free some space or choose another folder; the file there is as it was."
        ) from error
    return path


def encode_review(review: Review) -> bytes:
    """A review as the bytes of its file. Raises ReviewError if it isn't sound."""
    try:
        data = msgspec.json.encode(review)
        same = msgspec.json.decode(data, type=Review)
    except (TypeError, msgspec.ValidationError) as error:
        raise ReviewError(f"The review isn't sound and was not saved: {error}.") from error
    if same != review:
        raise ReviewError("The review holds a number that a file can't hold; it was not saved.")
    return msgspec.json.format(data, indent=2) + b"\n"


def backups_of(path: str | Path) -> tuple[Path, ...]:
    """The kept earlier versions of a review file, newest first."""
    path = Path(path)
    return tuple(
        backup for n in range(1, BACKUPS_KEPT + 1) if (backup := _backup(path, n)).exists()
    )


def review_schema() -> dict[str, Any]:
    """The JSON Schema of a review file."""
    return msgspec.json.schema(Review)


def _read(path: Path) -> bytes:
    try:
        if path.stat().st_size > _BIGGEST_FILE:
            raise ReviewError(f"{path.name} is too large for a review: is it another kind of file?")
        return path.read_bytes()
    except FileNotFoundError as error:
        raise ReviewError(f"There is no review at {path}: check the name.") from error
    except OSError as error:
        raise ReviewError(f"{path} can't be read: {error.strerror or error}.") from error


def _schema_number(path: Path, data: bytes) -> int:
    try:
        head = msgspec.json.decode(data, type=_Head)
    except msgspec.ValidationError as error:
        raise _field_error(path, data, error) from error
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        raise _syntax_error(path, data, error) from error
    match = re.fullmatch(rf"{SCHEMA_NAME}/(\d{{1,6}})", head.schema)
    if match is None or match[1] == "0":
        raise ReviewFormatError(
            f"{path.name} is not a review: its schema is {head.schema[:60]!r}, "
            f"not {SCHEMA_NAME}/{SCHEMA_NUMBER}."
        )
    return int(match[1])


def _migrate(path: Path, data: bytes, number: int) -> dict[str, Any]:
    tree: dict[str, Any] = msgspec.json.decode(data)
    while number < SCHEMA_NUMBER:
        try:
            tree = MIGRATIONS[number](tree)
        except (KeyError, TypeError, ValueError) as error:
            raise ReviewSchemaError(
                f"{path.name} is of the old schema {SCHEMA_NAME}/{number} and can't be brought "
                f"up to date ({error}); the file is as it was."
            ) from error
        number += 1
    return tree


def _syntax_error(path: Path, data: bytes, error: Exception) -> ReviewFormatError:
    place = re.search(r"byte (\d+)", str(error))
    line = line_of_byte(data, int(place[1])) if place else line_of_byte(data, len(data))
    return ReviewFormatError(f"{path.name} is damaged at line {line}: {error}. {_what_to_do(path)}")


def _field_error(path: Path, data: bytes, error: Exception) -> ReviewFormatError:
    what, _, field = str(error).partition(" - at `")
    field = field.rstrip("`") or "$"
    line = line_of_path(data.decode("utf-8", "replace"), field)
    where = f"line {line}, field {field.removeprefix('$.')}" if line else f"field {field}"
    return ReviewFormatError(f"{path.name} is damaged at {where}: {what}. {_what_to_do(path)}")


def _what_to_do(path: Path) -> str:
    kept = backups_of(path)
    if kept:
        return f"An earlier version is in {kept[0].name}: rename it to go on from there."
    return "Mend that place in a text editor, or go on from a copy of your own."


def _refuse_newer(path: Path) -> None:
    try:
        number = _schema_number(path, _read(path))
    except ReviewError:
        return  # A damaged file may be replaced: the backup keeps it.
    if number > SCHEMA_NUMBER:
        raise ReviewSchemaError(
            f"{path.name} was written by a newer cliptag and is not overwritten: "
            "update cliptag or save under another name."
        )


def _backup(path: Path, number: int) -> Path:
    return path.with_name(f".{path.name}.{number}")


def _back_up(path: Path) -> None:
    newest = _backup(path, 1)
    if newest.exists() and time.time() - newest.stat().st_mtime < BACKUP_EVERY_S:
        return
    for number in range(BACKUPS_KEPT - 1, 0, -1):
        if _backup(path, number).exists():
            _backup(path, number).replace(_backup(path, number + 1))
    with replacing(newest) as part:
        shutil.copyfile(path, part)
