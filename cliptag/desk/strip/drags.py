"""What dragging on the strip does to the review; times always land on frames."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.scene import MomentGrip, NotePart
from cliptag.review import MOMENT_WORDS, Note, Review, edit


@dataclass(frozen=True, slots=True)
class Change:
    """A review, the words for the step to it, and a frame that shows what it means."""

    review: Review
    words: str
    show_us: int


class Drag(Protocol):
    """One drag, from the review as it was when it began."""

    def by(self, by_us: float) -> Change:
        """What the review is when the pointer is that much later than where it took hold."""


@dataclass(frozen=True, slots=True)
class NoteDrag:
    """A bar dragged by its middle, or by an end."""

    before: Review
    note_id: str
    part: NotePart
    frames: FrameTimes

    def by(self, by_us: float) -> Change:
        note = edit.note_of(self.before, self.note_id)
        if self.part == "middle":
            return self._moved(note, by_us)
        return self._started(note, by_us) if self.part == "start" else self._ended(note, by_us)

    def _moved(self, note: Note, by_us: float) -> Change:
        latest_us = max(0, self.frames.duration_us - (note.end_us - note.start_us))
        wished_us = min(max(note.start_us + by_us, 0.0), float(latest_us))
        start_us = self.frames.start_near(wished_us)
        if start_us > latest_us:
            start_us = int(self.frames.times_us[self.frames.index_at(latest_us)])
        review = edit.with_note_moved(self.before, note.id, start_us - note.start_us)
        return Change(review, "move note", start_us)

    def _started(self, note: Note, by_us: float) -> Change:
        start_us = min(self.frames.start_near(note.start_us + by_us), self._last_start(note))
        review = edit.with_note_fields(self.before, note.id, start_us=start_us)
        words = "start note later" if start_us > note.start_us else "start note earlier"
        return Change(review, words, start_us)

    def _ended(self, note: Note, by_us: float) -> Change:
        end_us = max(self.frames.end_near(note.end_us + by_us), self._first_end(note))
        review = edit.with_note_fields(self.before, note.id, end_us=end_us)
        words = "end note later" if end_us > note.end_us else "end note earlier"
        return Change(review, words, max(note.start_us, end_us - 1))

    def _last_start(self, note: Note) -> int:
        """A note keeps one frame at least, unless it was shorter than that."""
        before = self.frames.times_us[self.frames.times_us < note.end_us]
        return max(int(before[-1]) if len(before) else 0, note.start_us)

    def _first_end(self, note: Note) -> int:
        after = self.frames.times_us[self.frames.times_us > note.start_us]
        return int(after[0]) if len(after) else max(note.start_us, self.frames.duration_us)


@dataclass(frozen=True, slots=True)
class MomentDrag:
    """A moment's flag dragged along the axis from ``was_us``; a proposed one is so confirmed."""

    before: Review
    grip: MomentGrip
    was_us: int
    frames: FrameTimes

    def by(self, by_us: float) -> Change:
        grip = self.grip
        at_us = self.frames.start_near(self.was_us + by_us)
        review = edit.with_moment(self.before, grip.name, at_us, grip.repetition)
        verb = "confirm" if grip.is_proposed else "move"
        return Change(review, f"{verb} moment '{MOMENT_WORDS[grip.name]}'", at_us)


def companions(review: Review, note_id: str) -> tuple[Note, ...]:
    """The notes that start together with a note, itself among them, in their order."""
    start_us = edit.note_of(review, note_id).start_us
    return tuple(note for note in review.notes if note.start_us == start_us)


def reordered(review: Review, note_id: str, by: int) -> Review:
    """Put a note so many places later among those that start together with it."""
    together = [note.id for note in companions(review, note_id)]
    place = together.index(note_id)
    wanted = list(together)
    wanted.insert(min(max(place + by, 0), len(wanted) - 1), wanted.pop(place))
    coming = iter(wanted)
    return edit.with_note_order(
        review, [next(coming) if n.id in together else n.id for n in review.notes]
    )
