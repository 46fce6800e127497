"""The bar: one sentence at a time, nothing lost, nothing that blocks."""

from __future__ import annotations

import pytest
from PyQt6.QtCore import Qt
from support.accessible import told_of

from cliptag.desk import bar as module
from cliptag.desk.bar import Bar


@pytest.fixture
def bar(qtbot) -> Bar:
    bar = Bar()
    qtbot.addWidget(bar)
    bar.resize(900, 60)
    bar.show()
    return bar


def test_a_sentence_is_shown_and_read_out_under_its_own_words(bar: Bar):
    bar.say("The clip is open.")
    assert bar.sentence == "The clip is open."
    assert "The clip is open." in [told.name for told in told_of(bar) if told.is_seen]


def test_a_plain_sentence_goes_by_itself_and_stays_in_the_list(qtbot, bar: Bar, monkeypatch):
    monkeypatch.setattr(module, "_SHOWN_MS", 30)
    bar.say("Done.")
    qtbot.waitUntil(lambda: bar.sentence == "", timeout=2000)
    assert [message.sentence for message in bar.earlier] == ["Done."]


def test_trouble_and_offers_stay_until_they_are_answered(qtbot, bar: Bar, monkeypatch):
    monkeypatch.setattr(module, "_SHOWN_MS", 30)
    bar.warn("The disk is full.")
    qtbot.wait(100)
    assert bar.sentence == "The disk is full."
    bar.put_away()
    assert bar.sentence == ""


def test_the_button_does_what_it_says_once(qtbot, bar: Bar):
    done: list[int] = []
    bar.offer("Your review was kept.", "Go on", lambda: done.append(1))
    qtbot.mouseClick(bar._do, Qt.MouseButton.LeftButton)
    assert done == [1] and bar.sentence == ""


def test_what_waits_comes_back_when_what_came_after_it_is_gone(bar: Bar):
    bar.offer("Your review was kept.", "Go on", lambda: None)
    bar.warn("The disk is full.")
    bar.say("Saved.")
    for expected in ("The disk is full.", "Your review was kept.", ""):
        bar.put_away()
        assert bar.sentence == expected


def test_the_last_few_can_be_had_again_newest_first(bar: Bar):
    done: list[int] = []
    bar.offer("Kept & safe.", "Go on", lambda: done.append(1))
    for number in range(20):
        bar.say(f"Sentence {number}.")
    bar.offer("Again.", "Go on", lambda: done.append(2))
    bar._fill_menu()
    lines = [action.text() for action in bar._menu.actions()]
    assert lines[0] == "Again.  \u2192 Go on" and lines[1] == "Sentence 19."
    assert len(lines) == 8
    bar._menu.actions()[0].trigger()
    assert done == [2]


def test_trouble_differs_by_shape_and_word_as_well_as_colour(bar: Bar):
    bar.say("Plain.")
    plain = (bar._sign.text(), bar._sign.accessibleName())
    bar.warn("Trouble.")
    trouble = (bar._sign.text(), bar._sign.accessibleName())
    assert plain[0] != trouble[0] and plain[1] != trouble[1]


def test_markup_in_a_sentence_is_shown_as_it_is(bar: Bar):
    bar.say("<b>name</b>.mp4 can't be read")
    assert bar._sentence.textFormat() == Qt.TextFormat.PlainText


def test_the_keyboard_reaches_the_button(bar: Bar):
    bar.offer("Your review was kept.", "Go on", lambda: None)
    bar.activateWindow()
    bar.read_out()
    assert bar.focusWidget() is bar._do
