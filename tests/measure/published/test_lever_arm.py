"""The lever-arm lesson: numbers from the moment's definition, and what the picture needs."""

from __future__ import annotations

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, closer_load, upper_body_from_tilt

G = 9.80665
BODY = upper_body_from_tilt(62.0, 1.66, 45.0, "female")


def test_the_loads_own_moment_falls_with_its_distance():
    lesson = closer_load(BODY, 12.0, 0.50, -0.2, 0.20, "crate")
    assert lesson.off_load.value == pytest.approx(40.0)
    assert lesson.far.forces.load_moment.value == pytest.approx(12 * G * 0.5)
    assert lesson.near.forces.load_moment.value == pytest.approx(12 * G * 0.3)


def test_the_whole_moment_falls_by_less_since_the_body_stays():
    lesson = closer_load(BODY, 12.0, 0.50, -0.2)
    body = BODY.weight.value * BODY.arm.value
    whole = body + 12 * G * 0.5
    assert lesson.off_total.value == pytest.approx(100 * 12 * G * 0.2 / whole)
    far, near = lesson.far.forces.moment.value, lesson.near.forces.moment.value
    assert lesson.off_total.value == pytest.approx(100 * (far - near) / far)


def test_the_worked_textbook_example():
    # Nordin and Frankel's numbers (from memory): 450 N at 0.25 m, 200 N at 0.40 m make 192.5 N m.
    # 20 cm closer the load makes 40 N m less: 20.8 % of the whole, half of the load's own.
    weight, arm = Estimate(450.0, 0.0), Estimate(0.25, 0.0)
    body = type(BODY)(
        table=BODY.table, points=BODY.points, parts=BODY.parts, weight=weight, arm=arm
    )
    lesson = closer_load(body, 200 / G, 0.40, 0.0)
    assert lesson.far.forces.moment.value == pytest.approx(192.5)
    assert lesson.off_total.value == pytest.approx(100 * 40 / 192.5)
    assert lesson.off_load.value == pytest.approx(50.0)


def test_uncertainty_agrees_with_another_package():
    mass, reach = uncertainties.ufloat(12, 0.3), uncertainties.ufloat(0.5, 0.02)
    weight = uncertainties.ufloat(BODY.weight.value, BODY.weight.sd)
    arm = uncertainties.ufloat(BODY.arm.value, 0.012)
    total = 100 * mass * G * 0.2 / (mass * G * reach + weight * arm)
    body = type(BODY)(
        table=BODY.table,
        points=BODY.points,
        parts=BODY.parts,
        weight=BODY.weight,
        arm=Estimate(BODY.arm.value, 0.012),
    )
    lesson = closer_load(body, Estimate(12, 0.3), Estimate(0.5, 0.02), -0.2)
    assert lesson.off_total.value == pytest.approx(total.n)
    assert lesson.off_total.sd == pytest.approx(total.s, rel=0.01)
    assert lesson.off_load.sd == pytest.approx((100 * 0.2 / reach).s)


def test_sentence_for_the_client():
    lesson = closer_load(BODY, 12.0, Estimate(0.50, 0.01), -0.2, what="crate")
    percent = round(lesson.off_total.value)
    assert lesson.sentence.startswith(f"The same crate 20 cm closer takes {percent} % ± ")
    assert lesson.sentence.endswith(" % off the low back.")
    assert "what the crate alone asks, it takes 40 %" in lesson.meaning
    assert lesson.meaning.endswith(GUIDE)


def test_the_picture_gets_every_weight_where_it_hangs():
    lesson = closer_load(BODY, 12.0, 0.50, -0.25, what="crate")
    for hold, arm in ((lesson.far, 0.50), (lesson.near, 0.30)):
        low_back = lesson.points.low_back
        assert hold.load.place.x_m - low_back.x_m == pytest.approx(arm)
        assert hold.load.place.y_m - low_back.y_m == pytest.approx(-0.25)
        moment = sum(w.newtons * (w.place.x_m - low_back.x_m) for w in hold.weights)
        assert moment == pytest.approx(hold.forces.moment.value)
    names = [weight.name for weight in lesson.far.weights]
    assert names == ["trunk", "head and neck", "upper arms", "forearms and hands", "crate"]


@given(st.floats(1, 40), st.floats(0.4, 0.9), st.floats(0.01, 0.12), st.floats(0.01, 0.12))
def test_closer_still_takes_more_off(load, reach, one, more):
    less, rest = (closer_load(BODY, load, reach, 0.0, way) for way in (one, one + more))
    assert rest.off_total.value > less.off_total.value
    assert 0 < less.off_total.value < less.off_load.value < 100


@given(st.floats(1, 40), st.floats(0.5, 5))
def test_a_heavier_load_makes_coming_closer_count_more(load, more):
    light, heavy = (closer_load(BODY, kg, 0.5, 0.0) for kg in (load, load + more))
    assert heavy.off_total.value > light.off_total.value
    assert heavy.off_load == light.off_load


def test_a_load_that_cannot_come_so_much_closer_is_refused():
    with pytest.raises(MeasureError) as raised:
        closer_load(BODY, 12.0, 0.30, 0.0, what="crate")
    assert str(raised.value) == (
        "The crate is 30 cm from the low back and can't come 20 cm closer: choose a shorter way."
    )


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((0.0, 0.5, 0.0), "The load is 0 kg: give 0.1 to 300 kg."),
        ((12.0, 2.5, 0.0), "The load's distance from the low back is 2.5 m"),
        ((12.0, 0.5, 3.0), "The load's height above the low back is 3 m"),
        ((12.0, 0.5, 0.0, 0.0), "The way closer is 0 m"),
    ],
)
def test_bad_input_is_refused(arguments, words):
    with pytest.raises(MeasureError, match=words):
        closer_load(BODY, *arguments)
