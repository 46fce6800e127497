"""Numbers of a followed movement: as they go into a note, and as they are known later."""

from __future__ import annotations

import msgspec
import pytest
from support.followed import followed_lift

from cliptag.measure import (
    is_known_otherwise,
    newer_numbers,
    newest,
    number_at,
    number_of_end,
    number_of_range,
    numbers_of,
)
from cliptag.review import Note

REPORT = followed_lift().report
TIMES = REPORT.smoothed.times_us


def every_number():
    """All that the page offers: descriptors, times, and each angle's value, ends and range."""
    yield from numbers_of(REPORT)
    for curve in REPORT.angles.values():
        yield number_at(curve, int(TIMES[100]))
        yield number_of_end(curve, "highest")
        yield number_of_end(curve, "lowest")
        yield number_of_range(curve)


def test_every_number_is_found_again_in_its_own_report_unchanged():
    found = list(every_number())
    assert len(found) > 50
    for number in found:
        assert newest(number, REPORT) == number
        assert not is_known_otherwise(number, newest(number, REPORT))


def test_values_and_uncertainties_are_those_of_the_report():
    by_name = {number.name: number for number in numbers_of(REPORT)}
    for told in REPORT.descriptors:
        number = by_name[told.name]
        assert (number.value, number.sd, number.unit) == (told.value, told.sd, told.unit)


@pytest.mark.parametrize("sds", [0.99, 1.01])
def test_known_otherwise_means_beyond_half_the_shown_interval(sds):
    """Shown is k = 2 (JCGM 100:2008, 6.2), so that half of it is one standard uncertainty."""
    number = next(numbers_of(REPORT))
    aged = msgspec.structs.replace(number, value=number.value - sds * number.sd)
    assert is_known_otherwise(aged, number) == (sds > 1.0)
    note = Note(id="n", region="knees", kind="seen", start_us=0, end_us=1, numbers=(number, aged))
    assert newer_numbers(note, REPORT) == ({1: number} if sds > 1.0 else {})


def test_a_value_in_a_gap_is_no_number():
    assert number_at(REPORT.angles["knee_flexion"], int(TIMES[220])) is None


def test_what_the_report_no_longer_tells_is_not_known():
    number = msgspec.structs.replace(next(numbers_of(REPORT)), repetition=7)
    assert newest(number, REPORT) is None


def test_a_tilt_backward_is_told_as_such():
    lowest = number_of_end(REPORT.angles["shank_tilt"], "lowest")
    assert lowest.sense == ("forward" if lowest.value >= 0 else "backward")
