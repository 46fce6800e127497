"""The parts of the exported video, named so that a person can jump to them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from cliptag.export.timeline import IMPRESSION_ID, Card, Timeline
from cliptag.review import Note, Review
from cliptag.words import ENGLISH, Words


@dataclass(frozen=True, slots=True)
class Chapter:
    """A named part of the exported video, from ``start_us`` until ``end_us`` of its time.

    Both are whole milliseconds except the end of the last chapter, so that the file and the video
    agree exactly.
    """

    start_us: int
    end_us: int
    title: str


def chapters_of(review: Review, timeline: Timeline, words: Words = ENGLISH) -> tuple[Chapter, ...]:
    """The chapters of the exported video, from its start to its end without gaps or overlaps.

    One for each note, until the next note starts; the general impression and the title card before
    the first, the closing cards after the last. Titles that would be the same are numbered.
    """
    starts: dict[int, str] = {}
    for start_us, title in _starts(review, timeline, words):
        # Of two that start in the same millisecond the first would have no length.
        starts[start_us // 1000 * 1000] = title
    edges = [*starts, timeline.duration_us]
    titles = _numbered(list(starts.values()))
    return tuple(
        Chapter(start_us, end_us, title)
        for (start_us, end_us), title in zip(pairwise(edges), titles, strict=True)
        if end_us > start_us
    )


def title_of(note: Note, words: Words = ENGLISH) -> str:
    """What a note is about, such as 'Feet: what I see'."""
    return words.title(note.region, note.kind)


def _starts(review: Review, timeline: Timeline, words: Words) -> Iterator[tuple[int, str]]:
    notes = {note.id: note for note in review.notes}
    has_impression = timeline.window_of(IMPRESSION_ID) is not None
    yield 0, words.region("whole") if has_impression else words.say("Start")
    for window in timeline.windows:
        if window.note_id in notes:
            yield window.start_us, title_of(notes[window.note_id], words)
    for span in timeline.spans:
        if isinstance(span, Card) and span.name == "closing" and span.page == 0:
            has_exercises = bool(review.exercises)
            title = words.say("Exercises") if has_exercises else words.say("Before you go")
            yield span.out_start_us, title


def _numbered(titles: Sequence[str]) -> Iterator[str]:
    often = Counter(titles)
    seen: Counter[str] = Counter()
    for title in titles:
        seen[title] += 1
        yield f"{title} ({seen[title]})" if often[title] > 1 else title
