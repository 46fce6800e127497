"""The whole review as plain text, for a screen reader, a message or a printer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from cliptag.export.chapters import title_of
from cliptag.export.plain_text import balance, clean, inline
from cliptag.export.timeline import Timeline
from cliptag.paint import day_words
from cliptag.review import MOVEMENT_WORDS, REGION_WORDS, Note, Review

Readings: TypeAlias = Mapping[tuple[str, str], str]
"""What each measuring mark reads, with its uncertainty, by note id and mark id."""


def transcript_of(
    review: Review, timeline: Timeline, readings: Readings, language: str = "en"
) -> str:
    """Everything the exported video says, in its order, with the video's times as ``m:ss``.

    Each line stands for itself and each part is parted by an empty line, with no drawn lines,
    tables or signs that a screen reader would spell out. The caution comes first and last.
    """
    parts = [
        _heading(review, language),
        _paragraphs(review.caution),
        _section("In general", _paragraphs(review.impression)),
        *_notes(review, timeline, readings),
        _section("Exercises", "\n".join(_exercises(review))),
        _section("Please remember", _paragraphs(review.caution)),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _heading(review: Review, language: str) -> str:
    client = inline(review.client)
    movement = MOVEMENT_WORDS[review.movement]
    lines = [f"Movement review for {client}" if client else "Movement review"]
    lines.append(movement if review.week is None else f"{movement}, week {review.week}")
    if review.recorded_on is not None:
        lines.append(f"Recorded on {day_words(review.recorded_on, language)}")
    if review.coach.strip():
        lines.append(f"Coach: {inline(review.coach)}")
    return "\n".join(lines)


def _notes(review: Review, timeline: Timeline, readings: Readings) -> Iterator[str]:
    notes = {note.id: note for note in review.notes}
    shown = [window for window in timeline.windows if window.note_id in notes]
    if shown:
        yield "Notes, with their times in the video"
    for number, window in enumerate(shown, 1):
        note = notes[window.note_id]
        yield "\n".join(
            [
                f"{number}. At {_clock(window.start_us)}. {title_of(note)}",
                *filter(None, [_paragraphs(note.text)]),
                *_numbers(note, readings),
                *_repetitions(note),
            ]
        )


def _numbers(note: Note, readings: Readings) -> Iterator[str]:
    for mark in note.marks:
        reading = readings.get((note.id, mark.id))
        if reading:
            label = inline(mark.label)
            yield f"Measured: {label}: {reading}" if label else f"Measured: {reading}"


def _exercises(review: Review) -> Iterator[str]:
    for number, note in enumerate(review.exercises, 1):
        text = " ".join(_paragraphs(note.text).split("\n")) or REGION_WORDS[note.region]
        yield "\n".join([f"{number}. {text}", *_repetitions(note)])


def _repetitions(note: Note) -> Iterator[str]:
    repetitions = inline(note.repetitions)
    if repetitions:
        yield f"Repetitions: {repetitions}"


def _section(heading: str, text: str) -> str:
    return f"{heading}\n{text}" if text else ""


def _paragraphs(text: str) -> str:
    return "\n".join(balance(line for line in clean(text).split("\n") if line))


def _clock(time_us: int) -> str:
    minutes, seconds = divmod(time_us // 1_000_000, 60)
    return f"{minutes}:{seconds:02d}"
