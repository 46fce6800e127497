"""Ways through both clips: to the shared moments, to the notes, faster and slower."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from cliptag.desk.moving import SPEEDS
from cliptag.desk.pairing.state import PairState


class Going:
    """Moves the playhead of both."""

    def __init__(self, state: PairState) -> None:
        self._state = state

    def to_moment(self, by: int) -> None:
        """Show the next shared moment, or the one before."""
        axis, playhead = self._state.axis, self._state.playhead
        times = sorted({moment.out_us for moment in axis.moments}) if axis else []
        if not times:
            self._state.said.emit("No moment is known in both: set them in each review first.")
            return
        here = playhead.time_us
        found = bisect_right(times, here) if by > 0 else bisect_left(times, here) - 1
        if 0 <= found < len(times):
            playhead.pause()
            playhead.go_to_time(times[found])
        else:
            where = "after" if by > 0 else "before"
            self._state.said.emit(f"There is no shared moment {where} this place.")

    def to_note(self, by: int) -> None:
        """Show and choose the next note, or the one before."""
        state = self._state
        notes = state.document.pairing.notes if state.document else ()
        if not notes:
            state.said.emit("There is no note on both yet: N writes one about this place.")
            return
        if state.chosen_note is not None:
            place = state.chosen_note + by
        else:
            percents, here = [note.percent for note in notes], round(state.percent, 1)
            place = bisect_right(percents, here) if by > 0 else bisect_left(percents, here) - 1
        state.go_to_note(min(max(place, 0), len(notes) - 1))

    def change_speed(self, by: int) -> None:
        """Play at the next faster speed, or the next slower one."""
        speed = self._state.playhead.speed
        found = bisect_right(SPEEDS, speed) if by > 0 else bisect_left(SPEEDS, speed) - 1
        self._state.playhead.set_speed(SPEEDS[min(max(found, 0), len(SPEEDS) - 1)])

    def next_curve(self, by: int) -> None:
        """Show another curve on the strip."""
        comparison = self._state.comparison
        names = [pair.first.name for pair in comparison.curves] if comparison else []
        if names:
            here = names.index(self._state.curve)
            self._state.show_curve(names[(here + by) % len(names)])
