"""The sound of the room: its quiet, and wood that creaks, knocks or is tapped."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

RATE = 48_000

Samples = NDArray[np.float64]


def soundtrack(seconds: float, sounds: Sequence[tuple[str, float]], name: str) -> Samples:
    """Mono samples from -1 to 1 with each of ``(kind, start in s)``; the start is sharp."""
    random = np.random.default_rng(zlib.crc32(name.encode()))
    track = _room_tone(round(seconds * RATE), random)
    for kind, at in sounds:
        made = _MAKERS[kind](random)
        start = round(at * RATE)
        made = made[: max(0, len(track) - start)]
        track[start : start + len(made)] += made
    return np.clip(track, -0.98, 0.98)


def _room_tone(count: int, random: np.random.Generator) -> Samples:
    """Noise that falls by 3 dB an octave, at about -54 dB of full scale, with a little hum."""
    spectrum = np.fft.rfft(random.standard_normal(count))
    frequency = np.fft.rfftfreq(count, 1 / RATE)
    spectrum *= 1 / np.sqrt(np.maximum(frequency, 30.0))
    tone = np.fft.irfft(spectrum, count)
    hum = 0.0004 * np.sin(2 * np.pi * 50.0 * np.arange(count) / RATE)
    return np.asarray(0.002 * tone / tone.std() + hum)


def _ringing(seconds: float, modes: Sequence[tuple[float, float, float]]) -> Samples:
    """Decaying tones written ``(Hz, decay in s, loudness)``."""
    t = np.arange(round(seconds * RATE)) / RATE
    return np.asarray(sum(a * np.exp(-t / d) * np.cos(2 * np.pi * f * t) for f, d, a in modes))


def _knock(random: np.random.Generator) -> Samples:
    made = _ringing(0.35, ((165, 0.05, 0.32), (390, 0.03, 0.22), (870, 0.012, 0.15)))
    burst = random.standard_normal(480) * np.exp(-np.arange(480) / 90) * 0.18
    made[:480] += burst
    return made


def _tap(random: np.random.Generator) -> Samples:
    made = _ringing(0.15, ((520, 0.018, 0.16), (1240, 0.010, 0.12), (2600, 0.004, 0.06)))
    made[:200] += random.standard_normal(200) * np.exp(-np.arange(200) / 40) * 0.10
    return made


def _creak(random: np.random.Generator) -> Samples:
    """Wood that lets go in a run of small slips, the first the strongest."""
    made = np.zeros(round(0.5 * RATE))
    at, gap = 0.0, 0.022
    level = 0.26
    while at < 0.32:
        slip = _ringing(0.05, ((310, 0.012, 0.5), (760, 0.008, 0.35), (1900, 0.003, 0.2)))
        start = round(at * RATE)
        made[start : start + len(slip)] += level * slip * (0.8 + 0.4 * random.random())
        at += gap * (0.85 + 0.3 * random.random())
        gap *= 1.06
        level *= 0.86
    return made


_MAKERS = {"knock": _knock, "tap": _tap, "creak": _creak}
