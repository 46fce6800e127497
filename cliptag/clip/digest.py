"""What a media file is known by wherever it is moved or renamed."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Final

from cliptag.clip.source import check_file

_WHOLE_BYTES: Final = 16 * 2**20
_END_BYTES: Final = 2 * 2**20
_BLOCK_BYTES: Final = 256 * 2**10
_BLOCKS: Final = 48


def digest_of(path: str | Path) -> str:
    """Identity of a file: 32 hexadecimal digits of BLAKE2b (RFC 7693) over its size and content.

    Up to 16 MiB all of it is read. Of a larger file 16 MiB are: the first and the last 2 MiB and
    48 evenly spaced blocks of 256 KiB between them, so that it takes the same short time however
    long the clip is. It tells files apart; it is no proof that nobody altered one on purpose.

    Raises ClipNotFoundError or ClipError when the file can't be read.
    """
    path = Path(path)
    check_file(path)
    size = path.stat().st_size
    digest = hashlib.blake2b(size.to_bytes(8, "little"), digest_size=16)
    with path.open("rb") as file:
        if size <= _WHOLE_BYTES:
            digest.update(file.read())
        else:
            for start, length in _sampled(size):
                file.seek(start)
                digest.update(file.read(length))
    return digest.hexdigest()


def _sampled(size: int) -> list[tuple[int, int]]:
    """(start, length) of what is read of a large file, in order."""
    between = size - 2 * _END_BYTES - _BLOCK_BYTES
    blocks = [
        (_END_BYTES + between * number // (_BLOCKS - 1), _BLOCK_BYTES) for number in range(_BLOCKS)
    ]
    return [(0, _END_BYTES), *blocks, (size - _END_BYTES, _END_BYTES)]
