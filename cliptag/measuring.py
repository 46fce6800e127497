"""What ``cliptag measure`` does: the numbers of the marks, and of the points that are tracked."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from cliptag.errors import MeasureError
from cliptag.files import write_bytes
from cliptag.measure import Reading, reading_of, unmeasured
from cliptag.opening import open_reviewed_clip
from cliptag.printing import print_json, warn
from cliptag.review import MeasuringMark, Note, Review, is_measuring, load_review
from cliptag.times import frame_at
from cliptag.working import working

if TYPE_CHECKING:
    from cliptag.measure import MovementReport
    from cliptag.measure.moving import MovingMarks


@dataclass(frozen=True, slots=True)
class MarkNumber:
    """A measuring mark with its note, and its number where the note begins."""

    note: Note
    mark: MeasuringMark
    reading: Reading


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """All numbers of a review; ``report`` is None where no point is tracked."""

    review: Review
    marks: tuple[MarkNumber, ...]
    report: MovementReport | None


def measure(options: Namespace) -> int:
    """Print every measured number of a review with its uncertainty, and write what is asked."""
    from cliptag import measured_tables as told

    review = load_review(options.review)
    if not review.tracked and (options.trc or options.cutoff or options.velocity):
        raise MeasureError(
            "No point is tracked in this review, so there are no curves: place some points on one "
            "frame in the desk first."
        )
    if options.cutoff is not None:
        review = replace(review, cutoff_hz=options.cutoff)
    measured = measured_review(review, options.review)
    files: dict[Path, str] = {}
    if options.csv:
        files[options.csv] = told.numbers_csv(measured)
        if measured.report is not None:
            files[options.csv.with_suffix(".curves.csv")] = told.curves_text(measured.report)
    if options.trc:
        files[options.trc] = told.points_text(measured.report, options.trc.name)
    # All is worked out before anything is written, and each file is written whole or not at all.
    for path, text in files.items():
        _write(path, text)
    for sentence in unmeasured(review):
        warn(sentence)
    if options.json:
        print_json(told.facts(measured, options.velocity))
    elif not files:
        told.print_all(measured, options.velocity)
    return 0


def measured_review(review: Review, review_path: Path) -> Measured:
    """The numbers of a review, its tracked points followed through its clip with a bar.

    Raises TrackingCancelled after Ctrl-C, and MeasureError where a movement can't be measured.
    """
    if not review.tracked:
        return Measured(review, _marks(review, None), None)
    # Loaded here because the filters take a second to load that other reviews need not wait for.
    from cliptag.measure.followed import follow_points, known_facing, movement_of
    from cliptag.measure.moving import MovingMarks
    from cliptag.measure.tracking import TrackStore

    known_facing(review)
    _, clip = open_reviewed_clip(review_path)
    with clip, working("Following the points") as work:
        tracks = follow_points(
            review, clip, store=TrackStore(), progress=work.advance, is_cancelled=work.is_stopped
        )
    report = movement_of(review, tracks)
    return Measured(review, _marks(review, MovingMarks(review, tracks, report)), report)


def _marks(review: Review, moving: MovingMarks | None) -> tuple[MarkNumber, ...]:
    """Every mark that has a number, in order of time."""
    found = []
    for note in sorted(review.notes, key=lambda note: note.start_us):
        for mark in filter(is_measuring, note.marks):
            reading = _reading(review, note, mark, moving)
            if reading is not None:
                found.append(MarkNumber(note, mark, reading))
    return tuple(found)


def _reading(
    review: Review, note: Note, mark: MeasuringMark, moving: MovingMarks | None
) -> Reading | None:
    """As the picture shows it: a mark that follows points has their smoothed places."""
    if moving is not None and moving.has(mark):
        return moving.reading(note.id, mark, frame_at(moving.times_us, note.start_us))
    try:
        return reading_of(review, note.id, note.start_us, mark)
    except MeasureError:
        return None


def _write(path: Path, text: str) -> None:
    try:
        write_bytes(path, text.encode("utf-8"))
    except OSError as error:
        raise MeasureError(
            f"{path} can't be written: {error.strerror or error}. Choose another place."
        ) from error
