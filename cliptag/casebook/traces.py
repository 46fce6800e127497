"""What cliptag keeps of a clip outside the casebook: caches, lists of recent files, the log."""

from __future__ import annotations

import json
import os
import secrets
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

import platformdirs

from cliptag.files import sync_folder, write_bytes

_BLOCK = 1 << 20
_SHORT = 12  # so many digits of a digest stand in the names of reviews that are kept elsewhere


def shred(path: Path) -> int:
    """Overwrite a file, rename it and remove it; gives how many bytes it had. Raises OSError.

    What a flash drive or a file system with copies keeps of the old blocks is out of reach.
    """
    if path.is_symlink():
        path.unlink()
        return 0
    size = path.stat().st_size
    path.chmod(0o600)
    with path.open("rb+") as file:
        for start in range(0, size, _BLOCK):
            file.write(bytes(min(_BLOCK, size - start)))
        file.flush()
        os.fsync(file.fileno())
    nameless = path.with_name(f".{secrets.token_hex(8)}")
    path.rename(nameless)
    nameless.unlink()
    return size


def shred_tree(folder: Path) -> tuple[int, int]:
    """Shred all that is in a folder, and the folder; gives how many files and bytes."""
    files = size = 0
    for parent, folders, names in os.walk(folder, topdown=False):
        for name in names:
            size += shred(Path(parent, name))
            files += 1
        for name in folders:
            inner = Path(parent, name)
            if inner.is_symlink():
                inner.unlink()
            else:
                inner.rmdir()
    if folder.is_dir():
        nameless = folder.with_name(f".{secrets.token_hex(8)}")
        folder.rename(nameless)
        nameless.rmdir()
        sync_folder(folder.parent)
    return files, size


def remove_traces(digests: Sequence[str], needles: Sequence[str]) -> int:
    """Remove what is kept of clips by their digests, and every mention of the needles.

    ``needles`` are names and paths. Gives how many files were removed or changed. Raises OSError.
    """
    return sum(
        (
            sum(1 for path in _by_digest(digests) if _is_shredded(path)),
            sum(1 for path in _mentioning((*digests, *needles)) if _is_shredded(path)),
            sum(1 for path in _files(_state_folder()) if _forget(path, needles)),
            sum(1 for path in _files(_log_folder()) if _forget_lines(path, needles)),
        )
    )


def _by_digest(digests: Sequence[str]) -> Iterator[Path]:
    marks = {digest[:_SHORT] for digest in digests}
    for folder in (_cache_folder(), _data_folder() / "reviews"):
        for path in _files(folder):
            if any(mark in path.name for mark in marks):
                yield path


def _mentioning(needles: Sequence[str]) -> Iterator[Path]:
    """Files kept aside that are of several clips and name one of these."""
    wanted = [needle.encode() for needle in needles]
    for path in _files(_data_folder() / "pairings"):
        content = path.read_bytes()
        if any(needle in content for needle in wanted):
            yield path


def _is_shredded(path: Path) -> bool:
    with suppress(FileNotFoundError):
        shred(path)
        return True
    return False


def _forget(path: Path, needles: Sequence[str]) -> bool:
    """Take what mentions a needle out of the lists in a JSON file; remove one that still does."""
    try:
        tree = json.loads(path.read_bytes())
    except (OSError, ValueError):
        return False
    if not _mentions(tree, needles):
        return False
    less = _without(tree, needles)
    shred(path)
    if not _mentions(less, needles):
        write_bytes(path, json.dumps(less, ensure_ascii=False).encode())
    return True


def _mentions(tree: Any, needles: Sequence[str]) -> bool:
    if isinstance(tree, dict):
        return any(_mentions(part, needles) for part in (*tree, *tree.values()))
    if isinstance(tree, list):
        return any(_mentions(part, needles) for part in tree)
    return isinstance(tree, str) and any(needle in tree for needle in needles)


def _without(tree: Any, needles: Sequence[str]) -> Any:
    if isinstance(tree, dict):
        return {key: _without(value, needles) for key, value in tree.items()}
    if isinstance(tree, list):
        return [_without(part, needles) for part in tree if not _mentions(part, needles)]
    return tree


def _forget_lines(path: Path, needles: Sequence[str]) -> bool:
    wanted = [needle.encode() for needle in needles]
    lines = path.read_bytes().splitlines(keepends=True)
    kept = [line for line in lines if not any(needle in line for needle in wanted)]
    if len(kept) == len(lines):
        return False
    shred(path)
    write_bytes(path, b"".join(kept))
    return True


def _files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()] if folder.is_dir() else []


def _cache_folder() -> Path:
    return platformdirs.user_cache_path("cliptag", appauthor=False)


def _data_folder() -> Path:
    return platformdirs.user_data_path("cliptag", appauthor=False)


def _state_folder() -> Path:
    return platformdirs.user_state_path("cliptag", appauthor=False)


def _log_folder() -> Path:
    return platformdirs.user_log_path("cliptag")
