"""What the desk remembers from one start to the next: the window's place, and what was open."""

from __future__ import annotations

import base64
import contextlib
from pathlib import Path
from typing import Final, TypeVar

import msgspec
import platformdirs
from msgspec import Struct

from cliptag.files import write_bytes

_MOST_RECENT: Final = 10
_StructT = TypeVar("_StructT", bound=Struct)


class _Kept(Struct, frozen=True):
    recent: tuple[str, ...] = ()
    geometry: str = ""
    uses_casebook: bool = False


class Remembered:
    """Recent files and the window's geometry, in one file; nothing depends on it being there."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path or state_folder() / "window.json"
        self._kept = read_or(self._path, _Kept())

    @property
    def recent(self) -> tuple[Path, ...]:
        """The clips and reviews that were open, the newest first, as far as they still exist."""
        return tuple(path for path in map(Path, self._kept.recent) if path.exists())

    @property
    def geometry(self) -> bytes:
        """What QWidget.saveGeometry gave last; empty at the first start."""
        with contextlib.suppress(ValueError):
            return base64.b64decode(self._kept.geometry, validate=True)
        return b""

    @property
    def uses_casebook(self) -> bool:
        """Whether the desk was in the casebook, or in a clip of it, when it was closed."""
        return self._kept.uses_casebook

    def keep_casebook(self, is_used: bool) -> None:
        """Remember whether the casebook is used."""
        self._keep(msgspec.structs.replace(self._kept, uses_casebook=is_used))

    def read_again(self) -> None:
        """Forget what was taken out of the file meanwhile, as an erased client's clips are."""
        self._kept = read_or(self._path, _Kept())

    def add_recent(self, path: Path) -> None:
        """Put a file at the top of the recent ones."""
        others = (other for other in self._kept.recent if other != str(path))
        recent = (str(path), *others)[:_MOST_RECENT]
        self._keep(msgspec.structs.replace(self._kept, recent=recent))

    def forget_recent(self) -> None:
        """Empty the list of recent files."""
        self._keep(msgspec.structs.replace(self._kept, recent=()))

    def keep_geometry(self, geometry: bytes) -> None:
        """Remember the window's place and size."""
        words = base64.b64encode(geometry).decode()
        self._keep(msgspec.structs.replace(self._kept, geometry=words))

    def _keep(self, kept: _Kept) -> None:
        if kept != self._kept:
            self._kept = kept
            # Remembering is a convenience: a full disk must not stop the work.
            with contextlib.suppress(OSError):
                self._path.parent.mkdir(parents=True, exist_ok=True)
                write_bytes(self._path, msgspec.json.encode(kept))


def state_folder() -> Path:
    """Where what is remembered lies on this system."""
    return platformdirs.user_state_path("cliptag", appauthor=False)


def read_or(path: Path, otherwise: _StructT) -> _StructT:
    """A struct from a JSON file; ``otherwise`` if there is none or it can't be used."""
    try:
        return msgspec.json.decode(path.read_bytes(), type=type(otherwise))
    except (OSError, msgspec.DecodeError):
        return otherwise
