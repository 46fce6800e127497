"""The scale and the true vertical, set on the stage."""

from __future__ import annotations

import math

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QLineEdit
from support.reviews import note
from support.stage import StageHand, close_to, portrait_clip, stage_with

from cliptag.desk.stage.length_field import number_in
from cliptag.measure import readings_of
from cliptag.review import PlumbLine, Point, Scale, Span

Key = Qt.Key
LOW, HIGH = (200.0, 1500.0), (210.0, 700.0)


@pytest.fixture(scope="module")
def stage(qapp, tmp_path_factory):
    with stage_with(portrait_clip(tmp_path_factory.mktemp("clip"))) as stage:
        yield stage


@pytest.fixture
def hand(stage):
    stage.clear()
    return stage


def field(hand: StageHand, name: str) -> QLineEdit:
    (found,) = [
        f for f in hand.view.asking.findChildren(QLineEdit) if f.accessibleName().startswith(name)
    ]
    return found


def type_in(line: QLineEdit, text: str) -> None:
    line.selectAll()
    QTest.keyClicks(line, text)


def ask(hand: StageHand) -> None:
    hand.take("scale")
    hand.click(LOW)
    hand.click(HIGH)


def test_the_scale_is_two_points_and_a_length_typed_on_the_stage(hand):
    ask(hand)
    assert field(hand, "Length").isVisible() and field(hand, "Length").hasFocus()
    type_in(field(hand, "Length"), "100")
    type_in(field(hand, "Uncertainty"), "0,4")
    type_in(field(hand, "What"), "the rule beside the stool")
    QTest.keyClick(field(hand, "Length"), Key.Key_Return)
    scale = hand.review.scale
    assert close_to(scale.a, LOW) and close_to(scale.b, HIGH)
    assert scale.length_cm == 100 and scale.what == "the rule beside the stool"
    assert hand.state.tool is None and not field(hand, "Length").isVisible()
    assert hand.view.hasFocus()
    assert hand.state.document.undo_words == "set the scale"
    hand.state.document.undo()
    assert hand.review.scale is None


def test_what_the_scale_gives_is_told(hand):
    ask(hand)
    said = []
    hand.state.said.connect(said.append)
    type_in(field(hand, "Length"), "100")
    QTest.keyClick(field(hand, "Length"), Key.Key_Return)
    hand.state.said.disconnect(said.append)
    pixels = round(math.dist(LOW, HIGH))
    (sentence,) = said
    assert "in centimetres" in sentence and f"100 cm are {pixels} pixels" in sentence


def test_the_typed_uncertainty_means_what_all_shown_ones_mean(hand):
    """Shown is ± 2 standard uncertainties: a span as long as the scale shows what was typed."""
    ask(hand)
    type_in(field(hand, "Length"), "100")
    type_in(field(hand, "Uncertainty"), "3")
    QTest.keyClick(field(hand, "Length"), Key.Key_Return)
    assert hand.review.scale.length_sd_cm == 1.5
    span = Span(id="s", a=Point(*LOW), b=Point(*HIGH), placement_sd_px=1e-6)
    one = note(1, start_us=0, marks=(span,))
    hand.put(one, scale=hand.review.scale)
    (reading,) = readings_of(hand.review)
    assert reading.text == "Distance 100 cm ± 3 cm"


@pytest.mark.parametrize(
    ("which", "text", "word"),
    [
        ("Length", "", "length"),
        ("Length", "0", "length"),
        ("Length", "-5", "length"),
        ("Length", "long", "length"),
        ("Length", "inf", "length"),
        ("Uncertainty", "-1", "off"),
        ("Uncertainty", "200", "off"),
        ("Uncertainty", "nan", "off"),
    ],
)
def test_a_length_that_is_none_is_asked_for_again(hand, which, text, word):
    said = []
    hand.state.warned.connect(said.append)
    ask(hand)
    type_in(field(hand, "Length"), "100")
    line = field(hand, which)
    line.clear()
    type_in(line, text)
    QTest.keyClick(line, Key.Key_Return)
    hand.state.warned.disconnect(said.append)
    assert hand.review.scale is None and line.isVisible() and line.hasFocus()
    assert len(said) == 1 and word in said[0]


def test_escape_in_the_field_gives_the_points_up(hand):
    ask(hand)
    QTest.keyClick(field(hand, "Length"), Key.Key_Escape)
    assert not field(hand, "Length").isVisible()
    assert hand.state.tool == "scale" and hand.view.model.drawing.given == ()
    assert hand.review.scale is None and hand.view.hasFocus()


def test_a_press_on_the_picture_starts_the_scale_anew(hand):
    ask(hand)
    hand.pull((300, 1200), (300, 900))
    type_in(field(hand, "Length"), "30")
    QTest.keyClick(field(hand, "Length"), Key.Key_Return)
    assert close_to(hand.review.scale.a, (300, 1200)) and hand.review.scale.length_cm == 30


def test_the_field_starts_with_what_is_known(hand):
    hand.put(
        scale=Scale(
            a=Point(0, 0), b=Point(0, 500), length_cm=45.5, length_sd_cm=0.25, what="the seat"
        )
    )
    ask(hand)
    assert [field(hand, name).text() for name in ("Length", "Uncertainty", "What")] == [
        "45.5",
        "0.5",
        "the seat",
    ]


def test_the_true_vertical_is_set_from_either_end(hand):
    for start, end in ((LOW, HIGH), (HIGH, LOW)):
        hand.clear()
        hand.take("plumb_line")
        hand.pull(start, end)
        plumb = hand.review.plumb
        assert close_to(plumb.top, HIGH) and close_to(plumb.bottom, LOW)
        assert hand.state.tool is None and not hand.notes
        assert hand.state.document.undo_words == "set the true vertical"


@pytest.mark.parametrize(
    ("tool", "name"), [("scale", "Remove the scale"), ("plumb_line", "Remove the true vertical")]
)
def test_a_reference_is_removed_with_its_tool_in_hand(hand, tool, name):
    hand.put(
        scale=Scale(a=Point(0, 0), b=Point(0, 500), length_cm=100),
        plumb=PlumbLine(top=Point(0, 0), bottom=Point(3, 500)),
    )
    assert not hand.view.asking.remove.isVisible()
    hand.take(tool)
    assert hand.view.asking.remove.isVisible() and hand.view.asking.remove.text() == name
    hand.view.asking.remove.click()
    assert (hand.review.scale is None) == (tool == "scale")
    assert (hand.review.plumb is None) == (tool == "plumb_line")
    assert not hand.view.asking.remove.isVisible()


def test_references_are_seen_with_their_tools_or_when_asked_for(hand):
    hand.put(
        scale=Scale(a=Point(100, 200), b=Point(100, 700), length_cm=100, length_sd_cm=0.2),
        plumb=PlumbLine(top=Point(0, 0), bottom=Point(3, 500)),
    )

    def labels() -> list[str]:
        return [s.mark.label for n in hand.view.model.notes() for s in n.marks]

    assert labels() == []
    hand.take("scale")
    assert labels() == ["100.0 cm ± 0.4 cm"]
    hand.take("plumb_line")
    assert labels() == ["true vertical"]
    hand.take(None)
    hand.view.show_references(True)
    assert labels() == ["100.0 cm ± 0.4 cm", "true vertical"]
    assert all(n.strength < 1 for n in hand.view.model.notes())
    assert hand.view.model.placed() == [], "they can't be taken for marks"


@pytest.mark.parametrize(
    ("text", "number"),
    [("100", 100), (" 45,5 ", 45.5), ("45.5 cm", 45.5), ("1e2", 100), ("x", None), ("", None)],
)
def test_numbers_are_read_with_point_or_comma(text, number):
    assert number_in(text) == number
