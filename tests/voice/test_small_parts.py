"""Level, outline, ducking, drafts."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from support.spoken import silence, speech, take_of

from cliptag.errors import VoiceError
from cliptag.voice import (
    QUIETER_DB,
    Ducking,
    draft_text,
    faded,
    level_of,
    open_recogniser,
    outline_of,
    ramp,
    take_length_us,
)

RATE = 48_000


def test_the_level_is_that_of_the_highest_sample():
    sound = np.zeros(1000, np.int16)
    sound[500] = -16_384
    assert level_of(sound).peak_db == pytest.approx(-6.02, abs=0.01)
    assert level_of(np.zeros(0, np.int16)).peak_db == level_of(np.zeros(9, np.int16)).peak_db


@pytest.mark.parametrize(
    ("run", "is_clipped"),
    [([32_767], False), ([32_767] * 2, False), ([32_767, -32_768, 32_767], True)],
)
def test_only_a_flattened_peak_counts_as_too_loud(run, is_clipped):
    sound = np.zeros(100, np.int16)
    sound[40 : 40 + len(run)] = run
    assert level_of(sound).is_clipped == is_clipped


def test_an_outline_shows_where_there_is_sound(tmp_path):
    burst = (20_000 * np.sin(np.arange(RATE // 2) * 0.1)).astype(np.int16)
    take = take_of(np.concatenate([silence(0.5), burst, silence(1.0)]), tmp_path / "a.review.json")
    outline = outline_of(take, take_length_us(take), 200)
    assert outline.shape == (200, 2)
    assert (outline[:48] == 0).all() and (outline[102:] == 0).all()
    assert (outline[52:98, 1] > 0.5).all() and (outline[52:98, 0] < -0.5).all()


def test_the_clip_gets_quieter_before_the_first_word_and_comes_back_after_the_last():
    gain = ramp((Ducking(2 * RATE, 4 * RATE, 12.0),), 0, 8 * RATE)
    assert (gain[:RATE] == 1).all() and (gain[5 * RATE :] == 1).all()
    assert gain[2 * RATE : 4 * RATE] == pytest.approx(10 ** (-12 / 20), rel=1e-4)
    assert np.abs(np.diff(gain)).max() < 1e-3  # no step can be heard


def test_ducking_block_by_block_is_that_of_the_whole_and_the_deepest_counts():
    ducks = (Ducking(30_000, 90_000, 6.0), Ducking(80_000, 120_000, 18.0))
    whole = ramp(ducks, 0, 200_000)
    parts = [ramp(ducks, start, 7_000) for start in range(0, 196_000, 7_000)]
    assert np.array_equal(np.concatenate(parts), whole[:196_000])
    assert whole[85_000] == pytest.approx(10 ** (-18 / 20), rel=1e-3)


def test_background_is_as_far_below_speech_as_wcag_asks():
    assert QUIETER_DB == 20.0  # WCAG 2.2, success criterion 1.4.7


def test_a_voice_neither_clicks_in_nor_out():
    block = faded(np.ones((RATE, 2), np.float32), 0, RATE)[:, 0]
    assert block[0] < 0.01 and block[-1] < 0.01 and (block[500:-500] == 1).all()


class Parrot:
    """A recogniser that says what it was given."""

    def __init__(self) -> None:
        self.heard = np.zeros(0, np.float32)

    def words_of(self, sound: np.ndarray) -> str:
        self.heard = sound
        return "  Keep your knees \n over your feet. "


def test_a_draft_is_made_of_the_trimmed_stretch_alone(tmp_path):
    sound = np.concatenate([np.full(RATE, 3_000), np.full(RATE, 9_000)]).astype(np.int16)
    take = take_of(sound, tmp_path / "a.review.json")
    parrot = Parrot()
    words = draft_text(parrot, take, 1_000_000, 2_000_000)
    assert words == "Keep your knees over your feet."
    assert len(parrot.heard) == pytest.approx(16_000, abs=3) and parrot.heard.dtype == np.float32
    assert parrot.heard[2_000:-2_000] == pytest.approx(9_000 / 32_768, rel=0.01)


def test_without_the_extra_a_sentence_says_what_to_install(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "faster_whisper", None)
    with pytest.raises(VoiceError, match=r"pip install 'cliptag\[speech\]'.*type what you said"):
        open_recogniser(tmp_path)


def test_a_folder_without_a_model_is_a_sentence(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "faster_whisper", sys)  # as if it were installed
    with pytest.raises(VoiceError, match=r"model\.bin is missing"):
        open_recogniser(tmp_path)


class Sphinx:
    """CMU PocketSphinx with the English model that its wheel carries, behind our protocol."""

    def words_of(self, sound: np.ndarray) -> str:
        pocketsphinx = pytest.importorskip("pocketsphinx")
        decoder = pocketsphinx.Decoder(samprate=16_000, loglevel="FATAL")
        decoder.start_utt()
        decoder.process_raw((sound * 32_767).astype("<i2").tobytes(), full_utt=True)
        decoder.end_utt()
        found = decoder.hyp()
        return found.hypstr if found else ""


def test_a_real_recogniser_hears_words_in_a_take(tmp_path: Path):
    take = take_of(
        np.concatenate([silence(0.3), speech("go forward ten meters", 120), silence(0.3)]),
        tmp_path / "a.review.json",
    )
    words = draft_text(Sphinx(), take, 0, take_length_us(take)).split()
    assert {"forward", "ten"} & set(words), words
