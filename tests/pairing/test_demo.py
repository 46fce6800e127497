"""The demo's weeks 1 and 10 against the truth that they were drawn from."""

from __future__ import annotations

import pytest
from support.pair_truth import true_value
from support.truth import read_truth

from cliptag.pairing import Comparison, Difference


def _known(name: str, comparison: Comparison) -> list[tuple[Difference, float]]:
    """Each difference that the truth tells too, with the true change."""
    truths = [read_truth(f"{name}_week{week}") for week in ("01", "10")]
    found = []
    for difference in comparison.differences:
        values = [
            true_value(truth, side, difference.name)
            for truth, side in zip(truths, comparison.sides, strict=True)
        ]
        if values[0] is not None and values[1] is not None:
            found.append((difference, values[1] - values[0]))
    return found


def test_every_verdict_is_the_one_that_the_truth_gives(demo: tuple[str, Comparison]):
    known = _known(*demo)
    assert len(known) >= 15
    wrong = [
        f"{d.name}: {d.verdict}, change {d.change:.2f}, true {true:.2f}, sdc {d.detectable:.2f}"
        for d, true in known
        if (d.verdict == "changed") != (abs(true) > d.detectable)
        or (d.verdict == "changed" and d.change * true <= 0)
    ]
    assert not wrong, "\n".join(wrong)


def test_changes_are_off_by_no_more_than_the_smallest_detectable(demo: tuple[str, Comparison]):
    """Change ± SDC holds 95 of 100 true changes, if the uncertainty is stated right."""
    known = _known(*demo)
    off = [f"{d.name}: {d.change:.2f}, true {true:.2f}, sdc {d.detectable:.2f}"
           for d, true in known if abs(d.change - true) > d.detectable]  # fmt: skip
    assert len(off) <= 0.05 * len(known) + 1, "\n".join(off)


@pytest.mark.parametrize("name", ["peak_trunk_lean", "knee_over_toe"])
def test_what_the_weeks_were_drawn_to_change_is_called_changed(
    demo: tuple[str, Comparison], name: str
):
    found = next(d for d in demo[1].differences if d.name == name)
    assert found.verdict == "changed"


def test_nothing_is_called_better_or_worse_without_a_goal(demo: tuple[str, Comparison]):
    assert all(difference.towards is None for difference in demo[1].differences)


def test_demo_views_are_alike_enough_to_compare(demo: tuple[str, Comparison]):
    assert demo[1].warnings == ()


def test_moments_of_the_coach_are_matched_and_told(demo: tuple[str, Comparison]):
    alignment = demo[1].alignment
    assert alignment.basis == "confirmed"
    for which, side in enumerate(demo[1].sides):
        given = {m.name: m.at_us for m in side.review.moments if m.repetition == 1}
        for knot in alignment.knots:
            assert (knot.second_us if which else knot.first_us) == given[knot.name]


def test_feet_stand_on_the_same_spot_of_the_sheet(demo: tuple[str, Comparison]):
    """Judged by the truth's ankles in the middle of the clips, to 2 % of the sheet's height."""
    name, comparison = demo
    places = []
    for week, panel in zip(("01", "10"), comparison.sheet.panels, strict=True):
        z = read_truth(f"{name}_week{week}").point("ankle")
        at = panel.onto_sheet(complex(z[len(z) // 2])) - complex(panel.left, panel.top)
        places.append(at)
    assert abs(places[0] - places[1]) < 0.02 * comparison.sheet.height


def test_bodies_are_as_large_on_both_panels(demo: tuple[str, Comparison]):
    """Judged by the truth's centimetres."""
    name, comparison = demo
    sizes = [
        read_truth(f"{name}_week{week}").data["px_per_cm"] * panel.onto_sheet.scale
        for week, panel in zip(("01", "10"), comparison.sheet.panels, strict=True)
    ]
    assert sizes[1] == pytest.approx(sizes[0], rel=0.01)


def test_plumb_lines_stand_parallel(lift: Comparison):
    """Week 1 was filmed 1.5° askew, by the truth."""
    ups = []
    for week, panel in zip(("01", "10"), lift.sheet.panels, strict=True):
        truth = read_truth(f"lift_week{week}")
        up = complex(truth.up[0])
        laid = panel.onto_sheet(up * 1000) - panel.onto_sheet(0j)
        ups.append(laid / abs(laid))
    turn = abs((ups[0] / ups[1]).imag)
    assert turn < 0.006  # a third of a degree, the plumb lines' own uncertainty
