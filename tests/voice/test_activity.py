"""Pauses are found where they are, whatever else the microphone hears."""

from __future__ import annotations

import numpy as np
import pytest
from support.spoken import OTHER, SENTENCE, silence, speech, take_of

from cliptag.voice import LogEntry, Pauses, pieces_of, read_log, speech_spans, take_length_us
from cliptag.voice.running import PlayheadLog

RATE = 48_000


def spans_of(
    samples: np.ndarray, folder, pauses: Pauses | None = None
) -> list[tuple[float, float]]:
    take = take_of(samples, folder / "ines.review.json")
    return [(a / 1e6, b / 1e6) for a, b in speech_spans(take, take_length_us(take), pauses)]


def room(samples: np.ndarray, noise: float, clicks: tuple[float, ...] = ()) -> np.ndarray:
    """A voice in a room with a hum, and keys that are struck at these seconds."""
    heard = samples * 0.4 + np.random.default_rng(7).normal(0, noise, len(samples))
    for at in clicks:
        heard[int(at * RATE) : int(at * RATE) + 200] += 9_000 * np.hanning(200)
    return np.clip(heard, -32_768, 32_767).astype(np.int16)


@pytest.mark.parametrize("noise", [0.0, 30.0, 150.0])
def test_two_sentences_become_two_pieces_that_hold_all_their_words(tmp_path, noise):
    first, second = speech(SENTENCE), speech(OTHER)
    sound = np.concatenate([silence(1.5), first, silence(1.3), second, silence(1.0)])
    spans = spans_of(room(sound, noise, (0.3, 0.6, 0.9)), tmp_path)
    assert len(spans) == 2
    starts = (1.5, 1.5 + len(first) / RATE + 1.3)
    for (start, end), at, words in zip(spans, starts, (first, second), strict=True):
        loud = np.flatnonzero(np.abs(words) > 1500) / RATE
        assert at - 0.5 < start <= at + loud[0] + 0.02
        assert at + loud[-1] - 0.12 <= end < at + loud[-1] + 0.8


def test_a_short_pause_stays_inside_a_sentence(tmp_path):
    sound = np.concatenate([speech(SENTENCE), silence(0.2), speech(OTHER)])
    assert len(spans_of(sound, tmp_path)) == 1


def test_silence_noise_and_key_strokes_are_no_speech(tmp_path):
    assert not spans_of(room(silence(3), 120, (0.5, 1.0, 1.2, 2.0)), tmp_path)


def test_pieces_never_overlap_however_much_room_they_want(tmp_path):
    sound = np.concatenate([speech(OTHER), silence(1.0), speech(OTHER), silence(1.0)])
    wide = Pauses(pause_us=500_000, before_us=2_000_000, after_us=2_000_000)
    spans = spans_of(sound, tmp_path, wide)
    assert len(spans) == 2
    assert spans[0][1] <= spans[1][0]
    assert spans[0][0] >= 0 and spans[1][1] <= len(sound) / RATE + 0.001


def entry(take_s: float, clip_s: float, speed: float, region: str = "knees") -> LogEntry:
    return LogEntry(
        take_us=round(take_s * 1e6), clip_us=round(clip_s * 1e6), speed=speed, region=region
    )


def test_each_piece_knows_what_was_shown_while_it_was_spoken():
    log = [
        entry(0, 1.0, 0.0, "feet"),
        entry(4, 1.0, 1.0, "feet"),
        entry(6, 3.0, 0.0, "knees"),
        entry(9, 7.0, 0.5, "hips"),
    ]
    seconds = [(1, 3), (4, 6), (6.5, 8), (9.5, 11.5)]
    spans = [(round(a * 1e6), round(b * 1e6)) for a, b in seconds]
    pieces = pieces_of(spans, log, 20_000_000)
    assert [(p.clip_start_us / 1e6, p.clip_end_us / 1e6) for p in pieces] == [
        (1.0, 1.0), (1.0, 3.0), (3.0, 3.0), (7.25, 8.25),
    ]  # fmt: skip
    assert [p.region for p in pieces] == ["feet", "feet", "knees", "hips"]
    assert [p.is_over_play for p in pieces] == [False, True, False, True]


def test_a_jump_while_speaking_does_not_stretch_the_note():
    log = [entry(0, 2.0, 0.0), entry(2, 9.0, 0.0)]
    (piece,) = pieces_of([(500_000, 3_000_000)], log, 20_000_000)
    assert (piece.clip_start_us, piece.clip_end_us) == (2_000_000, 2_000_000)


def test_the_log_survives_a_torn_last_line(tmp_path):
    recording = tmp_path / "commentary-1.recording.wav"
    log = PlayheadLog(recording)
    log.add(entry(0, 1, 0))
    log.add(entry(0.5, 1, 0))  # tells nothing new
    log.add(entry(1, 1, 1))
    log.close()
    path = tmp_path / "commentary-1.shown.jsonl"
    path.write_bytes(path.read_bytes() + b'{"take_us": 17')
    assert read_log(tmp_path / "commentary-1.flac") == (entry(0, 1, 0), entry(1, 1, 1))
    assert read_log(tmp_path / "other-1.flac") == ()
