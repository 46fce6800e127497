"""RULA cell by cell and end to end.

Source: McAtamney, Corlett, Applied Ergonomics 1993;24(2):91-99. Table A version ``worksheet`` and
Table B for necks 1 to 4 as printed on a university worksheet; the rest from memory.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, RulaAnswers, RulaPosture, rula
from cliptag.measure.published.rula_tables import TABLE_A, table_a, table_b, table_c

# Upper arm, lower arm, then wrist 1 to 4, each with twist 1 and 2.
WORKSHEET_A = """
1 1  1 2 2 2 2 3 3 3
1 2  2 2 2 2 3 3 3 3
1 3  2 3 2 3 3 3 4 4
2 1  2 2 2 3 3 3 4 4
2 2  2 2 2 3 3 3 4 4
2 3  2 3 3 3 3 4 4 5
3 1  2 3 3 3 4 4 5 5
3 2  2 3 3 3 4 4 5 5
3 3  2 3 3 4 4 4 5 5
4 1  3 4 4 4 4 4 5 5
4 2  3 4 4 4 4 4 5 5
4 3  3 4 4 5 5 5 6 6
5 1  5 5 5 5 5 6 6 7
5 2  5 6 6 6 6 7 7 7
5 3  6 6 6 7 7 7 7 8
6 1  7 7 7 7 7 8 8 9
6 2  7 8 8 8 8 9 9 9
6 3  9 9 9 9 9 9 9 9
"""
OTHER_A = """
1 1  1 2 2 2 2 3 3 3
1 2  2 2 2 2 3 3 3 3
1 3  2 3 3 3 3 3 4 4
2 1  2 3 3 3 3 4 4 4
2 2  3 3 3 3 3 4 4 4
2 3  3 4 4 4 4 4 5 5
3 1  3 3 4 4 4 4 5 5
3 2  3 4 4 4 4 4 5 5
3 3  4 4 4 4 4 5 5 5
4 1  4 4 4 4 4 5 5 5
4 2  4 4 4 4 4 5 5 5
4 3  4 4 4 5 5 5 6 6
5 1  5 5 5 5 5 6 6 7
5 2  5 6 6 6 6 7 7 7
5 3  6 6 6 7 7 7 7 8
6 1  7 7 7 7 7 8 8 9
6 2  8 8 8 8 8 9 9 9
6 3  9 9 9 9 9 9 9 9
"""
# Neck, then trunk 1 to 6, each with legs 1 and 2.
PRINTED_B = """
1  1 3 2 3 3 4 5 5 6 6 7 7
2  2 3 2 3 4 5 5 5 6 7 7 7
3  3 3 3 4 4 5 5 6 6 7 7 7
4  5 5 5 6 6 7 7 7 7 7 8 8
5  7 7 7 7 7 8 8 8 8 8 8 8
6  8 8 8 8 8 8 8 9 9 9 9 9
"""
# Score C (8 and more in the last row), then score D 1 to 7 and more.
PRINTED_C = """
1  1 2 3 3 4 5 5
2  2 2 3 4 4 5 5
3  3 3 3 4 4 5 6
4  3 3 3 4 5 6 6
5  4 4 4 5 6 7 7
6  4 4 5 6 6 7 7
7  5 5 6 6 7 7 7
8  5 5 6 7 7 7 7
"""


def _rows(text: str) -> list[list[int]]:
    return [[int(number) for number in row.split()] for row in text.strip().split("\n")]


@pytest.mark.parametrize(("version", "printed"), [("worksheet", WORKSHEET_A), ("other", OTHER_A)])
def test_table_a_is_the_printed_one(version, printed):
    rows = _rows(printed)
    assert len(rows) == 18
    for upper, lower, *scores in rows:
        found = [table_a(version, upper, lower, w, t) for w in (1, 2, 3, 4) for t in (1, 2)]
        assert found == scores, (version, upper, lower)


def test_table_b_is_the_printed_one():
    for neck, *scores in _rows(PRINTED_B):
        found = [table_b(neck, trunk, legs) for trunk in range(1, 7) for legs in (1, 2)]
        assert found == scores, neck


def test_table_c_is_the_printed_one():
    for score_c, *scores in _rows(PRINTED_C):
        assert [table_c(score_c, d) for d in range(1, 8)] == scores, score_c
    assert [table_c(c, 9) for c in (9, 13)] == [7, 7]
    assert table_c(13, 1) == table_c(8, 1)


def test_the_two_versions_of_table_a_differ_where_it_is_said():
    one, two = TABLE_A["worksheet"], TABLE_A["other"]
    differing = {key for key in one if one[key] != two[key]}
    assert differing == {(1, 3), (6, 2), *((u, low) for u in (2, 3, 4) for low in (1, 2, 3))}


@pytest.mark.parametrize("version", ["worksheet", "other"])
def test_a_higher_upper_arm_never_scores_lower(version):
    for lower in (1, 2, 3):
        rows = [TABLE_A[version][upper, lower] for upper in range(1, 7)]
        for column in zip(*rows, strict=True):
            assert list(column) == sorted(column)


def test_a_higher_neck_never_scores_lower_and_table_c_rises_both_ways():
    for column in zip(*_rows(PRINTED_B), strict=True):
        assert list(column) == sorted(column)
    grand = [row[1:] for row in _rows(PRINTED_C)]
    assert all(row == sorted(row) for row in grand)
    assert all(list(column) == sorted(column) for column in zip(*grand, strict=True))


EASY = RulaPosture(upper_arm_deg=10.0, elbow_deg=80.0, wrist_deg=0.0, neck_deg=5.0, trunk_deg=0.0)


def test_an_easy_posture_scores_one():
    result = rula(EASY, RulaAnswers())
    assert (result.posture_a, result.posture_b, result.grand, result.action_level) == (1, 1, 1, 1)
    assert result.meaning.startswith("RULA score 1: acceptable")
    assert result.meaning.endswith(GUIDE)


def test_a_posture_worked_by_hand():
    # A(3, 2, 3, 1) = 4, with muscle use 1 and force 2: C = 7. B(3, 3, 1) = 4, muscle use: D = 5.
    posture = RulaPosture(
        upper_arm_deg=50.0, elbow_deg=30.0, wrist_deg=20.0, neck_deg=25.0, trunk_deg=30.0
    )
    answers = RulaAnswers(
        arm_held_or_repeated=True, arm_force="2 to 10 kg held or repeated",
        body_held_or_repeated=True,
    )  # fmt: skip
    result = rula(posture, answers)
    assert (result.posture_a, result.score_c, result.posture_b, result.score_d) == (4, 7, 4, 5)
    assert (result.grand, result.action_level) == (7, 4)
    # The other version has A(3, 2, 3, 1) = 4 as well, and A(2, 2, 3, 1) = 3 in both.
    assert rula(posture, answers, version="other").grand == 7


@pytest.mark.parametrize(
    ("name", "part", "scores"),
    [
        (
            "upper_arm_deg",
            "upper_arm",
            {-30: 2, -20: 1, 0: 1, 19.9: 1, 20: 2, 44: 2, 45: 3, 89: 3, 90: 4, 170: 4},
        ),
        ("elbow_deg", "lower_arm", {0: 2, 59: 2, 60: 1, 100: 1, 101: 2}),
        ("wrist_deg", "wrist", {-16: 3, -15: 2, -6: 2, -4: 1, 0: 1, 5: 1, 6: 2, 15: 2, 16: 3}),
        ("neck_deg", "neck", {-1: 4, 0: 1, 9: 1, 10: 2, 19: 2, 20: 3, 60: 3}),
        ("trunk_deg", "trunk", {-4: 1, 0: 1, 5: 1, 6: 2, 19: 2, 20: 3, 59: 3, 60: 4, 110: 4}),
    ],
)
def test_angles_score_as_the_paper_says(name, part, scores):
    found = {
        angle: rula(replace(EASY, **{name: float(angle)}), RulaAnswers()).parts[part]
        for angle in scores
    }
    assert found == scores


def test_the_worksheets_narrower_arm_zone_can_be_chosen():
    posture = replace(EASY, upper_arm_deg=17.0)
    assert rula(posture, RulaAnswers()).parts["upper_arm"] == 1
    assert rula(posture, RulaAnswers(), arm_zones="worksheet").parts["upper_arm"] == 2


@pytest.mark.parametrize(
    ("answer", "part", "change"),
    [
        ({"shoulder_raised": True}, "upper_arm", 1),
        ({"arm_out_to_side": True}, "upper_arm", 1),
        ({"arm_supported": True}, "upper_arm", -1),
        ({"hand_across_or_outside": True}, "lower_arm", 1),
        ({"wrist_bent_sideways": True}, "wrist", 1),
        ({"forearm_twisted_to_end": True}, "wrist_twist", 1),
        ({"neck_turned": True}, "neck", 1),
        ({"neck_bent_sideways": True}, "neck", 1),
        ({"trunk_turned": True}, "trunk", 1),
        ({"trunk_bent_sideways": True}, "trunk", 1),
        ({"trunk_supported": True}, "trunk", -2),
        ({"legs_supported": False}, "legs", 1),
    ],
)
def test_each_answer_changes_its_own_part(answer, part, change):
    posture = replace(EASY, upper_arm_deg=30.0, trunk_deg=30.0)
    before = rula(posture, RulaAnswers()).parts
    after = rula(posture, RulaAnswers(**answer)).parts
    assert {name: after[name] - before[name] for name in after if after[name] != before[name]} == {
        part: change
    }


def test_force_and_muscle_use_add_their_points():
    words = {
        "under 2 kg now and then": 0,
        "2 to 10 kg now and then": 1,
        "2 to 10 kg held or repeated": 2,
        "over 10 kg now and then": 2,
        "over 10 kg held or repeated": 3,
        "shock or jerk": 3,
    }
    for force, points in words.items():
        result = rula(EASY, RulaAnswers(arm_force=force, body_force=force))
        assert result.score_c - result.posture_a == points
        assert result.score_d - result.posture_b == points


def test_a_supported_arm_never_scores_below_one():
    assert rula(EASY, RulaAnswers(arm_supported=True)).parts["upper_arm"] == 1


@pytest.mark.parametrize(
    ("grand", "level"), [(1, 1), (2, 1), (3, 2), (4, 2), (5, 3), (6, 3), (7, 4)]
)
def test_action_levels(grand, level):
    assert replace(rula(EASY, RulaAnswers()), grand=grand).action_level == level


def test_the_angles_uncertainty_is_passed_on_to_the_score():
    sharp = rula(replace(EASY, trunk_deg=19.0, neck_deg=21.0), RulaAnswers())
    assert (sharp.lowest, sharp.highest) == (sharp.grand, sharp.grand)
    vague = replace(EASY, trunk_deg=Estimate(19.0, 2.0), neck_deg=Estimate(21.0, 2.0))
    result = rula(vague, RulaAnswers())
    assert (result.lowest, result.grand, result.highest) == (2, 3, 3)
    assert "(2 to 3)" in result.meaning


angle = st.floats(-4, 100)
sd = st.floats(0, 6)


@given(st.lists(st.tuples(angle, sd), min_size=5, max_size=5), st.booleans(), st.booleans())
def test_the_score_lies_within_its_own_span(angles, turned, raised):
    names = ("upper_arm_deg", "elbow_deg", "wrist_deg", "neck_deg", "trunk_deg")
    values = {
        name: Estimate(min(value, 80.0), spread)
        for name, (value, spread) in zip(names, angles, strict=True)
    }
    answers = RulaAnswers(trunk_turned=turned, shoulder_raised=raised)
    result = rula(RulaPosture(**values), answers)
    assert 1 <= result.lowest <= result.grand <= result.highest <= 7


def test_a_trunk_leaning_back_without_support_is_refused():
    back = replace(EASY, trunk_deg=-15.0)
    with pytest.raises(MeasureError, match="leans back 15° without support: use REBA"):
        rula(back, RulaAnswers())
    assert rula(back, RulaAnswers(trunk_supported=True)).parts["trunk"] == 1


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"upper_arm_deg": 181.0}, "The upper arm's angle is 181 degrees"),
        ({"elbow_deg": math.nan}, "The elbow's flexion is not a number"),
        ({"wrist_deg": -91.0}, "The wrist's angle is -91 degrees"),
        ({"neck_deg": 91.0}, "The neck's angle is 91 degrees"),
        ({"trunk_deg": 151.0}, "The trunk's angle is 151 degrees"),
    ],
)
def test_angles_that_cannot_be_are_refused(change, words):
    with pytest.raises(MeasureError, match=words):
        rula(replace(EASY, **change), RulaAnswers())


def test_words_that_are_not_offered_are_refused():
    with pytest.raises(MeasureError, match="version of Table A"):
        rula(EASY, RulaAnswers(), version="third")
    with pytest.raises(MeasureError, match="zones of the upper arm"):
        rula(EASY, RulaAnswers(), arm_zones="wide")
    with pytest.raises(MeasureError, match="force of the arm is 'much'"):
        rula(EASY, RulaAnswers(arm_force="much"))
