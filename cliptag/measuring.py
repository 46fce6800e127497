"""What ``cliptag measure`` prints: the numbers of the marks, and of the points that are tracked."""

from __future__ import annotations

import csv
import io
import json
import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import rich
from rich.table import Table

from cliptag.errors import MeasureError
from cliptag.files import write_bytes
from cliptag.measure import Reading, readings_of, unmeasured
from cliptag.opening import open_reviewed_clip
from cliptag.printing import clock_words, print_json
from cliptag.review import KIND_WORDS, MOMENT_WORDS, REGION_WORDS, Review, load_review

if TYPE_CHECKING:
    from cliptag.measure.movement import MovementReport

CONVENTIONS: Final = (
    "Angles in degrees: knee, hip and elbow flexion are 0 when straight, ankle dorsiflexion is 0 "
    "at a right angle; tilts are from the true vertical, forward positive. standard_uncertainty is "
    "k = 1; texts show k = 2. Lengths hold in the plane of the movement only. One camera can't "
    "show turning towards or away from it. Coaching is not medical diagnosis."
)


def measure(options: Namespace) -> int:
    """Print every measured number of a review with its uncertainty."""
    review = load_review(options.review)
    readings = readings_of(review)
    for sentence in unmeasured(review):
        print(f"cliptag: {sentence}", file=sys.stderr)
    report = _movement(options.review) if review.tracked else None
    if options.csv:
        _write(options.csv, _csv_of(review, readings))
        if report is not None:
            _write_curves(options.csv.with_suffix(".curves.csv"), report)
    if options.json:
        facts = {"conventions": CONVENTIONS, "readings": [_row(review, r) for r in readings]}
        if report is not None:
            facts["movement"] = _movement_facts(report)
        print_json(facts)
    elif not options.csv:
        _print_readings(review, readings)
        if report is not None:
            _print_movement(report)
    return 0


def _movement(review_path: Path) -> MovementReport:
    # Loaded here because the filters take a second to load that other reviews need not wait for.
    from cliptag.measure.followed import follow_movement
    from cliptag.measure.tracking import TrackStore

    review, clip = open_reviewed_clip(review_path)
    with clip:
        return follow_movement(review, clip, store=TrackStore())


def _movement_facts(report: MovementReport) -> Any:
    from cliptag.measure.movement import movement_json

    return json.loads(movement_json(report))


def _write_curves(path: Path, report: MovementReport) -> None:
    from cliptag.measure.curves import curves_csv

    _write(path, curves_csv(report.smoothed, report.curves))


def _write(path: Path, text: str) -> None:
    try:
        write_bytes(path, text.encode("utf-8"))
    except OSError as error:
        raise MeasureError(
            f"{path} can't be written: {error.strerror or error}. Choose another place."
        ) from error


def _row(review: Review, reading: Reading) -> dict[str, Any]:
    note = next(note for note in review.notes if note.id == reading.note_id)
    return {
        "time_s": round(reading.at_us / 1e6, 6),
        "region": note.region,
        "name": reading.name,
        "value": round(reading.value, 4),
        "standard_uncertainty": round(reading.sd, 4),
        "unit": reading.unit,
        "text": reading.text,
        "note_id": reading.note_id,
        "mark_id": reading.mark_id,
    }


def _csv_of(review: Review, readings: tuple[Reading, ...]) -> str:
    text = io.StringIO()
    text.write(f"# {CONVENTIONS}\n")
    names = list(_row(review, readings[0])) if readings else ["time_s"]
    writer = csv.DictWriter(text, names, lineterminator="\n")
    writer.writeheader()
    writer.writerows(_row(review, reading) for reading in readings)
    return text.getvalue()


def _print_readings(review: Review, readings: tuple[Reading, ...]) -> None:
    if not readings:
        print("This review has no measuring marks yet.")
        return
    table = Table(caption=CONVENTIONS, caption_justify="left")
    for heading in ("time", "region", "what", "kind of note"):
        table.add_column(heading)
    for reading in readings:
        note = next(note for note in review.notes if note.id == reading.note_id)
        words = (clock_words(reading.at_us), REGION_WORDS[note.region], reading.text)
        table.add_row(*words, KIND_WORDS[note.kind])
    rich.print(table)


def _print_movement(report: MovementReport) -> None:
    moments = Table(title="Proposed moments", title_justify="left")
    for heading in ("repetition", "moment", "time", "confidence", "reason"):
        moments.add_column(heading)
    for found in report.proposals:
        time = f"{clock_words(found.at_us)} ± {2 * found.sd_us / 1e6:.2f} s"
        words = (MOMENT_WORDS[found.name], time, f"{found.confidence:.0%}", found.reason)
        moments.add_row(str(found.repetition), *words)
    rich.print(moments)
    for told in report.descriptors:
        which = f"Repetition {told.repetition}: " if told.repetition else ""
        print(which + told.sentence)
    for test in report.timed_tests:
        print(f"{test.name}: {test.value:g} {test.unit}. {test.rule}")
    for sentence in (*report.missing, *report.turned):
        print(sentence)
