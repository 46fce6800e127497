"""A video of a given size: the first pass tells how hard it is, the second meets the size."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Final, TypeAlias

import av

from cliptag.errors import ExportError
from cliptag.export.ffmpeg import RatePass

Encode: TypeAlias = Callable[[Path, RatePass | None], None]

_LEAST_KBPS: Final = 8
_AIMED_AT: Final = 0.98
_ENOUGH: Final = 0.96
"""Of the size: what is aimed at, and what will do. It is never above the size."""
_TRIES: Final = 5
_STEEPEST: Final = 3.0


def encode_to_size(
    encode: Encode,
    target: Path,
    folder: Path,
    size_bytes: int,
    duration_us: int,
    most_bytes: float = math.inf,
) -> None:
    """Encode twice, so that the file gets ``size_bytes`` large, a little less rather than more.

    The first file tells what its sound and its container take. Of a short video, or one that
    mostly stands still, x264 may miss a rate by a third; then the second pass is done again.
    Raises ExportError when the file would be larger than ``most_bytes``, whatever is tried.
    """
    log = folder / "passes"
    first = folder / "first.mp4"
    rough_kbps = max(_LEAST_KBPS, size_bytes * 8_000 // duration_us)
    encode(first, RatePass(1, rough_kbps, log))
    rest_bytes = first.stat().st_size - _video_bytes(first)
    first.unlink()
    wanted_bytes = round(size_bytes * _AIMED_AT) - rest_bytes
    kbps = wanted_bytes * 8_000 // duration_us
    tried: list[tuple[int, int]] = []
    for _ in range(_TRIES):
        kbps = max(_LEAST_KBPS, kbps)
        encode(target, RatePass(2, kbps, log))
        if _ENOUGH * size_bytes <= target.stat().st_size <= size_bytes:
            return
        tried.append((kbps, _video_bytes(target)))
        kbps = _next_kbps(tried, max(1, wanted_bytes))
        if kbps < _LEAST_KBPS and tried[-1][0] == _LEAST_KBPS:
            break
    if target.stat().st_size > most_bytes:
        raise ExportError(
            f"A video of {duration_us / 1e6:.0f} s can't be made as small as "
            f"{most_bytes / 1e6:.2f} MB: allow more, or send a shorter part of the clip."
        )


def _next_kbps(tried: list[tuple[int, int]], wanted_bytes: int) -> int:
    """Along the power law through the two results nearest to what is wanted."""
    nearest = sorted(tried, key=lambda one: abs(math.log(one[1] / wanted_bytes)))
    kbps, found_bytes = nearest[0]
    power = 1.0
    if len(nearest) > 1 and nearest[1][0] != kbps and nearest[1][1] != found_bytes:
        rates = math.log(nearest[1][0] / kbps)
        power = min(_STEEPEST, max(1 / _STEEPEST, rates / math.log(nearest[1][1] / found_bytes)))
    wished = kbps * (wanted_bytes / found_bytes) ** power
    return round(wished) if round(wished) != kbps else kbps + (1 if wished > kbps else -1)


def _video_bytes(path: Path) -> int:
    with av.open(f"file:{path}") as container:
        return max(1, sum(packet.size for packet in container.demux(video=0)))
