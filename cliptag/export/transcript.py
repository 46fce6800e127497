"""The whole review as plain text, for a screen reader, a message or a printer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TypeAlias

from cliptag.export.chapters import title_of
from cliptag.export.numbers import number_words, uncertainty_words
from cliptag.export.plain_text import inline, paragraphs
from cliptag.export.timeline import Timeline
from cliptag.paint import day_words
from cliptag.review import Note, Review
from cliptag.words import ENGLISH, Words

Readings: TypeAlias = Mapping[tuple[str, str], str]
"""What each measuring mark reads, with its uncertainty, by note id and mark id."""


def transcript_of(
    review: Review, timeline: Timeline, readings: Readings, words: Words = ENGLISH
) -> str:
    """Everything the exported video says, in its order, with the video's times as ``m:ss``.

    Each line stands for itself and each part is parted by an empty line, with no drawn lines,
    tables or signs that a screen reader would spell out. The caution comes first and last.
    """
    caution = "\n".join(paragraphs(words.caution(review.caution)))
    parts = [
        _heading(review, words),
        caution,
        _section(words.say("In general"), "\n".join(paragraphs(review.impression))),
        *_notes(review, timeline, readings, words),
        uncertainty_words(review, words),
        _section(words.say("Exercises"), "\n".join(_exercises(review, words))),
        _section(words.say("Please remember"), caution),
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _heading(review: Review, words: Words) -> str:
    lines = [heading_words(review, words), movement_words(review, words)]
    if review.recorded_on is not None:
        day = day_words(review.recorded_on, words.language)
        lines.append(words.say("Recorded on {day}", day=day))
    if review.coach.strip():
        lines.append(words.say("Coach: {coach}", coach=inline(review.coach)))
    return "\n".join(lines)


def heading_words(review: Review, words: Words) -> str:
    """'Movement review for Ines'."""
    client = inline(review.client)
    if not client:
        return words.say("Movement review")
    return words.say("Movement review for {client}", client=client)


def movement_words(review: Review, words: Words) -> str:
    """'Bending, week 1'."""
    movement = words.movement(review.movement)
    if review.week is None:
        return movement
    return words.say("{movement}, week {week}", movement=movement, week=review.week)


def _notes(review: Review, timeline: Timeline, readings: Readings, words: Words) -> Iterator[str]:
    notes = {note.id: note for note in review.notes}
    shown = [window for window in timeline.windows if window.note_id in notes]
    if shown:
        yield words.say("Notes, with their times in the video")
    for number, window in enumerate(shown, 1):
        note = notes[window.note_id]
        yield "\n".join(
            [
                words.say(
                    "{number}. At {time}. {title}",
                    number=number,
                    time=clock_words(window.start_us),
                    title=title_of(note, words),
                ),
                *said_in(note, words),
                *_numbers(note, readings, words),
                *_repetitions(note, words),
            ]
        )


def _numbers(note: Note, readings: Readings, words: Words) -> Iterator[str]:
    for mark in note.marks:
        reading = readings.get((note.id, mark.id))
        if reading:
            label = inline(mark.label)
            reading = f"{label}: {reading}" if label else reading
            yield words.say("Measured: {reading}", reading=reading)
    for number in note.numbers:
        yield words.say("Measured: {reading}", reading=inline(number_words(number, words)))


def _exercises(review: Review, words: Words) -> Iterator[str]:
    for number, note in enumerate(review.exercises, 1):
        text = " ".join(said_in(note, words)) or words.region(note.region)
        yield "\n".join([f"{number}. {text}", *_repetitions(note, words)])


def _repetitions(note: Note, words: Words) -> Iterator[str]:
    repetitions = words.counts(inline(note.repetitions))
    if repetitions:
        yield words.say("Repetitions: {repetitions}", repetitions=repetitions)


def _section(heading: str, text: str) -> str:
    return f"{heading}\n{text}" if text else ""


def said_in(note: Note, words: Words) -> tuple[str, ...]:
    """A note's text, line by line; of one that is only spoken, where it can be heard."""
    is_heard = note.voice is not None
    return paragraphs(note.text) or ((words.say("Spoken in the video."),) if is_heard else ())


def clock_words(time_us: int) -> str:
    """A time of the video as a player shows it, such as '1:05'."""
    minutes, seconds = divmod(time_us // 1_000_000, 60)
    return f"{minutes}:{seconds:02d}"
