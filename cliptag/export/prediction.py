"""How large a video will be, known before it is made.

A few short runs of it are encoded at the quality that its purpose aims at; what they take is
counted up for the whole. The video is then made to just that size, in two passes.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from typing import Final

import av
import numpy as np

from cliptag.clip import Clip
from cliptag.export.chapters import Chapter
from cliptag.export.composer import Composer, Size, output_size
from cliptag.export.encoder import Encoder
from cliptag.export.ffmpeg import (
    SOUND_RATE,
    TICKS_PER_SECOND,
    VideoSettings,
    encode_command,
    ffmpeg_binary,
    metadata_text,
)
from cliptag.export.purposes import LIMITS, PURPOSE_WORDS, Purpose
from cliptag.export.soundtrack import CHANNELS
from cliptag.export.timeline import Card, Hold, OutputFrame, Play, Timeline

_RUNS: Final = 8
_RUN_FRAMES: Final = 12
_STEP_TICKS: Final = TICKS_PER_SECOND // 30
_SOUND_STEP: Final = SOUND_RATE // 30
_KEYFRAME_S: Final = 2.0
_BELOW_LIMIT: Final = 0.97
_WORST_SHARE: Final = 0.5
"""With less than this of the rate that the quality needs, a smaller picture looks better."""
_PIXELS_TO_BYTES: Final = 0.8
"""Bytes grow with the pixels to about this power at one quality (measured on the demo clips)."""
_PACKET_BYTES: Final = 14


@dataclass(frozen=True, slots=True)
class Prediction:
    """How large the file will be, in bytes, and its picture, in pixels."""

    purpose: Purpose
    size_bytes: int
    size: Size


def prediction_words(predicted: Prediction) -> str:
    """How large it will be, as one says it."""
    size_mb = predicted.size_bytes / 1e6
    digits = 0 if size_mb >= 20 else 1
    return f"The video {PURPOSE_WORDS[predicted.purpose]} will be about {size_mb:.{digits}f} MB"


@dataclass(frozen=True, slots=True)
class _Cost:
    """What pictures take, in bytes: a keyframe, one that moves, one that stands still."""

    key: float
    moving: float
    still: float


def predict(
    clip: Clip,
    timeline: Timeline,
    purpose: Purpose,
    most_bytes: float | None,
    composer: Composer,
    size: Size,
    cuts_us: tuple[int, ...],
    chapters: Sequence[Chapter],
) -> Prediction:
    """Encode samples of a planned video. Raises ExportError and ClipError.

    ``composer`` makes its pictures in the largest ``size`` of its purpose; ``cuts_us`` are the
    times at which a standing picture changes. ``most_bytes`` counts for a messenger.
    """
    limits, info = LIMITS[purpose], clip.info
    frames = list(timeline.frames(clip.times_us, cuts_us))
    cost = _sampled_cost(frames, composer, size, limits.settings)
    video_bytes = _counted(frames, timeline, cost, len(chapters), info.nominal_fps or 30.0)
    rest_bytes = _sound_bytes(timeline, limits.settings) + _PACKET_BYTES * len(frames)
    needed = video_bytes + rest_bytes
    if purpose != "messenger" or most_bytes is None or needed <= most_bytes * _BELOW_LIMIT:
        return Prediction(purpose, round(needed), size)
    allowed = most_bytes * _BELOW_LIMIT
    smaller, wanted = size, video_bytes
    for side in limits.sides:
        smaller = output_size(info.width, info.height, side)
        ratio = smaller[0] * smaller[1] / (size[0] * size[1])
        wanted = video_bytes * ratio**_PIXELS_TO_BYTES
        if (allowed - rest_bytes) >= _WORST_SHARE * wanted:
            break
    return Prediction(purpose, round(min(allowed, wanted + rest_bytes)), smaller)


def _sampled_cost(
    frames: Sequence[OutputFrame], composer: Composer, size: Size, settings: VideoSettings
) -> _Cost:
    runs = _runs(len(frames))
    starts = list(accumulate((len(run) for run in runs), initial=0))[:-1]
    with tempfile.TemporaryDirectory(prefix="cliptag-") as folder:
        out, about = Path(folder) / "sample.mp4", Path(folder) / "about.txt"
        # A chapter starts with a keyframe, so each run has exactly one of its own.
        chapters = [
            Chapter(_sample_us(at), _sample_us(at + len(run)), "run")
            for at, run in zip(starts, runs, strict=True)
        ]
        about.write_text(metadata_text("", chapters), "utf-8")
        command = encode_command(ffmpeg_binary(), out, about, size, 30.0, settings)
        with Encoder(command, *size) as encoder:
            quiet = np.zeros((_SOUND_STEP, CHANNELS), np.int16)
            sent = [frames[number] for run in runs for number in run]
            for number, frame in enumerate(sent):
                encoder.send_sound(number * _SOUND_STEP, quiet)
                encoder.send_picture(number * _STEP_TICKS, composer.picture(frame))
            encoder.finish(lambda: None)
        with av.open(f"file:{out}") as container:
            packets = [
                (packet.pts or 0, packet.size, bool(packet.is_keyframe))
                for packet in container.demux(video=0)
                if packet.size
            ]
    packets.sort()
    keys = [size_bytes for _, size_bytes, is_key in packets if is_key]
    others = [
        (isinstance(frame.span, Play), size_bytes)
        for frame, (_, size_bytes, is_key) in zip(sent, packets, strict=True)
        if not is_key
    ]
    return _Cost(
        _mean(keys),
        _mean([size_bytes for moves, size_bytes in others if moves]),
        _mean([size_bytes for moves, size_bytes in others if not moves]),
    )


def _runs(count: int) -> list[range]:
    """Short runs of picture numbers, evenly spread; all of a short video."""
    if count <= _RUNS * _RUN_FRAMES:
        return [range(count)]
    step = (count - _RUN_FRAMES) / (_RUNS - 1)
    return [range(round(n * step), round(n * step) + _RUN_FRAMES) for n in range(_RUNS)]


def _counted(
    frames: Sequence[OutputFrame], timeline: Timeline, cost: _Cost, chapters: int, fps: float
) -> float:
    moving = sum(isinstance(frame.span, Play) for frame in frames)
    cards = sum(isinstance(span, Card) for span in timeline.spans)
    keys = len(frames) / max(1.0, _KEYFRAME_S * fps) + chapters + cards + 1
    return keys * cost.key + moving * cost.moving + (len(frames) - moving) * cost.still


def _sound_bytes(timeline: Timeline, settings: VideoSettings) -> float:
    """Silence takes next to nothing; a hold may have a voice."""
    heard_us = sum(
        span.out_end_us - span.out_start_us
        for span in timeline.spans
        if isinstance(span, Play | Hold)
    )
    return heard_us / 1e6 * settings.sound_kbps * 125


def _sample_us(number: int) -> int:
    return number * _STEP_TICKS * 1_000_000 // TICKS_PER_SECOND


def _mean(sizes: Sequence[int]) -> float:
    return sum(sizes) / len(sizes) if sizes else 0.0
