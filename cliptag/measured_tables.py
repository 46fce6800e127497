"""Measured numbers as tables on the terminal, CSV and JSON."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

import rich
from rich.table import Table

from cliptag.errors import MeasureError
from cliptag.measure import (
    USUAL_TURNS_DEG,
    height_change,
    number_text,
    numbers_of,
    off_if_turned,
    turned_sentence,
    with_uncertainty,
)
from cliptag.measure.published.repeat import smallest_detectable_change
from cliptag.printing import clock_words
from cliptag.review import MOMENT_WORDS, REGION_WORDS, Number, Span

if TYPE_CHECKING:
    from cliptag.measure import MovementReport
    from cliptag.measuring import MarkNumber, Measured

CONVENTIONS: Final = (
    "Angles in degrees: knee, hip and elbow flexion are 0 when straight, ankle dorsiflexion is 0 "
    "at a right angle; tilts are from the true vertical, forward positive. standard_uncertainty is "
    "k = 1; texts show k = 2. smallest_detectable_change is 1.96 * sqrt(2) times it: a smaller "
    "difference of two such numbers may be measuring alone. Lengths hold in the plane of the "
    "movement only. One camera can't show turning towards or away from it. Coaching is not medical "
    "diagnosis."
)
_COLUMNS: Final = (
    "time_s",
    "repetition",
    "region",
    "name",
    "value",
    "standard_uncertainty",
    "smallest_detectable_change",
    *(f"off_if_turned_{turn:g}_deg" for turn in USUAL_TURNS_DEG),
    "unit",
    "text",
    "note_id",
    "mark_id",
)


def facts(measured: Measured, with_velocity: bool) -> dict[str, Any]:
    """Everything, for programs."""
    found: dict[str, Any] = {
        "conventions": CONVENTIONS,
        "if_turned": [turned_sentence(turn) for turn in USUAL_TURNS_DEG],
        "heights": _heights(measured),
        "readings": [_mark_row(measured, one) for one in measured.marks],
    }
    if measured.report is not None:
        from cliptag.measure.movement import movement_json

        found["numbers"] = [_number_row(number) for number in numbers_of(measured.report)]
        if with_velocity:
            found["velocities"] = list(_velocities(measured.report))
        found["movement"] = json.loads(movement_json(measured.report))
    return found


def numbers_csv(measured: Measured) -> str:
    """A line for each number, under lines marked '#'. ``off_if_turned`` of lengths is in %."""
    text = io.StringIO()
    turned = (turned_sentence(turn) for turn in USUAL_TURNS_DEG)
    for line in (CONVENTIONS, *turned, *_heights(measured)):
        text.write(f"# {line}\n")
    writer = csv.DictWriter(text, _COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(_mark_row(measured, one) for one in measured.marks)
    if measured.report is not None:
        writer.writerows(_number_row(number) for number in numbers_of(measured.report))
    return text.getvalue()


def curves_text(report: MovementReport) -> str:
    """The curves as CSV."""
    from cliptag.measure import curves_csv

    return curves_csv(report.smoothed, report.curves)


def points_text(report: MovementReport | None, file_name: str) -> str:
    """The smoothed points as TRC. Raises MeasureError without a scale."""
    from cliptag.measure import trc_text
    from cliptag.measure.curves import Level

    if report is None:
        raise MeasureError("A TRC file holds tracked points, and this review has none.")
    return trc_text(Level(report.smoothed), file_name)


def print_all(measured: Measured, with_velocity: bool) -> None:
    """Tables and sentences for a person."""
    _print_marks(measured)
    if measured.report is not None:
        _print_movement(measured.report)
        if with_velocity:
            _print_velocities(measured.report)
    if measured.marks or measured.report is not None:
        for turn in USUAL_TURNS_DEG:
            print(turned_sentence(turn))
        for sentence in _heights(measured):
            print(sentence)
        print(CONVENTIONS)


def _heights(measured: Measured) -> list[str]:
    """What the scale can show of a height, where it matters: with a scale."""
    if measured.review.scale is None:
        return []
    return [height_change(measured.review).sentence]


def _mark_row(measured: Measured, one: MarkNumber) -> dict[str, Any]:
    reading = one.reading
    bounds = {
        f"off_if_turned_{turn:g}_deg": round(off_if_turned(measured.review, one.mark, turn), 2)
        for turn in USUAL_TURNS_DEG
    }
    return {
        "time_s": round(reading.at_us / 1e6, 6),
        "region": one.note.region,
        "name": reading.name,
        "value": round(reading.value, 4),
        "standard_uncertainty": round(reading.sd, 4),
        "smallest_detectable_change": round(smallest_detectable_change(reading.sd), 4),
        **bounds,
        "unit": reading.unit,
        "text": reading.text,
        "note_id": reading.note_id,
        "mark_id": reading.mark_id,
    }


def _number_row(number: Number) -> dict[str, Any]:
    row: dict[str, Any] = {"name": number.name}
    if number.at_us is not None:
        row["time_s"] = round(number.at_us / 1e6, 6)
    if number.repetition is not None:
        row["repetition"] = number.repetition
    return row | {
        "value": round(number.value, 4),
        "standard_uncertainty": round(number.sd, 4),
        "smallest_detectable_change": round(smallest_detectable_change(number.sd), 4),
        "unit": number.unit,
        "text": number_text(number),
    }


def _velocities(report: MovementReport) -> Iterator[dict[str, Any]]:
    from cliptag.measure.curves import velocity_of

    for name, angle in report.angles.items():
        rate = velocity_of(angle)
        if rate.is_known:
            ends = (("highest", rate.highest), ("lowest", rate.lowest))
            for which, peak in ends:
                yield {
                    "name": f"{name}_velocity_{which}",
                    "time_s": round(peak.at_us / 1e6, 6),
                    "value": round(peak.value, 3),
                    "standard_uncertainty": round(peak.sd, 3),
                    "smallest_detectable_change": round(smallest_detectable_change(peak.sd), 3),
                    "unit": rate.unit,
                }


def _print_marks(measured: Measured) -> None:
    if not measured.marks:
        print("This review has no measuring marks yet.")
        return
    table = Table()
    table.add_column("time", no_wrap=True)
    table.add_column("region")
    table.add_column("what", no_wrap=True)
    for heading in ("shows a change from", "if turned 20°"):
        table.add_column(heading)
    for one in measured.marks:
        reading = one.reading
        off = off_if_turned(measured.review, one.mark, USUAL_TURNS_DEG[-1])
        table.add_row(
            clock_words(reading.at_us),
            REGION_WORDS[one.note.region],
            reading.text,
            _change(reading.sd, reading.unit),
            f"{off:.1f} % short" if isinstance(one.mark, Span) else f"{off:.1f}° off",
        )
    rich.print(table)


def _change(sd: float, unit: str) -> str:
    """The smallest detectable change with the digits of the uncertainty."""
    change = smallest_detectable_change(sd)
    if unit == "s" and change < 1.0:
        return f"{1000 * change:.0f} ms"
    sign, _, _ = unit.partition(" ")
    return f"{change:.1f}{'' if sign == '°' else ' '}{sign}"


def _print_movement(report: MovementReport) -> None:
    moments = Table(title="Moments", title_justify="left")
    for heading in ("repetition", "moment", "time", "confidence", "reason"):
        moments.add_column(heading)
    for found in report.proposals:
        time = f"{clock_words(found.at_us)} ± {2 * found.sd_us / 1e6:.2f} s"
        words = (MOMENT_WORDS[found.name], time, f"{found.confidence:.0%}", found.reason)
        moments.add_row(str(found.repetition), *words)
    if report.proposals:
        rich.print(moments)
    for told in report.descriptors:
        which = f"Repetition {told.repetition}: " if told.repetition else ""
        print(f"{which}{told.sentence} (shows a change from {_change(told.sd, told.unit)})")
    for test in report.timed_tests:
        time = with_uncertainty(test.value, test.sd, test.unit) if test.sd else f"{test.value:g}"
        print(f"{test.name.replace('_', ' ').capitalize()}: {time}. {test.rule}")
    for sentence in report.missing:
        print(sentence)


def _print_velocities(report: MovementReport) -> None:
    from cliptag.measure.curves import velocity_of

    table = Table(title="Angular velocity", title_justify="left")
    for heading in ("angle", "fastest rising", "at", "fastest falling", "at"):
        table.add_column(heading)
    for angle in report.angles.values():
        rate = velocity_of(angle)
        if rate.is_known:
            up, down = rate.highest, rate.lowest
            table.add_row(
                angle.words,
                with_uncertainty(up.value, up.sd, rate.unit),
                clock_words(up.at_us),
                with_uncertainty(down.value, down.sd, rate.unit),
                clock_words(down.at_us),
            )
    rich.print(table)
