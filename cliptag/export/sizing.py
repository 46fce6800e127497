"""A video of a given size: the first pass tells how hard it is, the second meets the size."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeAlias

import av

from cliptag.errors import ExportError
from cliptag.export.ffmpeg import RatePass

Encode: TypeAlias = Callable[[Path, RatePass | None], None]

_LEAST_KBPS: Final = 40
_MARGIN: Final = 0.985
"""x264 may end a little above what it was asked for."""


def encode_to_size(
    encode: Encode, target: Path, folder: Path, size_bytes: int, duration_us: int
) -> None:
    """Encode twice, so that the file gets ``size_bytes`` large, a little less rather than more.

    The first file tells what its sound and its container take. Raises ExportError when the sound
    alone would be larger.
    """
    log = folder / "passes"
    first = folder / "first.mp4"
    rough_kbps = max(_LEAST_KBPS, size_bytes * 8_000 // duration_us)
    encode(first, RatePass(1, rough_kbps, log))
    rest_bytes = first.stat().st_size - _video_bytes(first)
    first.unlink()
    left_bytes = round(size_bytes * _MARGIN) - rest_bytes
    kbps = left_bytes * 8_000 // duration_us
    if kbps < _LEAST_KBPS:
        raise ExportError(
            f"A video of {duration_us / 1e6:.0f} s can't be made as small as "
            f"{size_bytes / 1e6:.1f} MB: allow more, or send a shorter part of the clip."
        )
    encode(target, RatePass(2, kbps, log))
    over = target.stat().st_size - size_bytes
    if over > 0:  # by a per cent at most: the same first pass serves again
        encode(target, RatePass(2, max(_LEAST_KBPS, kbps - 2 * over * 8_000 // duration_us), log))


def _video_bytes(path: Path) -> int:
    with av.open(f"file:{path}") as container:
        return sum(packet.size for packet in container.demux(video=0))
