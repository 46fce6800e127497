"""Loudness agrees with an implementation we did not write; limiting keeps true peaks down."""

from __future__ import annotations

import numpy as np
import pyloudnorm
import pytest
from scipy.signal import resample

from cliptag.voice import SILENT_LUFS, LoudnessMeter, limited, margin_samples

RATE = 48_000


def tone(seconds: float, hertz: float = 997.0, height: float = 0.5) -> np.ndarray:
    wave = height * np.sin(2 * np.pi * hertz * np.arange(round(seconds * RATE)) / RATE)
    return np.stack([wave, wave], axis=1).astype(np.float32)


def measured(sound: np.ndarray, block: int = 7_001) -> LoudnessMeter:
    meter = LoudnessMeter()
    for start in range(0, len(sound), block):
        meter.push(sound[start : start + block])
    meter.finish()
    return meter


def test_the_compliance_tone_of_ebu_tech_3341_reads_minus_23():
    # EBU Tech 3341 (2016), table 1, test case 1: stereo sine of 1000 Hz at -23 dBFS for 20 s reads
    # -23.0 LUFS within 0.1 LU (from memory).
    meter = measured(tone(20, 1000.0, 10 ** (-23 / 20)))
    assert meter.integrated == pytest.approx(-23.0, abs=0.1)


def test_it_agrees_with_pyloudnorm_on_bursts_with_pauses():
    dice = np.random.default_rng(3)
    bursts = [
        np.pad(tone(dice.uniform(0.5, 2), dice.uniform(100, 4000), height), ((0, 30_000), (0, 0)))
        for height in (0.02, 0.3, 0.6, 0.05)
    ]
    sound = np.concatenate(bursts).astype(np.float32)
    theirs = pyloudnorm.Meter(RATE).integrated_loudness(sound.astype(float))
    assert measured(sound).integrated == pytest.approx(theirs, abs=0.15)


@pytest.mark.parametrize("length", [0, 1, 100, 4_800, 19_199])
def test_silence_of_any_length_is_told_as_silent(length):
    assert measured(np.zeros((length, 2), np.float32)).integrated == SILENT_LUFS


def test_a_sound_shorter_than_a_gating_block_is_measured_too():
    assert measured(tone(0.25)).integrated > -20


def true_peak_db(sound: np.ndarray) -> float:
    """By an ideal interpolation of the whole to 16 times the rate."""
    return float(20 * np.log10(np.abs(resample(sound, 16 * len(sound))).max()))


@pytest.mark.parametrize("gain", [1.0, 4.0, 20.0])
def test_no_peak_between_the_samples_is_above_the_ceiling(gain):
    dice = np.random.default_rng(4)
    sound = tone(0.5, 11_999.0, 0.3) + tone(0.5, 63.0, 0.5)
    sound += dice.normal(0, 0.1, sound.shape).astype(np.float32)
    sound *= np.hanning(len(sound))[:, None].astype(np.float32)
    assert true_peak_db(sound * gain) > -3.0
    # Four times oversampling may read 0.554 dB too little at 0.45 of the rate (ITU-R BS.1770-4,
    # annex 2, attachment 1; from memory).
    assert true_peak_db(limited(sound, gain, -3.0)) <= -3.0 + 0.554


def test_a_sound_below_the_ceiling_is_only_made_louder():
    sound = tone(0.5, height=0.1)
    assert np.allclose(limited(sound, 2.0, -3.0), sound * 2, atol=1e-7)


def test_block_by_block_gives_what_the_whole_gives():
    dice = np.random.default_rng(5)
    sound = (dice.normal(0, 0.3, (RATE, 2)) * np.linspace(0, 2, RATE)[:, None]).astype(np.float32)
    whole, margin = limited(sound, 1.5, -3.0), margin_samples()
    for start in range(0, len(sound), 11_000):
        stop = min(start + 11_000, len(sound))
        first, last = max(0, start - margin), min(len(sound), stop + margin)
        block = limited(sound[first:last], 1.5, -3.0)
        assert np.allclose(block[start - first :][: stop - start], whole[start:stop], atol=1e-6)


def test_the_gain_never_jumps():
    sound = np.full((RATE, 2), 0.2, np.float32)
    sound[24_000:24_010] = 0.99
    gain = limited(sound, 1.0, -6.0)[:, 0] / sound[:, 0]
    assert np.abs(np.diff(gain)).max() < 0.002
