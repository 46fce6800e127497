"""Which reviews are open, on disk: so that work is offered again after the power went."""

from __future__ import annotations

import contextlib
import hashlib
import os
import time
from pathlib import Path

import msgspec
from msgspec import Struct
from PyQt6.QtCore import QLockFile

from cliptag.desk.remembered import read_or, state_folder
from cliptag.files import write_bytes

_SUFFIX = ".open.json"


class Open(Struct, frozen=True, kw_only=True):
    """A review that a desk has open; ``review`` is where its changes are being written."""

    clip: str = ""
    review: str = ""
    pid: int = 0
    since_s: float = 0.0


class OpenRecord:
    """This desk's hold on one review: a record and a lock, both gone after an orderly end.

    The system lets go of the lock when the process dies, however it does, so a record whose lock
    is free tells of a crash.
    """

    def __init__(self, review_path: Path, clip_path: Path) -> None:
        folder = _folder()
        name = hashlib.blake2b(os.fsencode(review_path.absolute()), digest_size=12).hexdigest()
        self._file = folder / f"{name}{_SUFFIX}"
        self._clip_path = clip_path.absolute()
        with contextlib.suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
        self._written: Path | None = None
        self._lock = _lock_of(self._file)
        self.is_held = self._lock.tryLock(0)
        """False when another window has this review open."""
        self.write(review_path)

    def write(self, review_path: Path) -> None:
        """Put down where the changes are written, if that is another place than before."""
        if self.is_held and review_path != self._written:
            self._written = review_path
            record = Open(
                clip=str(self._clip_path),
                review=str(review_path.absolute()),
                pid=os.getpid(),
                since_s=time.time(),
            )
            with contextlib.suppress(OSError):
                write_bytes(self._file, msgspec.json.encode(record))

    def end(self) -> None:
        """Take the record away: all is saved."""
        if self.is_held:
            self.is_held = False
            self._file.unlink(missing_ok=True)
            self._lock.unlock()


def left_open() -> tuple[Open, ...]:
    """What desks had open that ended without closing it, the newest first."""
    found = []
    for file in _folder().glob(f"*{_SUFFIX}"):
        if _is_free(file):
            found.append(read_or(file, Open()))
    found = [record for record in found if record.review and Path(record.review).exists()]
    return tuple(sorted(found, key=lambda record: -record.since_s))


def forget_left_open() -> None:
    """Take away the records of desks that are no more."""
    for file in _folder().glob(f"*{_SUFFIX}"):
        if _is_free(file):
            file.unlink(missing_ok=True)


def _folder() -> Path:
    return state_folder() / "open"


def _lock_of(file: Path) -> QLockFile:
    lock = QLockFile(str(file) + ".lock")
    lock.setStaleLockTime(0)  # a review may be open for days
    return lock


def _is_free(file: Path) -> bool:
    lock = _lock_of(file)
    is_free = lock.tryLock(0)
    if is_free:
        lock.unlock()
    return is_free
