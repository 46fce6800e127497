"""Sound at another tempo: every event at its time, and at its own pitch."""

from __future__ import annotations

import numpy as np
import pytest

from cliptag.clip import Tempo

RATE = 48_000
SPEEDS = [0.5, 0.6, 0.75, 0.9, 1.25, 1.5, 1.8, 2.0]


def stretched(samples: np.ndarray, speed: float, block: int) -> np.ndarray:
    """As a player does it: from a little earlier, and piece by piece."""
    lead = np.zeros((RATE * Tempo.LEAD_US // 1_000_000, 2), np.int16)
    tempo = Tempo(speed)
    whole = np.concatenate([lead, samples])
    pieces = [tempo.feed(whole[at : at + block]) for at in range(0, len(whole), block)]
    return np.concatenate(pieces)


def stereo(wave: np.ndarray) -> np.ndarray:
    return np.repeat(np.rint(wave).astype(np.int16)[:, None], 2, axis=1)


def onsets_s(samples: np.ndarray, least_gap_s: float) -> np.ndarray:
    loud = np.flatnonzero(np.abs(samples[:, 0].astype(int)) > 8000) / RATE
    return loud[np.diff(loud, prepend=-9) > least_gap_s]


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize("block", [960, 1920, 7001])
def test_every_click_comes_at_its_time(speed, block):
    t = np.arange(5 * RATE) / RATE
    clicks = np.where((t % 0.5 >= 0.25) & (t % 0.5 < 0.26), np.sin(2 * np.pi * 1000 * t), 0)
    found_s = onsets_s(stretched(stereo(20_000 * clicks), speed, block), 0.1)
    expected_s = (np.arange(10) * 0.5 + 0.25) / speed
    count = min(len(found_s), 9)
    assert count >= 8
    assert np.abs(found_s[:count] - expected_s[:count]).max() < 0.04


@pytest.mark.parametrize("speed", SPEEDS)
@pytest.mark.parametrize("hertz", [220, 1000])
def test_the_pitch_stays(speed, hertz):
    t = np.arange(4 * RATE) / RATE
    heard = stretched(stereo(12_000 * np.sin(2 * np.pi * hertz * t)), speed, 1920)
    middle = heard[RATE // 2 : RATE // 2 + RATE, 0].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert np.argmax(spectrum) == pytest.approx(hertz, abs=max(3, hertz * 0.01))


def test_nothing_in_gives_nothing():
    assert Tempo(0.5).feed(np.zeros((0, 2), np.int16)).shape == (0, 2)
