"""What tells one version of a file or folder from another."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Final

import msgspec

from cliptag.errors import CasebookError
from cliptag.review import Review, encode_review

_BLOCK: Final = 1 << 20


def fingerprint(review: Review) -> str:
    """What tells one version of a review from another, its consent apart."""
    plain = msgspec.structs.replace(review, consent=None)
    return hashlib.blake2b(encode_review(plain), digest_size=16).hexdigest()


def stamp(path: Path) -> str:
    """What shows without reading it that a file was written: its time and size."""
    try:
        facts = path.stat()
    except OSError:
        return ""
    return f"{facts.st_mtime_ns}-{facts.st_size}"


def checksum_of(path: Path) -> str:
    """BLAKE2b of every byte of a file. Raises OSError."""
    digest = hashlib.blake2b(digest_size=32)
    with path.open("rb") as file:
        while block := file.read(_BLOCK):
            digest.update(block)
    return digest.hexdigest()


def folder_digest(folder: Path) -> str:
    """BLAKE2b of the names and checksums of all files in a folder.

    Raises CasebookError when it can't be read or is empty.
    """
    digest = hashlib.blake2b(digest_size=32)
    try:
        files = sorted(path for path in folder.rglob("*") if path.is_file())
        for file in files:
            name = file.relative_to(folder).as_posix()
            digest.update(f"{len(name)} {name} {checksum_of(file)}\n".encode())
    except OSError as error:
        raise CasebookError(
            f"{folder} can't be read ({error.strerror or error}): check the name."
        ) from error
    if not files:
        raise CasebookError(f"There is no take-home in {folder}: check the name.")
    return digest.hexdigest()
