"""What a client is told of a review, as plain data: the watch page and the summary are made of it.

All texts are cleaned (see ``plain_text``), in the client's language where they are cliptag's own.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from cliptag.export.numbers import (
    meaning_of,
    number_meaning,
    number_name,
    number_value,
    reading_value,
)
from cliptag.export.plain_text import inline, paragraphs
from cliptag.export.timeline import Timeline, notes_in_order
from cliptag.export.transcript import heading_words, movement_words, said_in
from cliptag.measure import UNCERTAINTY_WORDS, Reading
from cliptag.paint import day_words
from cliptag.review import CLIMB, Kind, Note, Region, Review
from cliptag.words import Words

Paragraphs = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """One number: its name, the value with its uncertainty, and what it means."""

    name: str
    value: str
    meaning: str


@dataclass(frozen=True, slots=True)
class Finding:
    """A note that is no exercise. ``at_us`` is when the video shows it first."""

    note_id: str
    region: Region
    kind: Kind
    title: str
    text: Paragraphs
    numbers: tuple[Measured, ...]
    labels: tuple[str, ...]
    at_us: int


@dataclass(frozen=True, slots=True)
class Task:
    """An exercise. ``key`` is the same as long as its text is; ``at_us`` None: not in the video."""

    key: str
    text: Paragraphs
    repetitions: str
    at_us: int | None


@dataclass(frozen=True, slots=True)
class Account:
    """Everything, with the findings from the ground up."""

    heading: str
    movement: str
    day: str
    coach: str
    impression: Paragraphs
    findings: tuple[Finding, ...]
    tasks: tuple[Task, ...]
    caution: Paragraphs
    words: Words

    @property
    def about(self) -> tuple[str, ...]:
        """What stands under the heading."""
        return tuple(part for part in (self.movement, self.day, self.coach) if part)

    @property
    def sureness(self) -> str:
        """What the ± of a number means."""
        return self.words.say(UNCERTAINTY_WORDS)

    @property
    def has_numbers(self) -> bool:
        return any(finding.numbers for finding in self.findings)


def account_of(
    review: Review,
    timeline: Timeline,
    measured: Mapping[tuple[str, str], Reading],
    shown: Mapping[tuple[str, str], str],
    words: Words,
) -> Account:
    """What the client is told of the part of a review that is sent.

    ``measured`` and ``shown`` are ``Plan.measured`` and ``Plan.readings``.
    """
    findings = [
        Finding(
            note_id=note.id,
            region=note.region,
            kind=note.kind,
            title=words.title(note.region, note.kind),
            text=said_in(note, words),
            numbers=tuple(_numbers(note, measured, words)),
            labels=tuple(_labels(note, shown)),
            at_us=window.start_us,
        )
        for note in notes_in_order(review)
        if note.kind != "exercise" and (window := timeline.window_of(note.id)) is not None
    ]
    coach = inline(review.coach)
    recorded = review.recorded_on
    return Account(
        heading=heading_words(review, words),
        movement=movement_words(review, words),
        day="" if recorded is None else day_words(recorded, words.language),
        coach=words.say("Reviewed by {coach}", coach=coach) if coach else "",
        impression=paragraphs(review.impression),
        findings=tuple(sorted(findings, key=lambda finding: CLIMB.index(finding.region))),
        tasks=tuple(_tasks(review, timeline, words)),
        caution=paragraphs(words.caution(review.caution)),
        words=words,
    )


def _numbers(
    note: Note, measured: Mapping[tuple[str, str], Reading], words: Words
) -> Iterator[Measured]:
    for mark in note.marks:
        reading = measured.get((note.id, mark.id))
        if reading is not None:
            label = inline(mark.label)
            name = words.term("quantity", reading.name)
            yield Measured(
                name=f"{name} ({label})" if label else name,
                value=reading_value(reading, words),
                meaning=meaning_of(reading.name, words),
            )
    for number in note.numbers:
        yield Measured(
            name=inline(number_name(number, words)),
            value=inline(number_value(number, words)),
            meaning=number_meaning(number, words),
        )


def _labels(note: Note, shown: Mapping[tuple[str, str], str]) -> Iterator[str]:
    for mark in note.marks:
        parts = (inline(mark.label), shown.get((note.id, mark.id), ""))
        if any(parts):
            yield " ".join(filter(None, parts))


def _tasks(review: Review, timeline: Timeline, words: Words) -> Iterator[Task]:
    for note in review.exercises:
        window = timeline.window_of(note.id)
        text = said_in(note, words) or (words.region(note.region),)
        yield Task(
            key=hashlib.sha256("\n".join(text).encode()).hexdigest()[:12],
            text=text,
            repetitions=words.counts(inline(note.repetitions)),
            at_us=None if window is None else window.start_us,
        )
