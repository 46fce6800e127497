"""The questions of every method: complete, in range, and giving what the library gives."""

from __future__ import annotations

import math

import pytest

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.filled import answer_of, fill_in
from cliptag.measure.published import (
    FORMS,
    GUIDE,
    METHODS,
    Lift,
    RebaAnswers,
    RebaPosture,
    composite_index,
    form_of,
    lifting_equation,
    reba,
    task_index,
)
from cliptag.measure.quantities import Quantity

ENOUGH = {
    "niosh-lifting": "load_kg=12 horizontal_cm=48±4 vertical_cm=20 travel_cm=60 "
    "lifts_per_min=0.2 duration=short coupling=fair",
    "niosh-lifting-several": "load_kg=14,9,5 horizontal_cm=30 vertical_cm=60 travel_cm=30 "
    "lifts_per_min=1,2,4 duration=short coupling=good",
    "low-back-moment": "body_mass_kg=65 stature_cm=168 trunk_tilt_deg=45±4 sex=female load_kg=12 "
    "load_arm_cm=50±4",
    "lever-arm": "body_mass_kg=65 stature_cm=168 trunk_tilt_deg=45±4 sex=female load_kg=12 "
    "load_arm_cm=50±4 what=crate",
    "iso-11226": "held_min=2 trunk_deg=42±2 head_deg=50 upper_arm_deg=30",
    "en-1005-4": "part=upper_arm movement=held angle_deg=30",
    "rula": "upper_arm_deg=50 elbow_deg=80 wrist_deg=10 neck_deg=15 trunk_deg=10",
    "reba": "trunk_deg=30 neck_deg=10 knee_deg=40 upper_arm_deg=50 elbow_deg=70 wrist_deg=5",
    "five-times-sit-to-stand": "time_s=12.1±0.2 age=66",
    "thirty-second-chair-stand": "stands=11 age=72 sex=female",
    "craniovertebral-angle": "craniovertebral_deg=45±2",
    "range-of-motion": "motion=knee_flexion measured_deg=130±4",
    "repeat-measurement": "first=40,52,38,61 second=42,50,39,60 change=6",
}


def given(key: str) -> dict:
    pairs = (word.partition("=") for word in ENOUGH[key].split())
    form = FORMS[key]
    plain = {"part": "upper arm", "motion": "knee flexion"}
    return {name: form.question(name).read(plain.get(name, value)) for name, _, value in pairs}


def test_every_method_has_its_form_in_the_same_order():
    assert list(FORMS) == list(METHODS) == list(ENOUGH)


@pytest.mark.parametrize("key", ENOUGH)
def test_every_form_can_be_answered_and_says_what_it_is(key):
    outcome = FORMS[key].answer(given(key))
    assert GUIDE in outcome.meaning
    assert outcome.numbers
    for number in outcome.numbers:
        assert math.isfinite(number.value) and number.sd >= 0


@pytest.mark.parametrize("key", ENOUGH)
def test_a_question_without_an_answer_is_asked_for_by_name(key):
    full = given(key)
    for question in FORMS[key].questions:
        if question.is_needed:
            rest = {name: value for name, value in full.items() if name != question.name}
            with pytest.raises(MeasureError, match=f"also needs {question.name}"):
                FORMS[key].answer(rest)


@pytest.mark.parametrize("key", ENOUGH)
def test_the_told_range_is_the_methods_own(key):
    """Just outside, the method itself refuses, asked past the form; at its ends it doesn't."""
    form, full = FORMS[key], given(key)
    usual = {q.name: q.checked(q.default) for q in form.questions if not q.is_needed}
    for question in form.questions:
        if question.kind != "number" or question.name in ("angle_deg", "change"):
            continue
        for end, beyond in ((question.low, -0.5), (question.high, 0.5)):
            outside = {**usual, **full, question.name: Estimate(end + beyond, 0.0)}
            with pytest.raises(MeasureError):
                form.work_out(outside)
            try:
                form.answer({**full, question.name: Estimate(end, 0.0)})
            except MeasureError as error:
                # Other rules may refuse it, but not the range.
                assert question.allowed not in str(error), question.name


def test_the_form_gives_what_the_library_gives():
    answers = given("niosh-lifting")
    found = FORMS["niosh-lifting"].answer(answers)
    direct = lifting_equation(
        Lift(
            load_kg=12,
            horizontal_cm=Estimate(48, 2),
            vertical_cm=20,
            travel_cm=60,
            lifts_per_min=0.2,
            duration="short",
            coupling="fair",
        )
    )
    limit, index = found.numbers
    assert (limit.value, limit.sd) == pytest.approx((direct.weight_limit, direct.weight_limit_sd))
    assert (index.value, index.sd) == pytest.approx((direct.lifting_index, direct.lifting_index_sd))
    score = FORMS["reba"].answer(given("reba")).numbers[0]
    posture = RebaPosture(
        trunk_deg=30, neck_deg=10, knee_deg=40, upper_arm_deg=50, elbow_deg=70, wrist_deg=5
    )
    assert score.value == reba(posture, RebaAnswers()).score
    assert score.unit == "points"


def test_the_form_of_several_tasks_gives_the_composite_index_of_the_library():
    tasks = [
        Lift(
            load_kg=load,
            horizontal_cm=30,
            vertical_cm=60,
            travel_cm=30,
            lifts_per_min=rate,
            duration="short",
            coupling="good",
        )
        for load, rate in ((14, 1), (9, 2), (5, 4))
    ]
    (found,) = FORMS["niosh-lifting-several"].answer(given("niosh-lifting-several")).numbers
    direct = composite_index([task_index(task) for task in tasks], "short")
    assert found.value == pytest.approx(direct.index)


@pytest.mark.parametrize(
    ("name", "word", "said"),
    [
        ("time_s", "soon", "which is not a number"),
        ("time_s", "12,5", "with a point for decimals"),
        ("time_s", "900", "give 1 to 300"),
        ("time_s", "nan", "which is not a number"),
        ("age", "66.5", "not a whole number"),
        ("age", "-3", "give 0 to 120"),
    ],
)
def test_a_wrong_answer_is_one_sentence(name, word, said):
    with pytest.raises(MeasureError) as error:
        form_of("five_times_sit_to_stand").question(name).read(word)
    assert said in str(error.value)
    assert str(error.value).endswith(".")


def test_a_typed_uncertainty_is_k_2_as_it_is_shown():
    question = FORMS["craniovertebral-angle"].questions[0]
    for word in ("45±2", "45 ± 2", "45+-2", "45 +/- 2"):
        assert question.read(word) == Estimate(45.0, 1.0)
    assert FORMS["iso-11226"].question("trunk_deg").read("−12") == Estimate(-12.0, 0.0)


def test_unequal_lists_of_tasks_are_refused():
    answers = {**given("niosh-lifting-several"), "travel_cm": (30.0, 40.0)}
    with pytest.raises(MeasureError, match="There are 3 tasks and 2 numbers for travel_cm"):
        FORMS["niosh-lifting-several"].answer(answers)


def measured(name: str, value: float, unit: str = "°") -> Quantity:
    return Quantity(name, Estimate(value, 1.0), unit, 0, "measured")


def test_measured_quantities_fill_in_what_is_not_answered():
    there = {"trunk_tilt": measured("trunk_tilt", 30.0), "knee_flexion": measured("k", 20.0)}
    form = FORMS["reba"]
    assert set(fill_in(form, {}, there)) == {"trunk_deg", "knee_deg"}
    assert set(fill_in(form, {"knee_deg": Estimate(5.0, 0.0)}, there)) == {"trunk_deg"}
    assert answer_of(form.question("trunk_deg"), there["trunk_tilt"]) == Estimate(30.0, 1.0)


def test_which_quantity_fills_in_follows_the_choice():
    there = {"trunk_tilt": measured("trunk_tilt", 30.0), "gaze": measured("gaze", -10.0)}
    form = FORMS["en-1005-4"]
    assert fill_in(form, {}, there) == {}
    assert fill_in(form, {"part": "line of sight"}, there)["angle_deg"].name == "gaze"
    assert fill_in(form, {"part": "trunk forward"}, there)["angle_deg"].name == "trunk_tilt"


def test_a_measured_number_that_the_method_does_not_allow_is_asked_for():
    there = {"craniovertebral": measured("craniovertebral", 120.0)}
    assert fill_in(FORMS["craniovertebral-angle"], {}, there) == {}


def test_an_unknown_method_is_told_with_the_known_ones():
    with pytest.raises(MeasureError, match=r"no method called 'luck': choose niosh-lifting, "):
        form_of("luck")
