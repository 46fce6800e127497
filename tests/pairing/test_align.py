"""The maps between the two clips' clocks, the pair's clock and the common axis."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import PairingError
from cliptag.pairing.align import LEAD_US, Alignment, align
from cliptag.pairing.moments import SharedMoment, When, fullest, shared_moments

NAMES = ("first_lean", "seat_off", "upright", "settled")


def shared(first: list[int], second: list[int], confirmed: bool = True) -> list[SharedMoment]:
    return [
        SharedMoment(name, When(a, 1000, confirmed), When(b, 1000, confirmed))  # type: ignore[arg-type]
        for name, a, b in zip(NAMES, first, second, strict=False)
    ]


times = st.lists(st.integers(1, 3_000_000), min_size=2, max_size=4).map(
    lambda steps: [int(t) for t in np.cumsum(steps)]
)


@given(times, times, st.sampled_from([24.0, 29.97, 50.0]), st.sampled_from([10.0, 30.0, 240.0]))
def test_both_show_their_own_moment_on_the_same_picture(
    first: list[int], second: list[int], fps: float, other_fps: float
):
    count = min(len(first), len(second))
    first, second = first[:count], second[:count]
    durations = first[-1] + 400_000, second[-1] + 1_700_000
    made = align(shared(first, second), durations, (fps, other_fps))
    for knot, a, b in zip(made.knots, first, second, strict=True):
        assert knot.out_us in made.times_us
        assert made.sides_at(knot.out_us) == (a, b)
        assert made.percent_of(0, a) == pytest.approx(knot.percent)
        assert made.percent_of(1, b) == pytest.approx(knot.percent)
    assert (np.diff(made.times_us) > 0).all()
    assert made.times_us[0] == 0 and made.times_us[-1] < made.duration_us


@given(times, times)
def test_no_phase_is_shown_faster_than_it_was(first: list[int], second: list[int]):
    count = min(len(first), len(second))
    made = align(shared(first[:count], second[:count]), (10**7, 10**7), (30.0, 30.0))
    out = np.diff([k.out_us for k in made.knots])
    assert (out >= np.diff(first[:count])).all()
    assert (out >= np.diff(second[:count])).all()


def test_neither_runs_backwards_and_lead_in_is_true_speed():
    made = align(shared([2_000_000, 3_000_000], [1_500_000, 4_500_000]), (10**7, 10**7), (30, 25))
    both = np.array([made.sides_at(int(t)) for t in made.times_us])
    assert (np.diff(both, axis=0) >= 0).all()
    assert made.knots[0].out_us == LEAD_US
    assert made.sides_at(0) == (1_000_000, 500_000)


def test_the_axis_has_inner_moments_at_the_mean_of_both_places():
    made = align(shared([0, 250, 1000], [0, 1500, 2000]), (2000, 3000), (30.0, 30.0))
    assert [k.percent for k in made.knots] == pytest.approx([0.0, 50.0, 100.0])


def test_at_true_speed_both_clocks_run_alike_and_meet_at_the_chosen_moment():
    given_ = shared([1_000_000, 2_000_000, 5_000_000], [2_500_000, 3_000_000, 4_000_000])
    made = align(given_, (6_000_000, 9_000_000), (30.0, 60.0), "true_speed", "seat_off")
    at = next(k for k in made.knots if k.name == "seat_off").out_us
    assert made.sides_at(at) == (2_000_000, 3_000_000)
    later = made.sides_at(at + 700_000)
    assert later == (2_700_000, 3_700_000)
    assert "seat off" in made.words


def test_without_shared_moments_both_run_from_start_to_end():
    made = align([], (2_000_000, 3_000_000), (30.0, 30.0))
    assert made.basis == "none"
    assert made.sides_at(0) == (0, 0)
    assert made.sides_at(made.duration_us) == (2_000_000, 3_000_000)


def test_two_photos_make_one_picture():
    made = align([], (1_000_000, 1_000_000), (0.0, 0.0))
    assert made.times_us.tolist() == [0]


def test_a_photo_stands_beside_a_clip_that_runs():
    made = align([], (1_000_000, 4_000_000), (0.0, 30.0))
    assert made.duration_us == 4_000_000
    assert made.sides_at(4_000_000)[1] == 4_000_000


def test_an_unknown_moment_is_refused_with_those_that_there_are():
    with pytest.raises(PairingError, match=r"deepest is not known.*first_lean, seat_off"):
        align(shared([1, 2], [1, 2]), (9, 9), (30.0, 30.0), "true_speed", "deepest")


@pytest.mark.parametrize(
    ("flags", "basis"), [((True, True), "confirmed"), ((False, False), "proposed"),
                         ((True, False), "mixed")],
)  # fmt: skip
def test_it_is_told_who_set_the_moments(flags: tuple[bool, bool], basis: str):
    pair = [
        SharedMoment("seat_off", When(1000, 1, flags[0]), When(1000, 1, flags[0])),
        SharedMoment("upright", When(9000, 1, flags[1]), When(9000, 1, flags[1])),
    ]
    made: Alignment = align(pair, (10_000, 10_000), (30.0, 30.0))
    assert made.basis == basis
    assert made.basis_words


def test_moments_out_of_order_in_one_clip_are_left_out():
    first = {"first_lean": When(100, 1, True), "seat_off": When(200, 1, True),
             "upright": When(300, 1, True)}  # fmt: skip
    second = {"first_lean": When(100, 1, True), "seat_off": When(50, 1, True),
              "upright": When(300, 1, True)}  # fmt: skip
    assert [m.name for m in shared_moments(first, second)] == ["first_lean", "upright"]  # type: ignore[arg-type]


def test_the_first_of_the_fullest_repetitions_is_shown():
    one, two = {"seat_off": When(1, 1, True)}, {
        "seat_off": When(5, 1, True), "upright": When(9, 1, True)}  # fmt: skip
    assert fullest({1: one, 2: two, 3: dict(two)}) is two  # type: ignore[dict-item]
    assert fullest({}) == {}
