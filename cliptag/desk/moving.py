"""Ways through the clip that need the review: to the notes, to the moments, round and round."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import Final

from cliptag.desk.proposals import open_proposals
from cliptag.desk.state import DeskState
from cliptag.desk.strip import FrameTimes
from cliptag.review import Note, Review

SPEEDS: Final = (0.1, 0.2, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0)


class Moving:
    """Moves the desk's playhead."""

    def __init__(self, state: DeskState) -> None:
        self._state = state

    @property
    def _review(self) -> Review | None:
        return self._state.document.review if self._state.document else None

    def to_note(self, by: int) -> None:
        """Choose the next note (or the one before) in the clip's time, and show its frame."""
        notes = self._notes()
        if not notes:
            self._state.say("There is no note yet: N writes one about the shown frame.")
            return
        note = notes[self._place_from(notes, by)]
        self._state.playhead.pause()
        self._state.playhead.go_to_time(note.start_us)
        self._state.choose(note.id)

    def to_moment(self, by: int) -> None:
        """Show the next moment that is set or proposed, or the one before."""
        times = self._moment_times()
        here_us = self._state.playhead.time_us
        found = bisect_right(times, here_us) if by > 0 else bisect_left(times, here_us) - 1
        if 0 <= found < len(times):
            self._state.playhead.pause()
            self._state.playhead.go_to_time(times[found])
        elif not times:
            self._state.say("No moment is set yet: M sets the next one on the shown frame.")
        else:
            where = "after" if by > 0 else "before"
            self._state.say(f"There is no moment {where} this frame.")

    def loop_note(self) -> None:
        """Play the chosen note's stretch again and again, or stop doing so."""
        playhead, note = self._state.playhead, self._state.chosen_note
        if playhead.loop is not None:
            playhead.clear_loop()
        elif note is None:
            self._state.say("Choose a note first: then its stretch can be played over and over.")
        elif playhead.index_at(note.start_us) == playhead.index_at(max(0, note.end_us - 1)):
            self._state.say("This note is about one frame: draw its end out on the strip first.")
        else:
            playhead.set_loop(note.start_us, note.end_us)
            playhead.go_to_time(note.start_us)
            playhead.play()

    def change_speed(self, by: int) -> None:
        """Play at the next faster speed, or the next slower one."""
        speed = self._state.playhead.speed
        found = bisect_right(SPEEDS, speed) if by > 0 else bisect_left(SPEEDS, speed) - 1
        self._state.playhead.set_speed(SPEEDS[min(max(found, 0), len(SPEEDS) - 1)])

    def _moment_times(self) -> list[int]:
        """When the frames of all moments begin."""
        review, clip, following = self._review, self._state.clip, self._state.following
        if review is None or clip is None:
            return []
        frames = FrameTimes(clip.times_us, clip.duration_us)
        proposed = open_proposals(review, following.report if following else None)
        at_us = [m.at_us for m in review.moments]
        return sorted({*at_us, *(frames.start_near(p.at_us) for p in proposed)})

    def _notes(self) -> list[Note]:
        return sorted(self._review.notes, key=lambda note: note.start_us) if self._review else []

    def _place_from(self, notes: list[Note], by: int) -> int:
        """The note that is ``by`` further than the chosen one, else than the playhead; it stops
        at the ends."""
        chosen, here_us = self._state.chosen_note, self._state.playhead.time_us
        if chosen is not None and self._state.playhead.index_at(chosen.start_us) == (
            self._state.playhead.index
        ):
            place = next(place for place, note in enumerate(notes) if note.id == chosen.id) + by
        elif by > 0:
            place = bisect_right(notes, here_us, key=lambda note: note.start_us)
        else:
            place = bisect_left(notes, here_us, key=lambda note: note.start_us) - 1
        return min(max(place, 0), len(notes) - 1)
