"""The common axis as a strip draws it, against each clip's own times."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest

from cliptag.pairing import CommonAxis, Comparison, common_axis, compare_sides


def axis_of(comparison: Comparison, **fields: object) -> CommonAxis:
    pairing = msgspec.structs.replace(comparison.pairing, **fields)
    return common_axis(compare_sides(pairing, *comparison.sides))


def test_it_goes_from_0_to_100_between_the_first_and_the_last_shared_moment(demo):
    _, comparison = demo
    axis = common_axis(comparison)
    knots = comparison.alignment.knots
    assert (axis.moments[0].percent, axis.moments[-1].percent) == (0.0, 100.0)
    assert axis.start < 0 < 100 < axis.end, "a second of both is shown before and after"
    for knot in knots:
        assert axis.percent_at(knot.out_us) == pytest.approx(knot.percent)


@pytest.mark.parametrize("match", ["moments", "true_speed"])
def test_times_and_places_lead_back_to_each_other(demo, match: str):
    _, comparison = demo
    axis = axis_of(comparison, match=match)
    for out_us in axis.alignment.times_us[::7]:
        assert axis.out_at(axis.percent_at(int(out_us))) == pytest.approx(int(out_us), abs=1)


def test_both_are_at_the_place_that_their_own_times_give_when_matched_by_moments(demo):
    """``percent_of`` goes by each clip's own clock and knows nothing of the pair's."""
    _, comparison = demo
    axis = common_axis(comparison)
    inside = [t for t in axis.alignment.times_us[::5] if 0 <= axis.percent_at(int(t)) <= 100]
    for out_us in inside:
        own = axis.alignment.sides_at(int(out_us))
        place, other = axis.places(int(out_us))
        assert place == other
        for which in (0, 1):
            assert axis.alignment.percent_of(which, own[which]) == pytest.approx(place, abs=0.01)


def test_at_true_speed_they_part_and_meet_at_the_chosen_moment(lift):
    axis = axis_of(lift, match="true_speed", from_moment="upright")
    met = next(m for m in axis.moments if m.words == "Upright")
    first, second = axis.places(met.out_us)
    assert first == pytest.approx(second, abs=0.05)
    apart = [abs(np.subtract(*axis.places(m.out_us))) for m in axis.moments]
    assert max(apart) > 1.0, "the lifts don't last equally long"


def test_phases_lie_end_to_end_and_bear_the_measured_movements_words(demo):
    _, comparison = demo
    axis = common_axis(comparison)
    edges = [phase.start for phase in axis.phases] + [axis.phases[-1].end]
    assert edges == pytest.approx([knot.percent for knot in comparison.alignment.knots])
    told = {
        phase.words
        for side in comparison.sides
        for repetition in side.report.repetitions
        for phase in repetition.phases
    }
    assert sum(phase.words in told for phase in axis.phases) >= len(axis.phases) - 1
    assert all(phase.words for phase in axis.phases)


def test_a_place_is_told_in_words(lift):
    axis = common_axis(lift)
    assert axis.place_words(0.0) == "0 %, grip"
    assert axis.place_words(30.0) == "30 %, from the knees to upright"
    assert axis.place_words(-12.4) == "−12 %"


def test_without_moments_both_run_from_start_to_end(lift):
    bare = [msgspec.structs.replace(side.review, moments=(), tracked=()) for side in lift.sides]
    sides = [
        type(side)(side.path, review, side.clip)
        for side, review in zip(lift.sides, bare, strict=True)
    ]
    axis = common_axis(compare_sides(lift.pairing, *sides))
    assert (axis.start, axis.end) == (0.0, 100.0)
    assert axis.phases == () and axis.moments == ()
    assert axis.place_words(50.0) == "50 %"
