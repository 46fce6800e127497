"""The sound of the exported video: the clip's own where it plays, silence elsewhere.

A clip without sound gets a silent track too: messengers turn a video without one into a looping,
seekless picture (common practice, no source), and the track's length makes the video's exact.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, Protocol, TypeGuard

import numpy as np
from numpy.typing import NDArray

from cliptag.export.ffmpeg import SOUND_RATE
from cliptag.export.timeline import Play, Span, Timeline

Samples = NDArray[np.int16]

CHANNELS: Final = 2

_BLOCK_US: Final = 100_000
_BLOCK: Final = SOUND_RATE * _BLOCK_US // 1_000_000
_FADE_SAMPLES: Final = SOUND_RATE * 8 // 1000  # long enough not to click, too short to be heard


class SoundSource(Protocol):
    """The sound of a clip, on the clip's clock."""

    def read(self, start_us: int, stop_us: int) -> Samples:
        """(n, 2) samples at 48 kHz of an interval; silence where the clip has none."""


def to_sample(out_us: int) -> int:
    """The number of the sample at an output time, rounded to the nearest."""
    return (out_us * SOUND_RATE + 500_000) // 1_000_000


def sound_blocks(
    timeline: Timeline, source: SoundSource | None, from_us: int = 0
) -> Iterator[Samples]:
    """The sound track in order, in blocks of (n, 2) samples of a tenth of a second at most.

    Every span starts at the sample nearest to its output time, so nothing drifts. Spans in slow
    motion are silent. Where the sound starts or stops it fades in or out within 8 ms. The first
    sample is the one nearest to ``from_us``.
    """
    spans = timeline.spans
    first = to_sample(from_us)
    for place, span in enumerate(spans):
        start = to_sample(span.out_start_us)
        length = to_sample(span.out_end_us) - start
        skipped = max(0, first - start)
        if skipped >= length:
            continue
        if source is None or not _is_heard(span):
            yield from _silence(length - skipped)
            continue
        is_first = place == 0 or not _runs_on(spans[place - 1], span)
        is_last = place + 1 == len(spans) or not _runs_on(span, spans[place + 1])
        at = skipped // _BLOCK * _BLOCK
        for block in _played(span, source, at, length):
            faded = _faded(block, at, length, fade_in=is_first, fade_out=is_last)
            yield faded[max(0, skipped - at) :]
            at += len(block)


def _is_heard(span: Span) -> TypeGuard[Play]:
    return isinstance(span, Play) and span.slow_by == 1


def _runs_on(span: Span, following: Span) -> bool:
    """Whether the clip's sound goes on from one span to the next without a cut."""
    return (
        _is_heard(span) and _is_heard(following) and span.source_end_us == following.source_start_us
    )


def _silence(length: int) -> Iterator[Samples]:
    for at in range(0, length, _BLOCK):
        yield np.zeros((min(_BLOCK, length - at), CHANNELS), np.int16)


def _played(span: Play, source: SoundSource, first: int, length: int) -> Iterator[Samples]:
    # Blocks start whole tenths of a second after the span does, where samples and microseconds
    # agree; only the last one can be a sample off from rounding the span's end.
    for at in range(first, length, _BLOCK):
        start_us = span.source_start_us + at * 1_000_000 // SOUND_RATE
        block = source.read(start_us, min(start_us + _BLOCK_US, span.source_end_us))
        missing = min(_BLOCK, length - at) - len(block)
        yield block[: length - at] if missing <= 0 else np.pad(block, ((0, missing), (0, 0)))


def _faded(block: Samples, at: int, length: int, *, fade_in: bool, fade_out: bool) -> Samples:
    """A block that starts at sample ``at`` of ``length``, faded where it is near an end."""
    place = np.arange(at, at + len(block), dtype=np.float32) + 0.5
    gain = np.ones(len(block), np.float32)
    if fade_in:
        gain = np.minimum(gain, place / _FADE_SAMPLES)
    if fade_out:
        gain = np.minimum(gain, (length - place) / _FADE_SAMPLES)
    if gain.min(initial=1.0) >= 1.0:
        return block
    faded: Samples = np.rint(block * gain[:, np.newaxis]).astype(np.int16)
    return faded
