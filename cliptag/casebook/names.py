"""Names: of folders and files that every system takes, and as they are compared in a search."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from pathlib import PurePath
from typing import Final

_FORBIDDEN: Final = re.compile(r'[<>:"/\\|?*\x00-\x1f\x7f]')
_RESERVED: Final = re.compile(r"(?i)^(con|prn|aux|nul|com\d|lpt\d)(\.|$)")
_LONGEST_BYTES: Final = 120
OTHER_WEEK: Final = "no-week"
TAKE_HOME: Final = ".take-home"


def safe_name(name: str) -> str:
    """A name as a file's: readable, and allowed on Linux, macOS and Windows.

    The rules are those of "Naming Files, Paths, and Namespaces" in Microsoft's documentation,
    from memory.
    """
    name = _FORBIDDEN.sub("_", unicodedata.normalize("NFC", name)).strip(" .")
    stem, suffix = PurePath(name).stem, PurePath(name).suffix
    while len((stem + suffix).encode()) > _LONGEST_BYTES:
        stem, suffix = (stem[:-1], suffix) if len(suffix) < 12 else (name[:_LONGEST_BYTES], "")
    name = (stem + suffix).strip(" .") or "_"
    return f"_{name}" if _RESERVED.match(name) else name


def free_name(name: str, is_taken: Callable[[str], bool]) -> str:
    """The name, else the first of ``name-2``, ``name-3`` ... that isn't taken."""
    path, number = PurePath(name), 1
    while is_taken(name):
        number += 1
        name = f"{path.stem}-{number}{path.suffix}"
    return name


def key_of(text: str) -> str:
    """Text as it is compared: case, accents and spaces don't count."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    plain = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return " ".join(plain.casefold().split())


def week_folder(programme_number: int | None, week: int | None) -> str:
    """Where the clips of a week lie, below the client's folder."""
    if week is None:
        return OTHER_WEEK
    name = f"week-{week:02d}"
    return f"programme-{programme_number}/{name}" if (programme_number or 1) > 1 else name
