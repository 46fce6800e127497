"""What a person measures on the stage, beside what is known of the demo clips."""

from __future__ import annotations

import shutil

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from support.stage import LEFT, StageHand, stage_with
from support.truth import Truth, read_truth

from cliptag.desk.state import Tool
from cliptag.measure import readings_of
from cliptag.review import Facing


def click_like_a_mouse(hand: StageHand, place: complex) -> None:
    """A mouse points at whole pixels of the screen."""
    QTest.mouseClick(
        hand.view,
        LEFT,
        Qt.KeyboardModifier.NoModifier,
        hand.on_stage((place.real, place.imag)).toPoint(),
    )


def measure(
    hand: StageHand, truth: Truth, frame: int, tool: Tool, answer: str, *names: str
) -> tuple[float, float]:
    """Number and standard uncertainty of a mark whose points are clicked where they truly are."""
    hand.put(facing=truth.data["facing"])
    hand.go_to(frame)
    hand.take(tool)
    hand.view.asking.choices.chip(answer).click()
    for name in names:
        click_like_a_mouse(hand, truth.point(name)[frame])
    (reading,) = readings_of(hand.review)
    assert 0 < reading.sd < 3
    return reading.value, reading.sd


@pytest.mark.parametrize(
    ("name", "frame"),
    [
        ("sit_to_stand_week01", 21),
        ("sit_to_stand_week01", 80),
        ("sit_to_stand_week01_rotated", 10),
        ("sit_to_stand_week01_vfr", 17),
        ("bend_week01", 40),
        ("lift_week10", 60),
        ("standing_week01", 0),
    ],
)
def test_angles_agree_with_the_truth_within_what_is_shown(qapp, tmp_path, name, frame):
    """Truth of the demo clips: see demo_media/README.md. Shown is ± 2 standard uncertainties.

    The trunk's tilt is from the picture's own vertical here, which leans by the camera's roll.
    """
    truth = read_truth(name)
    shutil.copy(truth.path, tmp_path)
    with stage_with(tmp_path / truth.path.name, (1000, 760)) as hand:
        assert hand.viewport.is_whole
        value, sd = measure(hand, truth, frame, "joint", "knee", "hip", "knee", "ankle")
        assert value == pytest.approx(truth.angle("knee_flexion")[frame], abs=2 * sd)
        roll_deg = truth.data["camera_roll_deg"]
        if truth.data["shake"]:
            roll_deg += truth.data["shake"]["roll_deg"][frame]
        facing: Facing = truth.data["facing"]
        value, sd = measure(hand, truth, frame, "tilt", "trunk", "hip", "shoulder")
        leaning = truth.angle("trunk_tilt")[frame] + (roll_deg if facing == "right" else -roll_deg)
        assert value == pytest.approx(leaning, abs=2 * sd)


def test_with_the_plumb_line_set_on_the_stage_the_tilt_is_from_the_true_vertical(qapp, tmp_path):
    """The camera of this clip is rolled by 1.5 degrees."""
    truth, frame = read_truth("lift_week01"), 30
    shutil.copy(truth.path, tmp_path)
    with stage_with(tmp_path / truth.path.name, (1000, 900)) as hand:
        hand.put(facing=truth.data["facing"])
        hand.go_to(frame)
        hand.take("plumb_line")
        for end in ("upper", "lower"):
            place = truth.data["plumb"][end]
            click_like_a_mouse(hand, complex(place["x"][frame], place["y"][frame]))
        assert hand.review.plumb is not None
        hand.take("scale")
        for place in truth.scale_ends:
            click_like_a_mouse(hand, place[frame])
        hand.view.asking.length.given.emit(100.0, 0.2, "the rule")
        assert hand.view.model.upright_deg == pytest.approx(1.5, abs=0.4)
        hand.take("tilt")
        hand.view.asking.choices.chip("trunk").click()
        for name in ("hip", "shoulder"):
            click_like_a_mouse(hand, truth.point(name)[frame])
        (tilt,) = readings_of(hand.review)
        assert tilt.value == pytest.approx(truth.angle("trunk_tilt")[frame], abs=2 * tilt.sd)
        hand.take("span")
        for name in ("hip", "knee"):
            click_like_a_mouse(hand, truth.point(name)[frame])
        span = next(r for r in readings_of(hand.review) if r.unit == "cm")
        thigh_px = abs(truth.point("knee")[frame] - truth.point("hip")[frame])
        assert span.value == pytest.approx(thigh_px / truth.data["px_per_cm"], abs=2 * span.sd)
