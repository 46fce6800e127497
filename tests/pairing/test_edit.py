"""Changes to a pairing are functions: the one that was given stays as it was."""

from __future__ import annotations

from cliptag.pairing import Pairing, PairingNote, edit

PLAIN = Pairing(reviews=("/a.review.json", "/b.review.json", "/c.review.json"))


def said(percent: float, text: str = "Look here.") -> PairingNote:
    return PairingNote(percent=percent, text=text)


def test_notes_stand_in_the_axis_order_wherever_they_are_put():
    pairing = PLAIN
    for percent in (60.0, 5.0, 100.0, 30.0):
        pairing = edit.with_note(pairing, said(percent))
    assert [note.percent for note in pairing.notes] == [5.0, 30.0, 60.0, 100.0]
    moved = edit.with_note(pairing, said(99.0, "Later."), 0)
    assert [note.percent for note in moved.notes] == [30.0, 60.0, 99.0, 100.0]
    assert PLAIN.notes == ()


def test_of_notes_at_one_place_the_later_written_comes_later():
    pairing = edit.with_note(edit.with_note(PLAIN, said(5.0, "One.")), said(5.0, "Two."))
    assert [note.text for note in pairing.notes] == ["One.", "Two."]


def test_a_note_without_words_is_none():
    pairing = edit.with_note(PLAIN, said(5.0))
    assert edit.with_note(PLAIN, said(5.0, "  \n")).notes == ()
    assert edit.with_note(pairing, said(5.0, ""), 0).notes == ()
    assert edit.without_note(pairing, 0).notes == ()


def test_a_goal_is_set_changed_and_taken_away():
    less = edit.with_goal(PLAIN, "trunk_tilt_highest", "less")
    assert less.goals == {"trunk_tilt_highest": "less"} and PLAIN.goals == {}
    assert edit.with_goal(less, "trunk_tilt_highest", "more").goals["trunk_tilt_highest"] == "more"
    assert edit.with_goal(less, "trunk_tilt_highest", None).goals == {}


def test_swapping_takes_the_ends_and_leaves_what_lies_between():
    assert edit.swapped(PLAIN).reviews == ("/c.review.json", "/b.review.json", "/a.review.json")
    assert edit.swapped(edit.swapped(PLAIN)) == PLAIN
