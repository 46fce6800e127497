"""The one mapping between the clip's time and the exported video's time.

A timeline is a list of spans that follow each other without gaps. Video, sound, captions, chapters
and the page all read this one list; nothing else maps source time to output time.

All times are integer microseconds: ``source`` times on the clip's own clock, ``out`` times from
the start of the exported video.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import ExportError
from cliptag.review import Note, Review, is_measuring
from cliptag.times import frame_at

IMPRESSION_ID: Final = "impression"
"""The window in which the general impression is read; no note may have this id."""

TITLE_CARD_US: Final = 3_500_000
MARK_LOOK_US: Final = 1_500_000
"""How long a note with marks stands still at least, so that the marks can be seen."""
MEASURE_LOOK_US: Final = 2_500_000
NUMBER_LOOK_US: Final = 1_500_000
"""How long a measured picture stands still even where the coach asks for less.

A number such as '69° ± 2°' is read in a second; it is nowhere else in the video.
"""
VOICE_REST_US: Final = 300_000
"""How long it stays quiet after a note's voice, as between two spoken sentences."""
STILL_STEP_US: Final = 100_000
"""Longest time between two output frames while the picture stands still."""

LEAST_STEP_US: Final = 1_000
"""Least time between two output frames: players drop or refuse frames that are closer."""

CardName = Literal["title", "closing"]


@dataclass(frozen=True, slots=True)
class Play:
    """The clip runs from ``source_start_us`` to ``source_end_us``, ``slow_by`` times slower."""

    out_start_us: int
    source_start_us: int
    source_end_us: int
    slow_by: int = 1

    @property
    def out_end_us(self) -> int:
        return self.out_start_us + (self.source_end_us - self.source_start_us) * self.slow_by


@dataclass(frozen=True, slots=True)
class Hold:
    """The frame shown at ``source_us`` stands still for one note (or for the impression)."""

    out_start_us: int
    out_end_us: int
    source_us: int
    note_id: str


@dataclass(frozen=True, slots=True)
class Card:
    """A full picture of text in place of the clip; the closing cards are numbered from 0."""

    out_start_us: int
    out_end_us: int
    name: CardName
    page: int = 0


Span: TypeAlias = Play | Hold | Card


@dataclass(frozen=True, slots=True)
class Window:
    """When a note is on the screen, in output time; windows never overlap."""

    note_id: str
    start_us: int
    end_us: int


@dataclass(frozen=True, slots=True)
class OutputFrame:
    """One picture of the exported video: a frame of the clip, or a card."""

    out_us: int
    span: Span
    index: int | None
    """The clip's frame; None on a card."""


@dataclass(frozen=True, slots=True)
class Timeline:
    """Spans in order, without gaps, from 0 to ``duration_us``; and when each note is on."""

    spans: tuple[Span, ...]
    windows: tuple[Window, ...]

    @property
    def duration_us(self) -> int:
        return self.spans[-1].out_end_us

    def span_at(self, out_us: int) -> Span:
        """The span on at an output time; before the start the first, after the end the last."""
        after = bisect_right(self.spans, out_us, key=lambda span: span.out_start_us)
        return self.spans[max(0, after - 1)]

    def to_source_us(self, out_us: int) -> int | None:
        """The clip's time shown at an output time; None on a card."""
        span = self.span_at(out_us)
        if isinstance(span, Card):
            return None
        if isinstance(span, Hold):
            return span.source_us
        return min(
            span.source_start_us + (out_us - span.out_start_us) // span.slow_by, span.source_end_us
        )

    def to_out_us(self, source_us: int) -> int | None:
        """The first output time at which the clip's time is shown; None if it is left out."""
        for span in self.spans:
            if isinstance(span, Hold) and span.source_us == source_us:
                return span.out_start_us
            if isinstance(span, Play) and span.source_start_us <= source_us < span.source_end_us:
                return span.out_start_us + (source_us - span.source_start_us) * span.slow_by
        return None

    def window_of(self, note_id: str) -> Window | None:
        """When a note is on the screen; None if it lies outside the part that is sent."""
        return next((window for window in self.windows if window.note_id == note_id), None)

    def window_at(self, out_us: int) -> Window | None:
        """The note on the screen at an output time, or None."""
        after = bisect_right(self.windows, out_us, key=lambda window: window.start_us)
        window = self.windows[after - 1] if after else None
        return window if window is not None and out_us < window.end_us else None

    def frames(
        self, times_us: NDArray[np.int64], still_cuts_us: tuple[int, ...] = ()
    ) -> Iterator[OutputFrame]:
        """Every picture of the exported video, in order, ``LEAST_STEP_US`` apart at least.

        ``still_cuts_us`` are output times at which a standing picture changes (its caption turns
        over): a picture is given at exactly these times too.
        """
        for span in self.spans:
            if isinstance(span, Play):
                yield from _played_frames(span, times_us)
            else:
                still = frame_at(times_us, span.source_us) if isinstance(span, Hold) else None
                for out_us in _still_steps(span, still_cuts_us):
                    yield OutputFrame(out_us, span, still)


def build_timeline(
    review: Review,
    times_us: NDArray[np.int64],
    duration_us: int,
    reading_us: Mapping[str, int],
    *,
    title_card: bool = True,
    closing_cards_us: Sequence[int] = (),
) -> Timeline:
    """Lay out the exported video of a review.

    ``times_us`` and ``duration_us`` are the clip's. ``reading_us`` tells for each note id (and for
    ``IMPRESSION_ID``) how long its captions need; a note that isn't in it has no captions.
    ``closing_cards_us`` tells how long each closing card stands.

    A note's window starts with its hold and ends where the note ends or the next note starts,
    whichever is first; where that is too short to read, the hold makes up the rest. The hold lasts
    as long as the note's voice; where the clip plays on under it, the window does.

    Raises ExportError when the part to be sent lies outside the clip.
    """
    # Of single numbers, bisect finds one ten times quicker in a list than numpy in an array.
    frames_us: list[int] = times_us.tolist()
    part_start_us, part_end_us = _part(review, frames_us, duration_us)
    is_still = len(frames_us) == 1
    notes = _notes_in_play(review, frames_us, part_start_us, part_end_us)

    spans: list[Span] = []
    windows: list[Window] = []
    clock_us = 0

    def still(source_us: int, length_us: int, note_id: str) -> None:
        nonlocal clock_us
        if length_us > 0:
            spans.append(Hold(clock_us, clock_us + length_us, source_us, note_id))
            clock_us += length_us

    def play(source_start_us: int, source_end_us: int, slow_by: int) -> None:
        nonlocal clock_us
        if source_end_us > source_start_us and not is_still:
            spans.append(Play(clock_us, source_start_us, source_end_us, slow_by))
            clock_us = spans[-1].out_end_us

    if title_card:
        spans.append(Card(0, TITLE_CARD_US, "title"))
        clock_us = TITLE_CARD_US
    impression_us = reading_us.get(IMPRESSION_ID, 0)
    if impression_us:
        windows.append(Window(IMPRESSION_ID, clock_us, clock_us + impression_us))
        still(part_start_us, impression_us, IMPRESSION_ID)

    cursor_us = part_start_us
    for place, (note, start_us, end_us) in enumerate(notes):
        play(cursor_us, start_us, 1)
        cursor_us = start_us
        next_us = notes[place + 1][1] if place + 1 < len(notes) else part_end_us
        played_to_us = start_us if is_still else min(end_us, next_us)
        played_us = (played_to_us - start_us) * note.slow_by
        window_start_us = clock_us
        need_us = max(reading_us.get(note.id, 0), _spoken_us(note))
        still(start_us, _hold_us(note, need_us, played_us), note.id)
        play(start_us, played_to_us, note.slow_by)
        cursor_us = played_to_us
        if clock_us > window_start_us:
            windows.append(Window(note.id, window_start_us, clock_us))
    play(cursor_us, part_end_us, 1)

    if is_still and not any(isinstance(span, Hold) for span in spans):
        still(part_start_us, MEASURE_LOOK_US, IMPRESSION_ID)
    for page, length_us in enumerate(closing_cards_us):
        spans.append(Card(clock_us, clock_us + length_us, "closing", page))
        clock_us += length_us
    return Timeline(tuple(spans), tuple(windows))


def notes_in_order(review: Review) -> tuple[Note, ...]:
    """The notes as they are seen: by start, and in the document's order where these are equal."""
    return tuple(sorted(review.notes, key=lambda note: note.start_us))


def _hold_us(note: Note, need_us: int, played_us: int) -> int:
    # Marks that carry a number are true on their own frame only, so they are looked at there.
    look_us = MEASURE_LOOK_US if note.is_measured else MARK_LOOK_US if note.marks else 0
    asked_us = look_us if note.hold_us is None else note.hold_us
    # A mark that follows points has its number on every picture.
    if any(is_measuring(mark) and not mark.follows for mark in note.marks):
        asked_us = max(asked_us, NUMBER_LOOK_US)
    if note.voice is not None and not note.voice.is_over_play:
        asked_us = max(asked_us, _spoken_us(note))
    return max(asked_us, need_us - played_us)


def _spoken_us(note: Note) -> int:
    """How long a note's voice needs, with a breath after it."""
    return 0 if note.voice is None else note.voice.length_us + VOICE_REST_US


def _part(review: Review, frames_us: Sequence[int], duration_us: int) -> tuple[int, int]:
    if review.part is None:
        return 0, duration_us
    if review.part.start_us >= duration_us:
        raise ExportError(
            f"The part to send starts at {review.part.start_us / 1e6:.2f} s, but the clip ends at "
            f"{duration_us / 1e6:.2f} s: choose an earlier part."
        )
    start_us = _snap(frames_us, review.part.start_us)
    return start_us, max(min(review.part.end_us, duration_us), start_us + 1)


def _notes_in_play(
    review: Review, frames_us: Sequence[int], part_start_us: int, part_end_us: int
) -> list[tuple[Note, int, int]]:
    """The notes that are sent, with start and end moved onto the clip's frames."""
    inside = []
    for note in notes_in_order(review):
        if note.id == IMPRESSION_ID:
            raise ExportError(f"A note may not be called {IMPRESSION_ID!r}: give it another id.")
        start_us = max(_snap(frames_us, note.start_us), part_start_us)
        end_us = min(note.end_us, part_end_us)
        if len(frames_us) == 1 or (note.end_us >= part_start_us and start_us < part_end_us):
            inside.append((note, start_us, max(_snap(frames_us, end_us), start_us)))
    return inside


def _snap(frames_us: Sequence[int], source_us: int) -> int:
    return frames_us[max(0, bisect_right(frames_us, source_us) - 1)]


def _played_frames(span: Play, times_us: NDArray[np.int64]) -> Iterator[OutputFrame]:
    first, stop = np.searchsorted(times_us, [span.source_start_us, span.source_end_us])
    for index in range(int(first), int(stop)):
        shown_us = int(times_us[index])
        until_us = int(times_us[index + 1]) if index + 1 < stop else span.source_end_us
        # Some phones write frames that share one time, or nearly: only the last of them is seen.
        if (until_us - shown_us) * span.slow_by >= LEAST_STEP_US:
            out_us = span.out_start_us + (shown_us - span.source_start_us) * span.slow_by
            yield OutputFrame(out_us, span, index)


def _still_steps(span: Hold | Card, cuts_us: tuple[int, ...]) -> list[int]:
    """Output times, ``LEAST_STEP_US`` apart, with the cuts before all others."""
    cuts = {cut for cut in cuts_us if span.out_start_us <= cut < span.out_end_us}
    grid = range(span.out_start_us, span.out_end_us, STILL_STEP_US)
    wanted = cuts | {
        step for step in grid if all(step - cut >= LEAST_STEP_US or step < cut for cut in cuts)
    }
    steps: list[int] = []
    next_us = span.out_end_us
    for step in sorted(wanted, reverse=True):
        if next_us - step >= LEAST_STEP_US:
            steps.append(step)
            next_us = step
    return steps[::-1]
