"""Two reviews in the desk's window: how they come, how they go, what is made of them."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import av
import msgspec
import pytest
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QFileDialog
from support.accessible import CONTROLS, told_of
from support.desk import note, opened_desk, press, saved_review, small_clip

from cliptag.desk.pairing import SUFFIX
from cliptag.desk.window import DeskWindow
from cliptag.pairing import SUFFIX as PAIRING_SUFFIX
from cliptag.pairing import PairingNote, load_pairing, pairing_of, pairing_path_of, save_pairing
from cliptag.review import Consent, Joint, Point, edit, load_review, save_review

PATIENCE_MS = 60_000
KNEE = Joint(
    id="m", joint="knee", proximal=Point(20, 20), vertex=Point(60, 40), distal=Point(30, 80)
)


@pytest.fixture
def two(tmp_path: Path) -> tuple[Path, Path]:
    """The same joint measured in weeks 1 and 10, without followed points."""
    paths = []
    for week in (1, 10):
        clip = small_clip(tmp_path, f"week{week}.mp4")
        marked = note(1, 500_000, 900_000, marks=(KNEE,))
        paths.append(saved_review(clip, marked, week=week, client="Ines", movement="bend"))
    return paths[0], paths[1]


@pytest.fixture
def desk(qtbot):
    with opened_desk() as window:
        yield window
        window.pairing.close()


def opened(qtbot, desk: DeskWindow) -> None:
    qtbot.waitUntil(lambda: desk.pairing.is_on, timeout=PATIENCE_MS)


def test_the_files_ending_is_the_librarys():
    assert SUFFIX == PAIRING_SUFFIX


def test_two_named_reviews_come_onto_the_desk_in_the_given_order(qtbot, desk, two):
    desk.pairing.open_two(two[1], two[0])
    opened(qtbot, desk)
    view = desk.pairing.view
    assert [s.words for s in view.state.comparison.sides] == ["Week 10", "Week 1"]
    assert view.isVisible() and view.head.isVisible()
    assert "week10 and week1" in desk.windowTitle() and "unchanged" in desk.windowTitle()
    assert not pairing_path_of(view.state.pairing).exists(), "nothing is written before a change"


def test_the_open_review_is_compared_with_a_chosen_one(qtbot, desk, two, monkeypatch):
    assert desk.open_path(two[1])
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(two[0]), ""))
    press(desk, "Ctrl+Shift+C")
    opened(qtbot, desk)
    assert [s.words for s in desk.pairing.view.state.comparison.sides] == ["Week 1", "Week 10"]
    assert desk.state.document is None, "one thing at a time"


def test_the_reviews_last_change_is_in_what_is_compared(qtbot, desk, two, monkeypatch):
    assert desk.open_path(two[1])
    review = desk.state.document.review
    desk.state.document.do(edit.with_fields(review, impression="Changed just now."), "write")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: (str(two[0]), ""))
    press(desk, "Ctrl+Shift+C")
    opened(qtbot, desk)
    second = desk.pairing.view.state.comparison.sides[1]
    assert second.review.impression == "Changed just now."
    assert load_review(two[1]).impression == "Changed just now."


def test_what_cannot_be_compared_leaves_the_desk_as_it_was(qtbot, desk, two, tmp_path):
    other = saved_review(small_clip(tmp_path, "other.mp4"), client="Tove", movement="bend")
    assert desk.open_path(two[0])
    desk.pairing.compare(two[0], other)
    qtbot.waitUntil(lambda: "different clients" in desk.bar.sentence, timeout=PATIENCE_MS)
    assert not desk.pairing.is_on and desk.state.document.path == two[0]


def test_a_review_that_is_gone_is_told_of(qtbot, desk, two, tmp_path):
    desk.pairing.open_two(two[0], tmp_path / "gone.review.json")
    qtbot.waitUntil(lambda: "gone.review.json" in desk.bar.sentence, timeout=PATIENCE_MS)
    assert not desk.pairing.is_on


def test_a_damaged_pairing_is_refused_in_one_sentence(desk, tmp_path: Path):
    path = tmp_path / f"broken{SUFFIX}"
    path.write_text("{")
    assert not desk.open_path(path)
    assert "not a sound pairing" in desk.bar.sentence


def test_a_kept_pairing_opens_with_its_notes_and_comes_back_for_the_same_two(qtbot, desk, two):
    pairing = msgspec.structs.replace(
        pairing_of(*two), layout="over", notes=(PairingNote(percent=50.0, text="Kept."),)
    )
    path = save_pairing(pairing, pairing_path_of(pairing))
    assert desk.open_path(path)
    opened(qtbot, desk)
    assert desk.pairing.view.state.pairing.notes[0].text == "Kept."
    press(desk, "Ctrl+W")
    assert not desk.pairing.is_on
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    assert desk.pairing.view.state.comparison.sheet.layout == "over"
    assert path in desk.remembered.recent


def test_one_key_goes_on_with_either_review(qtbot, desk, two):
    for key, path in (("Ctrl+1", two[0]), ("Ctrl+2", two[1])):
        desk.pairing.open_two(*two)
        opened(qtbot, desk)
        press(desk, key)
        assert desk.state.document.path == path
        assert not desk.pairing.is_on and desk.stage.isVisible()


def test_keys_mean_what_is_shown(qtbot, desk, two):
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    state = desk.pairing.view.state
    press(desk, "Right")
    press(desk, "Right")
    press(desk, "Left")
    assert state.playhead.index == 1
    press(desk, "End")
    assert state.playhead.index == state.playhead.last_index
    press(desk, "Home")
    press(desk, "Space")
    assert state.playhead.is_playing
    qtbot.waitUntil(lambda: state.playhead.index > 2, timeout=5000)
    press(desk, "Space")
    press(desk, "L")
    qtbot.waitUntil(lambda: state.comparison.sheet.layout == "above", timeout=PATIENCE_MS)
    press(desk, "Ctrl+Z")
    qtbot.waitUntil(lambda: state.comparison.sheet.layout == "side", timeout=PATIENCE_MS)
    assert desk.state.document is None and desk.state.playhead.index == 0
    press(desk, "F6")
    press(desk, "F1")
    page = desk.pages.page("keys")
    assert page.isVisible()
    assert any(line.startswith("Swap the two\tX") for line in page.shown)
    press(desk, "Escape")
    assert not page.isVisible() and desk.pairing.is_on


def test_every_control_has_a_name_on_every_leaf(qtbot, desk, two):
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    for leaf in ("changed", "notes", "views"):
        desk.pairing.view.turn_to(leaf)
        QTest.qWait(20)
        told = [t for t in told_of(desk) if t.is_seen]
        assert [t for t in told if t.role in CONTROLS and not t.name.strip()] == []
        # Of a list that drops down Qt tells what is chosen in it, on Linux.
        assert {"Both pictures", "Strip of both", "Side by side"} <= {t.name for t in told}


def test_the_comparison_is_made_beside_the_pairing_while_one_works_on(qtbot, desk, two):
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    view = desk.pairing.view
    press(desk, "Ctrl+E")
    assert view.is_exporting and not view.commands.action("export").isEnabled()
    press(desk, "Right")
    assert view.state.playhead.index == 1
    qtbot.waitUntil(lambda: not view.is_exporting, timeout=4 * PATIENCE_MS)
    folder = two[1].with_name("week1 and week10 compared")
    assert {"comparison.mp4", "comparison.vtt", "summary.html", "summary.pdf"} <= {
        f.name for f in folder.iterdir()
    }
    with av.open(str(folder / "comparison.mp4")) as video:
        assert video.streams.video[0].width > video.streams.video[0].height // 2
    assert "ready" in "".join(m.sentence for m in desk.bar.earlier)


def test_what_the_client_did_not_agree_to_is_refused_in_a_sentence(qtbot, desk, two):
    ended = Consent(
        given_on=date(2020, 1, 1),
        covers=("private_feedback",),
        reference="letter",
        until=date(2020, 2, 1),
    )
    save_review(msgspec.structs.replace(load_review(two[1]), consent=ended), two[1])
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    press(desk, "Ctrl+E")
    qtbot.waitUntil(lambda: not desk.pairing.is_exporting, timeout=PATIENCE_MS)
    assert "consent" in desk.bar.sentence.lower()
    folder = two[1].with_name("week1 and week10 compared")
    assert not folder.exists() or not list(folder.iterdir())


def test_a_stopped_export_leaves_nothing(qtbot, desk, two):
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    press(desk, "Ctrl+E")
    press(desk, "Ctrl+.")
    qtbot.waitUntil(lambda: not desk.pairing.is_exporting, timeout=PATIENCE_MS)
    folder = two[1].with_name("week1 and week10 compared")
    assert not folder.exists() or not list(folder.iterdir())


def test_notes_that_are_written_are_in_the_file_when_the_window_closes(qtbot, two):
    with opened_desk() as desk:
        desk.pairing.open_two(*two)
        opened(qtbot, desk)
        press(desk, "N")
        QTest.keyClicks(desk.focusWidget(), "Longer back.")
        path = desk.pairing.view.state.document.path
        desk.close()
        assert load_pairing(path).notes[0].text == "Longer back."
        names = {thread.name for thread in threading.enumerate()}
        assert not {n for n in names if n.startswith(("desk comparing", "desk pairing"))}


def test_opening_a_clip_takes_both_off_the_desk(qtbot, desk, two):
    desk.pairing.open_two(*two)
    opened(qtbot, desk)
    assert desk.open_path(two[0])
    assert not desk.pairing.is_on and desk.stage.isVisible()
    press(desk, "Right")
    assert desk.state.playhead.index == 1
