"""The single equivalent extensor against worked textbook examples."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import umath

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import (
    ACTION_LIMIT_N,
    GUIDE,
    BackLoads,
    back_forces,
    loads_of,
    upper_body_from_tilt,
)

SINE_55 = math.sin(math.radians(55))
# Inputs; moment, extensor, compression, shear, resultant (None where not printed), tolerance.
EXAMPLES = {
    # Nordin and Frankel, Basic Biomechanics of the Musculoskeletal System, lumbar spine,
    # calculation box (from memory, recomputed).
    "A": (
        BackLoads(
            upper_body_n=450.0,
            upper_body_arm_m=0.25,
            load_n=200.0,
            load_arm_m=0.40,
            disc_tilt_deg=35.0,
            extensor_arm_m=0.05,
        ),
        (192.5, 3850.0, 4382.0, 373.0, 4398.0),
        0.5,
    ),
    # A published homework variant of it; arms along the trunk, times sin 55 (read).
    "B": (
        BackLoads(
            upper_body_n=510.0,
            upper_body_arm_m=0.25 * SINE_55,
            load_n=150.0,
            load_arm_m=0.40 * SINE_55,
            disc_tilt_deg=35.0,
            extensor_arm_m=0.05,
        ),
        (None, 3071.82, 3612.46, 378.56, None),
        0.01,
    ),
    # Chaffin and Andersson, Occupational Biomechanics, simple planar model (from memory,
    # recomputed).
    "C": (
        BackLoads(
            upper_body_n=350.0,
            upper_body_arm_m=0.20,
            load_n=450.0,
            load_arm_m=0.30,
            disc_tilt_deg=55.0,
            extensor_arm_m=0.05,
        ),
        (205.0, 4100.0, 4559.0, 655.0, None),
        0.5,
    ),
    # The same with a lever arm of 6 cm.
    "C, 6 cm": (
        BackLoads(
            upper_body_n=350.0,
            upper_body_arm_m=0.20,
            load_n=450.0,
            load_arm_m=0.30,
            disc_tilt_deg=55.0,
            extensor_arm_m=0.06,
        ),
        (205.0, 3417.0, 3876.0, 655.0, None),
        0.5,
    ),
    # A spine as a level beam of length L = 0.6 m: 350 N at its middle, 200 N at its end, a muscle
    # at two thirds, 12 degrees to the spine (a lecture page: T 2.71 kN, R_x 2.65 kN; read).
    "D": (
        BackLoads(
            upper_body_n=350.0,
            upper_body_arm_m=0.30,
            load_n=200.0,
            load_arm_m=0.60,
            disc_tilt_deg=90.0,
            extensor_arm_m=0.40 * math.sin(math.radians(12)),
            extensor_angle_deg=12.0,
        ),
        (None, 2705.476, 2646.355, -12.5, None),
        0.001,
    ),
}


@pytest.mark.parametrize("example", EXAMPLES)
def test_worked_example(example):
    loads, printed, tolerance = EXAMPLES[example]
    forces = back_forces(loads)
    found = (
        forces.moment.value,
        forces.extensor.value,
        forces.compression.value,
        forces.shear.value,
        forces.resultant_n,
    )
    for one, other in zip(found, printed, strict=True):
        assert other is None or one == pytest.approx(other, abs=tolerance)


def test_moments_of_body_and_load_add_up():
    forces = back_forces(EXAMPLES["A"][0])
    assert (forces.upper_body_moment.value, forces.load_moment.value) == (112.5, 80.0)
    assert forces.moment.value == 192.5


def test_uncertainty_agrees_with_another_package():
    values = ((420, 30), (0.21, 0.015), (118, 2), (0.48, 0.02), (40, 3), (0.05, 0.005))
    w, d, p, q, tilt, e = (uncertainties.ufloat(*pair) for pair in values)
    moment = w * d + p * q
    turn = tilt * math.pi / 180
    expected = {
        "moment": moment,
        "extensor": moment / e,
        "compression": moment / e + (w + p) * umath.cos(turn),
        "shear": (w + p) * umath.sin(turn),
    }
    names = (
        "upper_body_n",
        "upper_body_arm_m",
        "load_n",
        "load_arm_m",
        "disc_tilt_deg",
        "extensor_arm_m",
    )
    inputs = {name: Estimate(*pair) for name, pair in zip(names, values, strict=True)}
    forces = back_forces(BackLoads(**inputs))
    for name, value in expected.items():
        found = getattr(forces, name)
        assert found.value == pytest.approx(value.n)
        assert found.sd == pytest.approx(value.s, rel=0.02), name


def test_the_usual_lever_arm_reaches_from_four_to_six_centimetres():
    loads = replace(EXAMPLES["A"][0], extensor_arm_m=BackLoads.__dataclass_fields__[
        "extensor_arm_m"].default)  # fmt: skip
    forces = back_forces(loads)
    assert forces.extensor.value == pytest.approx(3850.0)
    six = 192.5 / 0.06
    assert forces.extensor.value - 2 * forces.extensor.sd < six


@given(
    st.floats(100, 700), st.floats(0, 0.5), st.floats(0, 500), st.floats(0.1, 0.8),
    st.floats(0, 0.3),
)  # fmt: skip
def test_a_load_further_away_never_asks_less(body, arm, load, reach, more):
    forces = [
        back_forces(
            BackLoads(upper_body_n=body, upper_body_arm_m=arm, load_n=load, load_arm_m=distance)
        )
        for distance in (reach, reach + more)
    ]
    assert forces[1].moment.value >= forces[0].moment.value
    assert forces[1].compression.value >= forces[0].compression.value


def test_side_of_the_action_limit_counts_the_uncertainty():
    base = BackLoads(upper_body_n=0.0, upper_body_arm_m=0.0, load_arm_m=0.0)
    assert ACTION_LIMIT_N == 3400.0
    for newtons, sd, side in ((3300, 0, "below"), (3300, 60, "unsure"), (3500, 60, "unsure"),
                              (3500, 40, "above")):  # fmt: skip
        forces = back_forces(replace(base, load_n=Estimate(newtons, sd)))
        assert forces.side_of_action_limit == side


def test_meaning_names_the_limits_source_and_bounds():
    body = upper_body_from_tilt(65.0, 1.68, Estimate(45.0, 2.0), "female")
    meaning = back_forces(loads_of(body, 12.0, Estimate(0.5, 0.02))).meaning
    assert "NIOSH's design limit of 3400 N" in meaning
    assert "made for groups, not for one person" in meaning
    assert "Moving makes the force higher" in meaning
    assert "±" in meaning
    assert meaning.endswith(GUIDE)


def test_loads_of_a_body_with_a_crate():
    body = upper_body_from_tilt(65.0, 1.68, 30.0, "female")
    loads = loads_of(body, Estimate(12.0, 0.2), 0.5)
    assert loads.load_n == Estimate(pytest.approx(12 * 9.80665), pytest.approx(0.2 * 9.80665))
    assert loads.disc_tilt_deg == pytest.approx(30.0)
    moment = body.weight.value * body.arm.value + 12 * 9.80665 * 0.5
    assert back_forces(loads).moment.value == pytest.approx(moment)


def test_the_discs_tilt_changes_compression_by_no_more_than_the_weights():
    body = upper_body_from_tilt(65.0, 1.68, 40.0, "female")
    loads = loads_of(body, 12.0, 0.5)
    level, upright = (
        back_forces(replace(loads, disc_tilt_deg=tilt)).compression.value for tilt in (0.0, 90.0)
    )
    assert level - upright == pytest.approx(loads.upper_body_n.value + loads.load_n.value)
    assert (level - upright) / level < 0.2


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"upper_body_arm_m": -0.5}, "The weights lie behind the low back"),
        ({"upper_body_n": -1.0}, "The upper body's weight is -1 N"),
        ({"load_n": math.nan}, "The load's weight is not a number"),
        ({"load_arm_m": 2.5}, "The load's lever arm is 2.5 m: give -1 to 2 m"),
        ({"extensor_arm_m": 0.0}, "The muscle's lever arm is 0 m"),
        ({"extensor_angle_deg": 70.0}, "The muscle's angle is 70: give 0 to 60"),
        ({"disc_tilt_deg": 140.0}, "The disc's tilt is 140 degrees"),
    ],
)
def test_bad_input_is_refused(change, words):
    with pytest.raises(MeasureError, match=words):
        back_forces(replace(EXAMPLES["A"][0], **change))


def test_a_load_that_cannot_be_meant_is_refused():
    body = upper_body_from_tilt(65.0, 1.68, 30.0, "female")
    with pytest.raises(MeasureError, match="The load is 400 kg: give 0 to 300 kg"):
        loads_of(body, 400.0, 0.4)
