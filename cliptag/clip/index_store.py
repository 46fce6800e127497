"""Frame indexes kept on disk by the clip's digest, so that a long clip opens at once next time.

One small file for each clip, in the user's cache folder. A file that is damaged, half-written or
of another version counts as absent; what can't be written is not kept.
"""

from __future__ import annotations

import hashlib
import os
import zlib
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import numpy as np
import platformdirs
from numpy.typing import NDArray

from cliptag.clip.index import FrameIndex
from cliptag.files import write_bytes

_MOST_FILES: Final = 500
_FORMAT: Final = 1  # raise it whenever an index would come out otherwise
_CHECK_BYTES: Final = 16
_COLUMNS: Final = {
    "frame_ticks": np.int64,
    "frame_packet": np.int32,
    "packet_pts": np.int64,
    "packet_dts": np.int64,
    "packet_pos": np.int64,
    "packet_size": np.int64,
    "packet_is_key": np.bool_,
}


def load_index(digest: str) -> FrameIndex | None:
    """The index kept for a clip, or None."""
    path = _path(digest)
    try:
        index = _unpack(path.read_bytes())
    except (OSError, ValueError, zlib.error):
        return None
    with suppress(OSError):
        os.utime(path)  # so that the clips in use are the last to be dropped
    return index


def keep_index(digest: str, index: FrameIndex) -> None:
    """Keep a clip's index; the ones unused for longest make room."""
    path = _path(digest)
    with suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        write_bytes(path, _pack(index))
        kept = sorted(path.parent.glob("*.frames"), key=lambda file: file.stat().st_mtime)
        for file in kept[:-_MOST_FILES]:
            file.unlink(missing_ok=True)


def _path(digest: str) -> Path:
    # Another FFmpeg may bring out other frames.
    versions = "".join(f"-{av.library_versions[name][0]}" for name in ("libavformat", "libavcodec"))
    folder = platformdirs.user_cache_path("cliptag", appauthor=False) / "frame-indexes"
    return folder / f"{digest}-{_FORMAT}{versions}.frames"


def _pack(index: FrameIndex) -> bytes:
    head = np.array(
        [
            *(index.time_base.numerator, index.time_base.denominator, index.last_duration),
            *(len(index.frame_ticks), len(index.packet_pts)),
        ],
        np.int64,
    )
    # Differences of neighbours are small and repeat, so they shrink to a tenth.
    columns = [_differences(getattr(index, name)).tobytes() for name in _COLUMNS]
    body = zlib.compress(head.tobytes() + b"".join(columns), 6)
    return hashlib.blake2b(body, digest_size=_CHECK_BYTES).digest() + body


def _unpack(data: bytes) -> FrameIndex:
    """Raises ValueError or zlib.error when the data are damaged."""
    check, body = data[:_CHECK_BYTES], data[_CHECK_BYTES:]
    if hashlib.blake2b(body, digest_size=_CHECK_BYTES).digest() != check:
        raise ValueError("the check sum is wrong")
    raw = zlib.decompress(body)
    numerator, denominator, last_duration, frames, packets = np.frombuffer(raw, np.int64, 5)
    offset = 5 * 8
    columns: dict[str, NDArray[np.generic]] = {}
    for name, kind in _COLUMNS.items():
        count = int(frames if name.startswith("frame") else packets)
        column: NDArray[np.generic] = np.frombuffer(raw, kind, count, offset)
        offset += column.nbytes
        columns[name] = column if kind is np.bool_ else np.cumsum(column, dtype=kind)
        columns[name].flags.writeable = False
    return FrameIndex(
        time_base=Fraction(int(numerator), int(denominator)),
        last_duration=int(last_duration),
        **columns,  # type: ignore[arg-type]  # each has the type that _COLUMNS names
    )


def _differences(column: NDArray[np.generic]) -> NDArray[np.generic]:
    if column.dtype == np.bool_:
        return column
    # Unknown times are the smallest integer: these differences wrap around, and so back.
    return np.diff(column, prepend=column.dtype.type(0))
