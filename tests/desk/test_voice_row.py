"""The voice in the card: speak, trim, listen, remove, read, with the hand and with keys alone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtTest import QTest
from support.accessible import CONTROLS, told_of
from support.desk import note, opened_desk, press, saved_review
from support.fake_microphone import FakeMicrophone, opener
from support.media import make_clip

from cliptag.desk.voice import NO_MICROPHONE
from cliptag.desk.voice.meter import LevelMeter
from cliptag.desk.voice.row import VoiceRow
from cliptag.desk.voice.trim_bar import LEAST_US, TrimBar
from cliptag.desk.window import DeskWindow
from cliptag.review import edit
from cliptag.voice import Level

RATE = 48_000


def tone(seconds: float) -> np.ndarray:
    wave = np.sin(2 * np.pi * 220 * np.arange(round(seconds * RATE)) / RATE)
    return (wave * 9_000).astype(np.int16)


@pytest.fixture
def microphone() -> FakeMicrophone:
    return FakeMicrophone()


@pytest.fixture
def desk(tmp_path: Path, microphone, monkeypatch) -> Iterator[DeskWindow]:
    monkeypatch.setattr("cliptag.desk.voice.row.input_names", lambda: ("Fake",))
    clip = make_clip(tmp_path / "ines.mp4", seconds=4)
    with opened_desk(saved_review(clip, note(1, 1_000_000, 2_000_000, text=""))) as window:
        window.booth._open_microphone = opener(microphone)
        window.state.choose("n1")
        yield window


def row_of(desk: DeskWindow) -> VoiceRow:
    row = desk.card.page.voice
    assert row is not None
    return row


def speak(qtbot, desk: DeskWindow, microphone: FakeMicrophone, seconds: float = 2.0) -> None:
    desk.stage.setFocus()
    press(desk, "Y")
    qtbot.waitUntil(lambda: microphone.is_on, timeout=2000)
    microphone.hear(tone(seconds))
    press(desk, "Y")
    qtbot.waitUntil(lambda: desk.booth.state == "idle", timeout=10_000)


def test_one_key_speaks_the_note_and_ends_it(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    voice = desk.state.chosen_note.voice
    assert voice is not None and voice.length_us == pytest.approx(2_000_000, abs=25)
    row = row_of(desk)
    assert row.bar.isVisible() and row.listen.isVisible() and row.speak.text() == "Speak again"
    assert row.words.text() == "2.0 s"


def test_while_it_listens_the_level_is_shown_and_the_clip_is_hushed(qtbot, desk, microphone):
    desk.stage.setFocus()
    press(desk, "Y")
    qtbot.waitUntil(lambda: microphone.is_on, timeout=2000)
    row = row_of(desk)
    assert row.meter.isVisible() and row.speak.text() == "Stop"
    assert not desk.sound.is_on
    microphone.hear(tone(0.5))
    assert row.meter.words == "good"
    press(desk, "Y")
    qtbot.waitUntil(lambda: desk.booth.state == "idle", timeout=10_000)
    assert not row.meter.isVisible() and desk.sound.is_on


def test_the_two_ends_are_trimmed_by_the_hand_in_one_step(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    bar = row_of(desk).bar
    qtbot.waitUntil(bar.isEnabled, timeout=5000)
    middle = bar.height() // 2
    QTest.mousePress(bar, Qt.MouseButton.LeftButton, pos=QPoint(8, middle))
    for share in (0.1, 0.2, 0.25):
        QTest.mouseMove(bar, QPoint(round(share * bar.width()), middle))
    QTest.mouseRelease(
        bar, Qt.MouseButton.LeftButton, pos=QPoint(round(0.25 * bar.width()), middle)
    )
    voice = desk.state.chosen_note.voice
    assert voice.start_us == pytest.approx(500_000, abs=60_000)
    assert voice.end_us == pytest.approx(2_000_000, abs=25)
    desk.state.document.undo()
    assert desk.state.chosen_note.voice.start_us == 0


def test_the_two_ends_are_trimmed_by_keys_alone(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    bar = row_of(desk).bar
    qtbot.waitUntil(bar.isEnabled, timeout=5000)
    bar.setFocus()
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down):
        QTest.keyClick(bar, key)
    QTest.keyClick(bar, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    voice = desk.state.chosen_note.voice
    assert (voice.start_us, voice.end_us) == (40_000, pytest.approx(1_800_000, abs=25))
    assert "the end moves" in bar.accessibleDescription()


def test_the_ends_never_cross_or_leave_the_take(qtbot):
    bar = TrimBar()
    qtbot.addWidget(bar)
    bar.resize(400, 40)
    bar.show_take(np.zeros((480, 2), np.float32), 1_000_000)
    bar.show_trim(0, 1_000_000)
    for _ in range(80):
        QTest.keyClick(bar, Qt.Key.Key_Right)
    assert bar.trim_us == (1_000_000 - LEAST_US, 1_000_000)
    QTest.keyClick(bar, Qt.Key.Key_Down)
    for _ in range(80):
        QTest.keyClick(bar, Qt.Key.Key_Right)
    assert bar.trim_us == (1_000_000 - LEAST_US, 1_000_000)


def test_removing_the_voice_is_one_step_and_the_file_stays(qtbot, desk, microphone, tmp_path):
    speak(qtbot, desk, microphone)
    row_of(desk).remove.click()
    assert desk.state.chosen_note.voice is None
    assert (tmp_path / "ines.voice" / "n1-1.flac").exists()
    desk.state.document.undo()
    assert desk.state.chosen_note.voice is not None


def test_a_take_that_is_gone_is_told_of_in_the_card(qtbot, desk, microphone, tmp_path):
    speak(qtbot, desk, microphone)
    (tmp_path / "ines.voice" / "n1-1.flac").unlink()
    desk.state.choose(None)
    row_of(desk)._asked = None
    desk.state.choose("n1")
    qtbot.waitUntil(lambda: "is not there" in row_of(desk).words.text(), timeout=5000)
    assert not row_of(desk).bar.isEnabled()


def test_a_draft_is_marked_until_it_is_read_or_written_in(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    document, row = desk.state.document, row_of(desk)
    document.do(edit.with_draft_text(document.review, "n1", "Porridge."), "draft")
    assert row.draft.isVisible() and row.read.isVisible()
    row.read.click()
    assert not desk.state.chosen_note.is_draft and not row.draft.isVisible()
    document.undo()
    assert row.draft.isVisible()
    desk.card.write()
    QTest.keyClicks(desk.card.page.text, "!")
    assert not desk.state.chosen_note.is_draft and "!" in desk.state.chosen_note.text


def test_a_spoken_note_without_words_is_not_taken_for_empty(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    desk.card.done()
    assert len(desk.state.document.review.notes) == 1


def test_closing_the_card_while_it_listens_does_not_lose_the_note(qtbot, desk, microphone):
    desk.stage.setFocus()
    press(desk, "Y")
    qtbot.waitUntil(lambda: microphone.is_on, timeout=2000)
    microphone.hear(tone(0.5))
    desk.card.done()
    desk.booth.stop()
    qtbot.waitUntil(lambda: desk.booth.state == "idle", timeout=10_000)
    assert desk.state.document.review.notes[0].voice is not None


def test_without_a_microphone_the_card_says_so_and_writes_on(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr("cliptag.desk.voice.row.input_names", tuple)
    clip = make_clip(tmp_path / "ines.mp4")
    with opened_desk(saved_review(clip, note(1, 0, 500_000))) as window:
        window.state.choose("n1")
        row = row_of(window)
        assert row.words.text() == NO_MICROPHONE
        assert not row.speak.isEnabled() and not row.bar.isVisible()
        window.card.write()
        QTest.keyClicks(window.card.page.text, " More.")
        assert window.state.chosen_note.text.endswith("More.")


def test_every_control_has_a_name(qtbot, desk, microphone):
    speak(qtbot, desk, microphone)
    seen = [told for told in told_of(desk.card) if told.is_seen and told.role in CONTROLS]
    assert seen and [told for told in seen if not told.name.strip()] == []


@pytest.mark.parametrize(
    ("level", "words"),
    [
        (Level(-40.0), "quiet"),
        (Level(-12.0), "good"),
        (Level(-3.0), "loud"),
        (Level(0.0, True), "too loud"),
    ],
)
def test_the_meter_says_in_words_what_it_shows(qtbot, level, words):
    meter = LevelMeter()
    qtbot.addWidget(meter)
    meter.show_level(level)
    assert meter.accessibleDescription() == words
