"""Durations, frequencies, hidden reach and composite index, after DHHS (NIOSH) 94-110.

All check values from memory and recomputed by hand: section 1.3.5 (durations, short work), 1.3.1
(hidden reach), 2.4.5 (composite index of three tasks).
"""

from __future__ import annotations

import pytest

from cliptag.errors import MeasureError
from cliptag.measure.published import (
    GUIDE,
    Lift,
    Spell,
    TaskIndex,
    composite_index,
    duration_of,
    frequency_of_short_work,
    hidden_reach_cm,
    hidden_reach_in,
    lifting_equation,
    task_index,
)


def test_composite_index_of_the_manuals_three_tasks():
    # F = 1, 2, 4; FILI = 1.5, 1.0, .67; STLI = 1.6, 1.1, .8:
    # 1.6 + 1.0 (1/.88 - 1/.94) + .67 (1/.70 - 1/.88) = 1.60 + .07 + .20 = 1.9
    tasks = [
        TaskIndex(
            lifts_per_min=f, frequency_independent_index=fili, single_task_index=stli,
            starts_high=True,
        )
        for f, fili, stli in ((4, 0.67, 0.8), (1, 1.5, 1.6), (2, 1.0, 1.1))
    ]  # fmt: skip
    result = composite_index(tasks, "short", "table")
    assert [round(share, 2) for share in result.shares] == [1.60, 0.07, 0.20]
    assert result.index == pytest.approx(1.868, abs=0.001)
    assert result.meaning.startswith("Composite lifting index 1.9: some workers")
    assert result.meaning.endswith(GUIDE)


def _lift(**change) -> Lift:
    base = {
        "load_kg": 9.0,
        "horizontal_cm": 40.0,
        "vertical_cm": 60.0,
        "travel_cm": 40.0,
        "lifts_per_min": 1.0,
        "duration": "short",
        "coupling": "fair",
    }
    return Lift(**(base | change))


def test_one_task_alone_has_its_own_index_as_composite():
    task = _lift()
    alone = composite_index([task_index(task)], "short").index
    assert alone == lifting_equation(task).lifting_index


def test_alike_tasks_count_as_one_task_done_that_often():
    parts = [task_index(_lift(lifts_per_min=f)) for f in (1.0, 2.0, 3.0)]
    whole = lifting_equation(_lift(lifts_per_min=6.0)).lifting_index
    assert composite_index(parts, "short").index == pytest.approx(whole)


def test_another_task_never_lowers_the_composite_index():
    tasks = [task_index(_lift(load_kg=load)) for load in (12.0, 8.0, 4.0)]
    indices = [composite_index(tasks[:n], "long").index for n in (1, 2, 3)]
    assert indices == sorted(indices)


def test_more_lifts_than_the_table_allows_are_refused():
    tasks = [task_index(_lift(lifts_per_min=9.0)) for _ in range(2)]
    with pytest.raises(MeasureError, match="18 lifts a minute are more than"):
        composite_index(tasks, "short")
    with pytest.raises(MeasureError, match="at least one"):
        composite_index([], "short")


def test_a_task_outside_the_equation_is_refused_with_its_reason():
    with pytest.raises(MeasureError, match="reach lies outside"):
        task_index(_lift(horizontal_cm=70.0))


@pytest.mark.parametrize(
    ("spells", "duration"),
    [
        ([(45, 60)], "short"),
        ([(30, 40), (30, 40), (30, 40)], "short"),
        # The manual: 30 min of lifting, 10 of light work, 45 of lifting are 75 min together.
        ([(30, 10), (45, 120)], "moderate"),
        ([(90, 30), (90, 30)], "moderate"),
        ([(90, 20), (90, 20)], "long"),
        ([(470, 60)], "long"),
    ],
)
def test_spells_with_too_little_rest_are_added_together(spells, duration):
    assert duration_of([Spell(*spell) for spell in spells]) == duration


def test_the_two_editions_differ_in_the_rest_after_an_hour():
    day = [Spell(50, 55), Spell(50, 55)]
    assert duration_of(day, "1994") == "moderate"
    assert duration_of(day, "2021") == "short"


def test_more_than_eight_hours_are_refused():
    with pytest.raises(MeasureError, match="more than 8 hours"):
        duration_of([Spell(481, 0)])
    with pytest.raises(MeasureError, match="at least one"):
        duration_of([])


def test_short_work_is_averaged_over_fifteen_minutes():
    assert frequency_of_short_work(10, 8) == pytest.approx(5.33, abs=0.004)
    assert frequency_of_short_work(10, 15) == 10
    with pytest.raises(MeasureError, match="give 0 to 15 a minute"):
        frequency_of_short_work(16, 8)


def test_reach_hidden_by_the_load():
    assert [hidden_reach_cm(40, v) for v in (24.9, 25)] == [45, 40]
    assert [hidden_reach_in(16, v) for v in (9.9, 10)] == [18, 16]
