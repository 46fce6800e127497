"""A movement report as JSON."""

from __future__ import annotations

from typing import Final

import msgspec

from cliptag.measure.curves.facts import Facts, facts_of
from cliptag.measure.curves.tables import CurveRecord, curves_record
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.descriptors import Descriptor
from cliptag.measure.movement.proposal import Proposal
from cliptag.measure.movement.repetitions import Phase, Repetition, TimedTest
from cliptag.measure.movement.report import MovementReport, Smoothness
from cliptag.measure.movement.sides import SideComparison
from cliptag.review import DEFAULT_CAUTION

SCHEMA: Final = "cliptag-movement/1"


class RepetitionRecord(msgspec.Struct, frozen=True, kw_only=True):
    """One repetition; times in seconds with their standard uncertainty."""

    number: int
    duration_s: Estimate | None
    moments: tuple[Proposal, ...]
    phases: tuple[Phase, ...]


class MovementRecord(msgspec.Struct, frozen=True, kw_only=True):
    """Everything read off one movement. Moments are proposals until the coach confirms them."""

    schema: str
    movement: str
    caution: str
    how: Facts
    repetitions: list[RepetitionRecord]
    timed_tests: tuple[TimedTest, ...]
    descriptors: tuple[Descriptor, ...]
    smoothness: tuple[Smoothness, ...]
    sides: tuple[SideComparison, ...]
    missing: tuple[str, ...]
    turned: tuple[str, ...]
    times_us: list[int]
    curves: dict[str, CurveRecord]


def movement_record(report: MovementReport) -> MovementRecord:
    """The report as plain data."""
    curves = curves_record(report.smoothed, report.curves)
    return MovementRecord(
        schema=SCHEMA,
        movement=report.movement,
        caution=DEFAULT_CAUTION,
        how=facts_of(report.smoothed),
        repetitions=[_repetition(repetition) for repetition in report.repetitions],
        timed_tests=report.timed_tests,
        descriptors=report.descriptors,
        smoothness=report.smoothness,
        sides=report.sides,
        missing=report.missing,
        turned=report.turned,
        times_us=curves.times_us,
        curves=curves.curves,
    )


def movement_json(report: MovementReport) -> str:
    """The report as JSON."""
    return msgspec.json.encode(movement_record(report)).decode()


def _repetition(repetition: Repetition) -> RepetitionRecord:
    return RepetitionRecord(
        number=repetition.number,
        duration_s=repetition.duration_s,
        moments=repetition.moments,
        phases=repetition.phases,
    )
