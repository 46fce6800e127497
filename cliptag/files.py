"""Writing files so that a crash at any byte leaves the old file or the new one."""

from __future__ import annotations

import contextlib
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path


@contextlib.contextmanager
def replacing(target: Path) -> Iterator[Path]:
    """Give a temporary path beside ``target`` to write to; on success it takes target's place.

    The temporary file is synced before the rename and its folder after it. When the block raises,
    the temporary file is removed and the target is as it was. Raises OSError.
    """
    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
    os.close(handle)
    part = Path(name)
    try:
        # mkstemp makes files for one user only; the result should be as readable as any other.
        part.chmod(0o666 & ~_umask())
        yield part
        sync_file(part)
        part.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            part.unlink()
        raise
    sync_folder(target.parent)


def write_bytes(target: Path, data: bytes) -> None:
    """Replace ``target`` by ``data``, all or nothing. Raises OSError."""
    with replacing(target) as part:
        part.write_bytes(data)


def sync_file(path: Path) -> None:
    """Have the disk hold what was written to a file."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have the disk hold the names in a folder."""
    if os.name == "nt":  # Windows can't open a folder, and its rename is journalled.
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _umask() -> int:
    value = os.umask(0)
    os.umask(value)
    return value
