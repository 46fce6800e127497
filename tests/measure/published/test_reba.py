"""REBA cell by cell and end to end.

Source: Hignett, McAtamney, Applied Ergonomics 2000;31:201-205, tables as printed on a university
worksheet; the end of Table C (row 11 from its eighth score on, row 12) from memory.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, RebaAnswers, RebaPosture, reba
from cliptag.measure.published.reba_tables import table_a, table_b, table_c

# Trunk | neck 1, legs 1 to 4 | neck 2 | neck 3
PRINTED_A = """
1 | 1 2 3 4 | 1 2 3 4 | 3 3 5 6
2 | 2 3 4 5 | 3 4 5 6 | 4 5 6 7
3 | 2 4 5 6 | 4 5 6 7 | 5 6 7 8
4 | 3 5 6 7 | 5 6 7 8 | 6 7 8 9
5 | 4 6 7 8 | 6 7 8 9 | 7 8 9 9
"""
# Upper arm | lower arm 1, wrist 1 to 3 | lower arm 2
PRINTED_B = """
1 | 1 2 2 | 1 2 3
2 | 1 2 3 | 2 3 4
3 | 3 4 5 | 4 5 5
4 | 4 5 5 | 5 6 7
5 | 6 7 8 | 7 8 8
6 | 7 8 8 | 8 9 9
"""
# Score A | score B 1 to 12
PRINTED_C = """
1  | 1 1 1 2 3 3 4 5 6 7 7 7
2  | 1 2 2 3 4 4 5 6 6 7 7 8
3  | 2 3 3 3 4 5 6 7 7 8 8 8
4  | 3 4 4 4 5 6 7 8 8 9 9 9
5  | 4 4 4 5 6 7 8 8 9 9 9 9
6  | 6 6 6 7 8 8 9 9 10 10 10 10
7  | 7 7 7 8 9 9 9 10 10 11 11 11
8  | 8 8 8 9 10 10 10 10 10 11 11 11
9  | 9 9 9 10 10 10 11 11 11 12 12 12
10 | 10 10 10 11 11 11 11 12 12 12 12 12
11 | 11 11 11 11 12 12 12 12 12 12 12 12
12 | 12 12 12 12 12 12 12 12 12 12 12 12
"""


def _rows(text: str) -> list[list[list[int]]]:
    lines = text.strip().split("\n")
    return [[[int(n) for n in part.split()] for part in line.split("|")] for line in lines]


def test_table_a_is_the_printed_one():
    for (trunk,), *necks in _rows(PRINTED_A):
        for neck, scores in enumerate(necks, 1):
            assert [table_a(trunk, neck, legs) for legs in range(1, 5)] == scores, (trunk, neck)


def test_table_b_is_the_printed_one():
    for (upper,), *lowers in _rows(PRINTED_B):
        for lower, scores in enumerate(lowers, 1):
            assert [table_b(upper, lower, wrist) for wrist in (1, 2, 3)] == scores, (upper, lower)


def test_table_c_is_the_printed_one():
    for (score_a,), scores in _rows(PRINTED_C):
        assert [table_c(score_a, score_b) for score_b in range(1, 13)] == scores, score_a


def test_tables_never_fall_where_a_part_score_rises():
    a = [[table_a(t, n, g) for n in (1, 2, 3) for g in (1, 2, 3, 4)] for t in range(1, 6)]
    b = [[table_b(u, e, w) for e in (1, 2) for w in (1, 2, 3)] for u in range(1, 7)]
    c = [[table_c(i, j) for j in range(1, 13)] for i in range(1, 13)]
    for table in (a, b, c):
        assert all(list(column) == sorted(column) for column in zip(*table, strict=True))
    assert all(row == sorted(row) for row in c)


EASY = RebaPosture(
    trunk_deg=0.0, neck_deg=10.0, knee_deg=5.0, upper_arm_deg=10.0, elbow_deg=80.0, wrist_deg=0.0
)


def test_an_easy_posture_scores_one():
    result = reba(EASY, RebaAnswers())
    assert (result.score_a, result.score_b, result.score, result.action_level) == (1, 1, 1, 0)
    assert result.meaning.startswith("REBA score 1: negligible risk")
    assert result.meaning.endswith(GUIDE)


def test_a_posture_worked_by_hand():
    # A(3, 2, 2) = 5, load 2: 7. B(3, 2, 2) = 5, grip 1: 6. C(7, 6) = 9, repeated: 10.
    posture = RebaPosture(
        trunk_deg=45.0, neck_deg=25.0, knee_deg=40.0,
        upper_arm_deg=60.0, elbow_deg=30.0, wrist_deg=20.0,
    )  # fmt: skip
    result = reba(posture, RebaAnswers(load="over 10 kg", grip="fair", repeated=True))
    assert (result.posture_a, result.score_a) == (5, 7)
    assert (result.posture_b, result.score_b) == (5, 6)
    assert (result.score_c, result.score, result.action_level) == (9, 10, 3)


def test_the_hardest_posture_scores_fifteen():
    posture = RebaPosture(
        trunk_deg=90.0, neck_deg=40.0, knee_deg=90.0,
        upper_arm_deg=120.0, elbow_deg=0.0, wrist_deg=40.0,
    )  # fmt: skip
    answers = RebaAnswers(
        trunk_turned_or_sideways=True, neck_turned_or_sideways=True, stable=False,
        arm_out_or_turned=True, shoulder_raised=True, wrist_sideways_or_twisted=True,
        load="over 10 kg", shock=True, grip="unacceptable",
        held=True, repeated=True, large_or_unstable=True,
    )  # fmt: skip
    result = reba(posture, answers)
    assert (result.score_a, result.score_b, result.score) == (12, 12, 15)
    assert result.action_level == 4


@pytest.mark.parametrize(
    ("name", "part", "scores"),
    [
        (
            "trunk_deg",
            "trunk",
            {-21: 3, -20: 2, -6: 2, -5: 1, 0: 1, 5: 1, 6: 2, 20: 2, 21: 3, 60: 3, 61: 4},
        ),
        ("neck_deg", "neck", {-1: 2, 0: 1, 20: 1, 21: 2}),
        ("knee_deg", "legs", {-5: 1, 29: 1, 30: 2, 60: 2, 61: 3}),
        (
            "upper_arm_deg",
            "upper_arm",
            {-21: 2, -20: 1, 20: 1, 21: 2, 45: 2, 46: 3, 90: 3, 91: 4},
        ),
        ("elbow_deg", "lower_arm", {59: 2, 60: 1, 100: 1, 101: 2}),
        ("wrist_deg", "wrist", {-16: 2, -15: 1, 15: 1, 16: 2}),
    ],
)
def test_angles_score_as_the_authors_say(name, part, scores):
    found = {
        angle: reba(replace(EASY, **{name: float(angle)}), RebaAnswers()).parts[part]
        for angle in scores
    }
    assert found == scores


@pytest.mark.parametrize(
    ("answer", "part", "change"),
    [
        ({"trunk_turned_or_sideways": True}, "trunk", 1),
        ({"neck_turned_or_sideways": True}, "neck", 1),
        ({"stable": False}, "legs", 1),
        ({"sitting": True}, "legs", -2),
        ({"arm_out_or_turned": True}, "upper_arm", 1),
        ({"shoulder_raised": True}, "upper_arm", 1),
        ({"arm_supported": True}, "upper_arm", -1),
        ({"wrist_sideways_or_twisted": True}, "wrist", 1),
    ],
)
def test_each_answer_changes_its_own_part(answer, part, change):
    posture = replace(EASY, knee_deg=70.0, upper_arm_deg=30.0)
    before, after = (reba(posture, says).parts for says in (RebaAnswers(), RebaAnswers(**answer)))
    changed = {name: after[name] - before[name] for name in after if after[name] != before[name]}
    assert changed == {part: change}


def test_load_grip_and_activity_add_their_points():
    for points, load in enumerate(("under 5 kg", "5 to 10 kg", "over 10 kg")):
        for shock in (False, True):
            result = reba(EASY, RebaAnswers(load=load, shock=shock))
            assert result.score_a - result.posture_a == points + shock
    for points, grip in enumerate(("good", "fair", "poor", "unacceptable")):
        result = reba(EASY, RebaAnswers(grip=grip))
        assert result.score_b - result.posture_b == points
    for activity in ("held", "repeated", "large_or_unstable"):
        result = reba(EASY, RebaAnswers(**{activity: True}))
        assert result.score - result.score_c == 1


@pytest.mark.parametrize(
    ("scores", "level"),
    [((1,), 0), ((2, 3), 1), ((4, 5, 6, 7), 2), ((8, 9, 10), 3), ((11, 12, 13, 14, 15), 4)],
)
def test_action_levels(scores, level):
    easy = reba(EASY, RebaAnswers())
    assert {replace(easy, score=score).action_level for score in scores} == {level}


angles = st.tuples(st.floats(-40, 90), st.floats(0, 6)).map(lambda pair: Estimate(*pair))
limbs = st.tuples(st.floats(0, 90), st.floats(0, 6)).map(lambda pair: Estimate(*pair))


@given(angles, angles, limbs, angles, limbs, angles, st.booleans(), st.booleans())
def test_the_score_lies_within_its_own_span(trunk, neck, knee, arm, elbow, wrist, held, sitting):
    posture = RebaPosture(
        trunk_deg=trunk, neck_deg=neck, knee_deg=knee,
        upper_arm_deg=arm, elbow_deg=elbow, wrist_deg=wrist,
    )  # fmt: skip
    result = reba(posture, RebaAnswers(held=held, sitting=sitting))
    assert 1 <= result.lowest <= result.score <= result.highest <= 15


def test_the_angles_uncertainty_is_passed_on_to_the_score():
    vague = replace(EASY, trunk_deg=Estimate(59.0, 1.0), knee_deg=Estimate(61.0, 1.0))
    result = reba(vague, RebaAnswers())
    # Trunk 3 or 4, legs 2 or 3: A from 4 to 6, and C with B = 1 is the same as A but for 5.
    assert (result.lowest, result.highest) == (3, 6)
    assert f"({result.lowest} to {result.highest})" in result.meaning


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"trunk_deg": -91.0}, "The trunk's angle is -91 degrees"),
        ({"neck_deg": math.inf}, "The neck's angle is not a number"),
        ({"knee_deg": 171.0}, "The knee's flexion is 171 degrees"),
        ({"elbow_deg": 161.0}, "The elbow's flexion is 161 degrees"),
    ],
)
def test_angles_that_cannot_be_are_refused(change, words):
    with pytest.raises(MeasureError, match=words):
        reba(replace(EASY, **change), RebaAnswers())


def test_words_that_are_not_offered_are_refused():
    with pytest.raises(MeasureError, match="The load is 'heavy'"):
        reba(EASY, RebaAnswers(load="heavy"))
    with pytest.raises(MeasureError, match="The grip is 'loose'"):
        reba(EASY, RebaAnswers(grip="loose"))
