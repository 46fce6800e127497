"""Sound stays with the picture, whatever the file does to its clock."""

from __future__ import annotations

import wave
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from support.media import X264, ffmpeg, picture_source, sound_source

from cliptag.clip import SoundReader, open_clip

_BEEPS_AT = (0.5, 1.25, 2.5)  # seconds
_BEEP = 0.05


def _beeps(path: Path, rate: int, channels: int = 1, length: float = 3.0) -> Path:
    """A WAV file that is silent but for three short tones, which start and end at once."""
    time = np.arange(round(length * rate)) / rate
    tone = np.zeros_like(time)
    for at in _BEEPS_AT:
        on = (time >= at) & (time < at + _BEEP)
        tone[on] = 0.7 * np.sin(2 * np.pi * 1000 * (time[on] - at) + np.pi / 2)
    samples = np.repeat((tone * 32767).astype("<i2")[:, None], channels, axis=1)
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes(samples.tobytes())
    return path


def _clip(folder: Path, name: str, *output: str, rate: int = 48_000, channels: int = 1) -> Path:
    beeps = _beeps(folder / f"{name}.wav", rate, channels)
    ffmpeg(*picture_source(seconds=3), "-i", beeps, *X264, "-g", "30", *output, folder / name)
    return folder / name


def _onsets(sound: NDArray[np.int16]) -> list[float]:
    """When it gets loud after silence, in seconds."""
    loud = np.abs(sound[:, 0].astype(int)) > 5000
    places = np.flatnonzero(loud)
    starts = places[np.diff(places, prepend=-48_000) > 4800]
    return [float(start) / 48_000 for start in starts]


@pytest.mark.parametrize(
    ("name", "output", "rate", "channels", "within"),
    [
        ("aac.mp4", ("-c:a", "aac"), 48_000, 1, 0.003),
        ("aac44.mov", ("-c:a", "aac"), 44_100, 2, 0.003),
        ("pcm.mov", ("-c:a", "pcm_s16le"), 48_000, 2, 0.0003),
        ("pcm22.mkv", ("-c:a", "pcm_s16le"), 22_050, 1, 0.001),
        (
            "opus.webm",
            ("-c:v", "libvpx", "-deadline", "realtime", "-c:a", "libopus"),
            48_000,
            1,
            0.003,
        ),
        ("aac.mkv", ("-c:a", "aac"), 48_000, 2, 0.003),
        ("aac.ts", ("-c:a", "aac"), 48_000, 2, 0.003),
        ("mp3.avi", ("-c:a", "libmp3lame"), 48_000, 2, 0.03),
    ],
)
def test_a_beep_is_heard_when_it_was_made(
    name: str, output: tuple[str, ...], rate: int, channels: int, within: float, media: Path
) -> None:
    path = _clip(media, name, *output, rate=rate, channels=channels)
    with open_clip(path) as clip:
        assert clip.info.has_sound
        reader = clip.sound()
        assert reader is not None
        sound = reader.read(0, 3_000_000)
        reader.close()
    assert sound.shape == (144_000, 2)
    assert sound.dtype == np.int16
    np.testing.assert_allclose(_onsets(sound), _BEEPS_AT, atol=within)


def _read_all(path: Path, stop_us: int = 3_000_000) -> NDArray[np.int16]:
    with open_clip(path) as clip:
        reader = clip.sound()
        assert reader is not None
        sound = reader.read(0, stop_us)
        reader.close()
        return sound


def test_time_0_is_the_first_displayed_frame(media: Path) -> None:
    """Cut by an edit list 0.7 s in, inside a group of pictures."""
    whole = _clip(media, "whole.mp4", "-c:a", "aac")
    ffmpeg("-ss", "0.7", "-i", whole, "-c", "copy", media / "edited.mp4")
    onsets = _onsets(_read_all(media / "edited.mp4"))
    np.testing.assert_allclose(onsets, [at - 0.7 for at in _BEEPS_AT[1:]], atol=0.02)


def test_sound_that_starts_later_or_earlier_than_the_picture_keeps_its_place(media: Path) -> None:
    whole = _clip(media, "together.mkv", "-c:a", "pcm_s16le")
    for shift in (0.4, -0.3):
        target = media / f"shifted{shift}.mkv"
        ffmpeg(
            *("-i", whole, "-itsoffset", str(shift), "-i", whole),
            *("-map", "0:v", "-map", "1:a", "-c", "copy", target),
        )
        sound = _read_all(target)
        np.testing.assert_allclose(
            _onsets(sound), [at + shift for at in _BEEPS_AT if at + shift < 3], atol=0.002
        )
        if shift > 0:
            assert not sound[: round(0.39 * 48_000)].any(), "silence before the sound starts"


def test_a_gap_in_the_timestamps_becomes_silence(media: Path) -> None:
    """Packets between 1 s and 2 s are missing: what comes after must not move up."""
    whole = _clip(media, "nogap.mkv", "-c:a", "pcm_s16le")
    target = media / "gap.mkv"
    ffmpeg(
        *("-i", whole, "-c", "copy", "-bsf:a", "noise=drop=between(pts*tb\\,1\\,2)", target),
    )
    sound = _read_all(target)
    np.testing.assert_allclose(_onsets(sound), [0.5, 2.5], atol=0.002)
    assert not sound[round(1.1 * 48_000) : round(1.9 * 48_000)].any()


def test_a_clock_that_runs_slow_doesnt_drift(media: Path) -> None:
    """Every packet is 1 % later than its samples say, as cheap sound clocks do."""
    whole = _clip(media, "exact.mkv", "-c:a", "pcm_s16le")
    target = media / "slow.mkv"
    ffmpeg("-i", whole, "-c", "copy", "-bsf:a", "setts=ts=TS*1.01", target)
    onsets = _onsets(_read_all(target))
    np.testing.assert_allclose(onsets, [at * 1.01 for at in _BEEPS_AT], atol=0.012)


@pytest.fixture(scope="module")
def noisy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clip with sound that never repeats, to tell every sample by."""
    path = tmp_path_factory.mktemp("noisy") / "noise.mov"
    noise = ["-f", "lavfi", "-i", "anoisesrc=d=25:r=48000:seed=4:a=0.5"]
    ffmpeg(
        *picture_source((64, 48), "10", 25), *noise, *X264, "-g", "50", "-c:a", "pcm_s16le", path
    )
    return path


def _reader(path: Path) -> SoundReader:
    with open_clip(path) as clip:
        reader = clip.sound()
    assert reader is not None
    return reader


def test_pieces_in_order_join_without_a_seam(noisy: Path) -> None:
    reader = _reader(noisy)
    whole = reader.read(0, 25_000_000)
    reader.close()
    assert np.abs(whole).min(axis=0).max() < 3000 and np.abs(whole).max() > 10_000
    reader = _reader(noisy)
    edges = [0, 1, 333_333, 333_334, 1_000_021, 1_033_354, 7_000_000, 24_999_999, 25_000_000]
    pieces = [reader.read(a, b) for a, b in pairwise(edges)]
    for piece, (a, b) in zip(pieces, pairwise(edges), strict=True):
        assert len(piece) == round(b * 48_000 / 1e6) - round(a * 48_000 / 1e6)
    np.testing.assert_array_equal(np.concatenate(pieces), whole)
    reader.close()


def test_pieces_in_any_order_are_the_same_samples(noisy: Path) -> None:
    reader = _reader(noisy)
    whole = reader.read(0, 25_000_000)
    dice = np.random.default_rng(2)
    for _ in range(25):
        start = int(dice.integers(0, 24_000_000))
        stop = start + int(dice.integers(1, 1_000_000))
        a, b = round(start * 48_000 / 1e6), round(stop * 48_000 / 1e6)
        np.testing.assert_array_equal(reader.read(start, stop), whole[a:b])
    reader.close()


def test_reading_on_keeps_only_what_is_needed(noisy: Path) -> None:
    reader = _reader(noisy)
    for start in range(0, 25_000_000, 40_000):
        reader.read(start, start + 40_000)
        assert sum(len(samples) for _, samples in reader._pieces) < 48_000
    reader.close()


def test_there_is_silence_outside_the_sound(noisy: Path) -> None:
    reader = _reader(noisy)
    before, after = reader.read(-500_000, 0), reader.read(26_000_000, 27_000_000)
    assert before.shape == (24_000, 2) and not before.any()
    assert after.shape == (48_000, 2) and not after.any()
    assert reader.read(5, 5).shape == (0, 2)
    reader.close()


def test_a_clip_without_sound_has_no_reader(media: Path) -> None:
    path = media / "mute.mp4"
    ffmpeg(*picture_source(seconds=0.3), *X264, path)
    with open_clip(path) as clip:
        assert clip.sound() is None
        assert not clip.info.has_sound
        assert clip.info.sound_codec is None


def test_both_ears_hear_their_own_channel(media: Path) -> None:
    path = media / "ears.mov"
    left_only = ["-af", "pan=stereo|c0=c0|c1=0*c0"]
    ffmpeg(*picture_source(), *sound_source(), *X264, *left_only, "-c:a", "pcm_s16le", path)
    sound = _read_all(path, 1_000_000)
    assert np.abs(sound[:, 0].astype(int)).max() > 1000
    assert np.abs(sound[:, 1].astype(int)).max() < 10
