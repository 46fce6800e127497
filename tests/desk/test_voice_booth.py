"""What is spoken becomes the note's, in time, and nothing that was said is lost."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from pathlib import Path

import av
import numpy as np
import pytest
from support.desk import note, saved_review
from support.fake_microphone import FakeMicrophone, opener
from support.media import make_clip
from support.spoken import OTHER, SENTENCE, silence, speech

from cliptag.desk.state import DeskState
from cliptag.desk.voice import NO_MICROPHONE, Booth, Drafting
from cliptag.errors import VoiceError
from cliptag.review import Note, edit
from cliptag.voice import TakeWriter, new_take

RATE = 48_000


@pytest.fixture
def state(tmp_path: Path) -> Iterator[DeskState]:
    clip = make_clip(tmp_path / "ines.mp4", seconds=12)
    state = DeskState()
    assert state.open(saved_review(clip, note(1, 1_000_000, 2_000_000, text="")))
    yield state
    state.close()


def fresh(state: DeskState):
    def fresh_note(start_us: int) -> Note:
        return Note(
            id=edit.new_id(), region=state.rung, kind="seen", start_us=start_us, end_us=start_us
        )

    return fresh_note


@pytest.fixture
def said(state: DeskState) -> list[str]:
    sentences: list[str] = []
    state.said.connect(sentences.append)
    state.warned.connect(sentences.append)
    return sentences


def booth_with(state: DeskState, *microphones: FakeMicrophone | None) -> Booth:
    return Booth(state, fresh(state), open_microphone=opener(*microphones))


def samples_in(path: Path) -> np.ndarray:
    with av.open(str(path)) as container:
        return np.concatenate([f.to_ndarray().reshape(-1) for f in container.decode(audio=0)])


def tone(seconds: float, height: float = 0.3) -> np.ndarray:
    wave = height * np.sin(2 * np.pi * 220 * np.arange(round(seconds * RATE)) / RATE)
    return (wave * 32_767).astype(np.int16)


def speak(qtbot, booth: Booth, microphone: FakeMicrophone, samples: np.ndarray) -> None:
    booth.toggle_note()
    microphone.hear(samples)
    booth.toggle_note()
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=10_000)


def test_a_take_goes_to_the_chosen_note_in_one_step(qtbot, state, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    speak(qtbot, booth, microphone, tone(0.7))
    (spoken,) = state.document.review.notes
    assert spoken.voice is not None
    assert spoken.voice.path == "ines.voice/n1-1.flac"
    assert spoken.voice.length_us == pytest.approx(700_000, abs=25)
    assert np.array_equal(samples_in(tmp_path / spoken.voice.path), tone(0.7))
    state.document.undo()
    assert state.document.review.notes[0].voice is None
    assert (tmp_path / "ines.voice" / "n1-1.flac").exists()
    booth.close()


def test_a_second_take_leaves_the_first_one_and_undo_brings_it_back(qtbot, state, tmp_path):
    first, second = FakeMicrophone(), FakeMicrophone()
    booth = booth_with(state, first, second)
    state.choose("n1")
    speak(qtbot, booth, first, tone(0.5))
    speak(qtbot, booth, second, tone(0.9))
    assert state.chosen_note.voice.path.endswith("n1-2.flac")
    state.document.undo()
    assert state.chosen_note.voice.path.endswith("n1-1.flac")
    assert np.array_equal(samples_in(tmp_path / "ines.voice" / "n1-1.flac"), tone(0.5))
    booth.close()


def test_without_a_chosen_note_a_new_one_is_spoken_about_the_shown_frame(qtbot, state):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.stand_on("hips")
    state.playhead.go_to_time(3_000_000)
    speak(qtbot, booth, microphone, tone(0.4))
    new = state.document.review.notes[-1]
    assert (new.region, new.start_us) == ("hips", 3_000_000)
    assert new.voice is not None and state.chosen_note == new
    booth.close()


def test_without_a_microphone_one_sentence_says_so_and_nothing_changes(state, said, tmp_path):
    booth = booth_with(state, None)
    before = state.document.review
    state.choose("n1")
    booth.toggle_note()
    booth.toggle_running()
    assert said == [NO_MICROPHONE] * 2
    assert booth.state == "idle" and state.document.review is before
    assert not (tmp_path / "ines.voice").exists()
    booth.close()


def test_a_microphone_that_cannot_be_used_is_a_sentence_and_leaves_no_file(
    qtbot, state, said, tmp_path
):
    booth = booth_with(state, FakeMicrophone(works=False))
    state.choose("n1")
    booth.toggle_note()
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=5000)
    assert "can't be used" in said[0]
    assert not list((tmp_path / "ines.voice").iterdir())
    assert state.chosen_note.voice is None
    booth.close()


def test_what_was_heard_until_it_was_unplugged_is_kept(qtbot, state, said):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    booth.toggle_note()
    microphone.hear(tone(0.5))
    microphone.is_plugged_in = False
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=5000)
    assert "fell silent" in said[0]
    assert state.chosen_note.voice.length_us == pytest.approx(500_000, abs=25)
    booth.close()


def test_a_voice_that_was_too_loud_is_told_of(qtbot, state, said):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    speak(
        qtbot, booth, microphone, np.clip(tone(0.3).astype(int) * 8, -32_768, 32_767).astype("i2")
    )
    assert any("too loud" in sentence for sentence in said)
    assert state.chosen_note.voice is not None
    booth.close()


def test_a_full_disk_is_told_of_and_what_was_written_stays(
    qtbot, state, said, tmp_path, monkeypatch
):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    booth.toggle_note()
    microphone.hear(tone(0.5))
    qtbot.wait(200)

    def full(*_: object) -> None:
        raise VoiceError("Nothing can be recorded into there (No space left on device).")

    monkeypatch.setattr(TakeWriter, "write", full)
    microphone.hear(tone(0.5))
    booth.toggle_note()
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=5000)
    assert any("No space left" in sentence for sentence in said)
    (left,) = (tmp_path / "ines.voice").iterdir()
    assert left.name == "n1-1.recording.wav" and left.stat().st_size == 44 + 2 * len(tone(0.5))
    booth.close()


def left_by_a_crash(folder: Path, name: str, samples: np.ndarray) -> Path:
    writer = TakeWriter(new_take(folder / "ines.voice", name))
    writer.write(samples)
    os.utime(writer.path, (time.time() - 60,) * 2)
    return writer.path


def test_what_a_crash_left_is_given_to_its_note(state, tmp_path):
    left_by_a_crash(tmp_path, "n1", tone(0.6))
    booth = booth_with(state, None)
    assert booth.recover() == 1
    voice = state.document.review.notes[0].voice
    assert voice is not None and voice.length_us == pytest.approx(600_000, abs=25)
    assert np.array_equal(samples_in(tmp_path / voice.path), tone(0.6))
    booth.close()


def test_a_note_that_has_a_voice_keeps_it_and_the_left_take_is_kept_too(qtbot, state, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    speak(qtbot, booth, microphone, tone(0.5))
    left_by_a_crash(tmp_path, "n1", tone(0.6))
    assert booth.recover() == 1
    assert state.chosen_note.voice.path == "ines.voice/n1-1.flac"
    assert (tmp_path / "ines.voice" / "n1-2.flac").exists()
    booth.close()


def test_another_clip_ends_the_take_but_loses_nothing(qtbot, state, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.choose("n1")
    booth.toggle_note()
    microphone.hear(tone(0.5))
    other = make_clip(tmp_path / "other.mp4")
    state.open(other)
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=5000)
    assert np.array_equal(samples_in(tmp_path / "ines.voice" / "n1-1.flac"), tone(0.5))
    assert not state.document.review.notes
    booth.close()


def test_a_running_commentary_becomes_notes_at_its_pauses(qtbot, state, said, monkeypatch):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    state.stand_on("feet")
    state.playhead.go_to_time(2_000_000)
    booth.toggle_running()
    first, second = speech(SENTENCE), speech(OTHER)
    clock = [0.0]
    monkeypatch.setattr("cliptag.desk.voice.recording.time.monotonic", lambda: 500.0 + clock[0])

    def hear(samples: np.ndarray) -> None:
        for start in range(0, len(samples), 1024):
            piece = samples[start : start + 1024]
            clock[0] += len(piece) / RATE
            microphone.hear(piece)

    hear(silence(0.8))
    hear(first)
    hear(silence(0.7))
    state.stand_on("knees")
    state.playhead.go_to_time(5_000_000)
    hear(silence(0.7))
    hear(second)
    hear(silence(0.5))
    booth.stop()
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=20_000)
    notes = state.document.review.notes[1:]
    assert [n.region for n in notes] == ["feet", "knees"]
    assert [n.start_us for n in notes] == [2_000_000, 5_000_000]
    starts = [n.voice.start_us / 1e6 for n in notes]
    assert starts[0] == pytest.approx(0.8, abs=0.35)
    assert starts[1] == pytest.approx(0.8 + len(first) / RATE + 1.4, abs=0.35)
    assert len({n.voice.path for n in notes}) == 1
    assert not any(n.voice.is_over_play for n in notes)
    assert said[-1] == "Your commentary became 2 spoken notes."
    state.document.undo()
    assert len(state.document.review.notes) == 1
    booth.close()


def test_a_commentary_without_speech_makes_no_note_but_is_kept(qtbot, state, said, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    booth.toggle_running()
    microphone.hear(silence(1.5))
    booth.stop()
    qtbot.waitUntil(lambda: booth.state == "idle", timeout=20_000)
    assert len(state.document.review.notes) == 1
    assert "No speech was heard" in said[-1] and "commentary-1.flac" in said[-1]
    assert (tmp_path / "ines.voice" / "commentary-1.flac").exists()
    booth.close()


class Parrot:
    def words_of(self, sound: np.ndarray) -> str:
        return f"heard {len(sound) / 16_000:.1f} seconds"


def test_a_spoken_note_without_text_gets_a_draft(qtbot, state, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    drafting = Drafting(state, open_model=lambda _model, _language: Parrot())
    drafting.use(tmp_path)
    state.choose("n1")
    speak(qtbot, booth, microphone, tone(0.5))
    qtbot.waitUntil(lambda: state.chosen_note.is_draft, timeout=5000)
    assert state.chosen_note.text == "heard 0.5 seconds"
    drafting.close()
    booth.close()


def test_a_note_with_a_text_and_one_typed_meanwhile_keep_it(qtbot, state, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)
    asked: list[int] = []

    class Slow(Parrot):
        def words_of(self, sound: np.ndarray) -> str:
            asked.append(len(sound))
            time.sleep(0.5)
            return super().words_of(sound)

    drafting = Drafting(state, open_model=lambda _model, _language: Slow())
    drafting.use(tmp_path)
    state.choose("n1")
    speak(qtbot, booth, microphone, tone(0.5))
    qtbot.waitUntil(lambda: bool(asked), timeout=5000)
    document = state.document
    document.do(edit.with_text_read(document.review, "n1", "Typed."), "write")
    qtbot.wait(900)
    assert state.chosen_note.text == "Typed." and not state.chosen_note.is_draft
    drafting.close()
    booth.close()


def test_a_model_that_cannot_be_used_is_told_of_once(qtbot, state, said, tmp_path):
    microphone = FakeMicrophone()
    booth = booth_with(state, microphone)

    def broken(_model: Path, _language: str | None) -> Parrot:
        raise VoiceError("The speech model can't be used: type what you said.")

    drafting = Drafting(state, open_model=broken)
    drafting.use(tmp_path)
    state.choose("n1")
    speak(qtbot, booth, microphone, tone(0.5))
    qtbot.waitUntil(lambda: bool(said), timeout=5000)
    state.document.do(edit.with_note_fields(state.document.review, "n1", kind="good"), "kind")
    qtbot.wait(200)
    assert said == ["The speech model can't be used: type what you said."]
    drafting.close()
    booth.close()
