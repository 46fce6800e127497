"""The model of two reviews on the desk, without a widget."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import numpy as np
import pytest
from PyQt6.QtGui import QImage
from support.pair_desk import pair_state, wait_for_arrangement, wait_for_pictures

from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.going import Going
from cliptag.desk.pairing.saving import PairingSaver, spare_path
from cliptag.desk.pairing.state import PairState
from cliptag.pairing import Pairing, PairingNote, edit, load_pairing


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("pairings")


@pytest.fixture
def state(tmp_path: Path, qtbot):
    with pair_state(tmp_path) as opened:
        yield opened


def pixels(image: QImage) -> np.ndarray:
    packed = image.convertToFormat(QImage.Format.Format_RGB888)
    bits = packed.constBits()
    bits.setsize(packed.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(packed.height(), packed.bytesPerLine())
    return rows[:, : 3 * packed.width()].reshape(packed.height(), packed.width(), 3).copy()


def comparison_of(state: PairState):
    assert state.comparison is not None
    return state.comparison


def test_a_step_shows_the_very_frames_that_belong_together(qtbot, state: PairState):
    pair = comparison_of(state).pair
    for index in (0, len(pair) // 2, len(pair) // 2 + 1, len(pair) - 1):
        state.playhead.go_to(index)
        wait_for_pictures(qtbot, state)
        assert state.pictures.frames == pair.indices(index)
        for which, side in enumerate(comparison_of(state).sides):
            expected = side.clip.frame(pair.indices(index)[which]).rgb
            assert np.array_equal(pixels(state.pictures.image(which)), expected)


def test_both_pictures_of_a_step_come_together(qtbot, state: PairState):
    wait_for_pictures(qtbot, state)
    qtbot.wait(100)
    seen = []
    state.pictured.connect(lambda: seen.append(state.pictures.is_exact))
    state.playhead.step(40)
    wait_for_pictures(qtbot, state)
    qtbot.wait(60)
    assert seen and seen[-1] is True


def test_another_layout_stays_on_the_same_frames(qtbot, state: PairState):
    state.playhead.go_to(60)
    wait_for_pictures(qtbot, state)
    before = state.pictures.frames
    wait_for_arrangement(qtbot, state, Arranging(state).next_layout)
    assert comparison_of(state).sheet.layout == "above"
    assert state.playhead.index == 60 and state.pictures.frames == before


def test_another_match_stays_at_the_same_place_of_the_axis(qtbot, state: PairState):
    state.playhead.go_to_time(state.axis.out_at(50.0))
    wait_for_arrangement(qtbot, state, lambda: Arranging(state).true_speed_from("seat_off"))
    assert comparison_of(state).alignment.from_moment == "seat_off"
    assert state.percent == pytest.approx(50.0, abs=1.0)


def test_going_round_the_ways_to_match_comes_back(qtbot, state: PairState):
    arranging = Arranging(state)
    names = arranging.shared_moments
    met = []
    for _ in range(len(names) + 1):
        wait_for_arrangement(qtbot, state, arranging.next_match)
        met.append(arranging.matched_from)
    assert met == [*names, None]
    assert comparison_of(state).alignment.match == "moments"


def test_a_goal_changes_the_verdict_and_undo_takes_it_back(qtbot, state: PairState):
    changed = next(d for d in comparison_of(state).differences if d.verdict == "changed")
    way = "more" if changed.change > 0 else "less"
    state.choose_quantity(changed.name)
    assert state.difference.towards is None, "nothing is judged without a goal"
    wait_for_arrangement(qtbot, state, lambda: Arranging(state).set_goal(way))
    assert state.difference.towards == "towards the goal"
    assert state.document.undo_words.startswith("set a goal")
    wait_for_arrangement(qtbot, state, state.document.undo)
    assert state.difference.towards is None and state.pairing.goals == {}
    wait_for_arrangement(qtbot, state, state.document.redo)
    assert state.difference.towards == "towards the goal"


def test_mirroring_is_a_choice_that_changes_no_number(qtbot, state: PairState):
    before = [(d.name, d.change, d.verdict) for d in comparison_of(state).differences]
    wait_for_arrangement(qtbot, state, lambda: Arranging(state).set_mirror("yes"))
    assert comparison_of(state).placing.is_mirrored
    assert [(d.name, d.change, d.verdict) for d in comparison_of(state).differences] == before


def test_swapping_swaps_names_pictures_and_signs(qtbot, state: PairState):
    wait_for_pictures(qtbot, state)
    names = [side.words for side in comparison_of(state).sides]
    changes = {d.name: d.change for d in comparison_of(state).differences}
    wait_for_arrangement(qtbot, state, Arranging(state).swap)
    assert [side.words for side in comparison_of(state).sides] == names[::-1]
    for difference in comparison_of(state).differences:
        assert difference.change == pytest.approx(-changes[difference.name])
    wait_for_pictures(qtbot, state)
    pair = comparison_of(state).pair
    assert state.pictures.frames == pair.indices(state.playhead.index)
    for which, side in enumerate(comparison_of(state).sides):
        expected = side.clip.frame(state.pictures.frames[which]).rgb
        assert np.array_equal(pixels(state.pictures.image(which)), expected)


def test_what_cannot_be_compared_so_is_taken_back_with_a_sentence(qtbot, state: PairState):
    said: list[str] = []
    state.warned.connect(said.append)
    before = state.pairing
    strange = edit.with_fields(before, match="true_speed", from_moment="deepest")
    state.do(strange, "match at the deepest")
    qtbot.waitUntil(lambda: bool(said), timeout=10_000)
    assert "deepest" in said[0] and state.pairing == before


def test_quick_changes_end_in_the_last_of_them(qtbot, state: PairState):
    arranging = Arranging(state)
    for layout in ("above", "over", "side", "over"):
        arranging.set_layout(layout)
    qtbot.waitUntil(lambda: comparison_of(state).sheet.layout == "over", timeout=20_000)
    state.document.undo()
    qtbot.waitUntil(lambda: comparison_of(state).sheet.layout == "side", timeout=20_000)
    qtbot.wait(300)
    assert comparison_of(state).sheet.layout == state.pairing.layout == "side"


def test_a_spell_of_typing_is_one_step_and_lands_in_the_file(qtbot, state: PairState):
    arranging = Arranging(state)
    state.playhead.go_to_time(state.axis.out_at(40.0))
    for end in range(1, 13):
        arranging.write("Better here."[:end])
    assert [note.text for note in state.pairing.notes] == ["Better here."]
    assert state.pairing.notes[0].percent == pytest.approx(state.percent, abs=0.06)
    path = state.document.path
    qtbot.waitUntil(path.exists, timeout=1000)
    qtbot.waitUntil(lambda: state.save_words == "saved", timeout=2000)
    assert load_pairing(path).notes == state.pairing.notes
    state.document.undo()
    assert state.pairing.notes == () and state.document.undo_words is None


def test_notes_are_found_changed_moved_and_deleted(qtbot, state: PairState):
    arranging, going = Arranging(state), Going(state)
    for percent, text in ((20.0, "First."), (70.0, "Second.")):
        state.choose_note(None)
        state.playhead.go_to_time(state.axis.out_at(percent))
        arranging.write(text)
    going.to_note(-1)
    assert state.chosen_note == 0 and state.percent == pytest.approx(20.0, abs=1.0)
    arranging.set_kind("good")
    arranging.set_region("knees")
    assert (state.pairing.notes[0].kind, state.pairing.notes[0].region) == ("good", "knees")
    state.playhead.go_to_time(state.axis.out_at(90.0))
    arranging.move_note_here()
    assert [note.text for note in state.pairing.notes] == ["Second.", "First."]
    assert state.chosen_note == 1, "it stays the chosen one"
    arranging.delete_note()
    assert [note.text for note in state.pairing.notes] == ["Second."]
    arranging.delete_note()
    assert len(state.pairing.notes) == 1, "without a chosen note nothing is deleted"


def test_moments_are_gone_to_in_both(qtbot, state: PairState):
    going, knots = Going(state), comparison_of(state).alignment.knots
    state.playhead.go_to(0)
    for knot in knots:
        going.to_moment(1)
        frames = comparison_of(state).pair.indices(state.playhead.index)
        for side, frame, at in zip(
            comparison_of(state).sides, frames, (knot.first_us, knot.second_us), strict=True
        ):
            assert frame == side.clip.index_at(at)


def test_closing_saves_and_ends_every_thread(qtbot, tmp_path: Path):
    before = {thread.name for thread in threading.enumerate()}
    with pair_state(tmp_path) as state:
        Arranging(state).write("Said at the last moment.")
        path = state.document.path
        assert state.close()
    assert load_pairing(path).notes[0].text == "Said at the last moment."
    deadline = time.monotonic() + 5.0
    while {t.name for t in threading.enumerate()} - before and time.monotonic() < deadline:
        qtbot.wait(20)
    assert {t.name for t in threading.enumerate()} <= before
    assert not state.is_open


def test_where_the_folder_cannot_be_written_it_is_kept_elsewhere_and_said(qtbot, tmp_path: Path):
    blocked = tmp_path / "a file"
    blocked.write_text("not a folder")
    path = blocked / "both.pairing.json"
    said: list[str] = []
    saver = PairingSaver(path)
    saver.trouble.connect(said.append)
    pairing = Pairing(
        reviews=(str(tmp_path / "a.review.json"), str(tmp_path / "b.review.json")),
        notes=(PairingNote(percent=5.0, text="Kept."),),
    )
    saver.take(pairing)
    assert not saver.is_saved
    assert saver.close()
    assert saver.path == spare_path(path)
    assert load_pairing(spare_path(path)).notes[0].text == "Kept."
    assert len(said) == 1 and str(spare_path(path)) in said[0]
