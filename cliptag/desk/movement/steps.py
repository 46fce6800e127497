"""What the coach does with the followed movement; each is a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from cliptag.desk.movement.marking import mark_for
from cliptag.desk.proposals import confirmed, open_proposals
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState
from cliptag.desk.strip import FrameTimes
from cliptag.errors import CliptagError
from cliptag.measure import newer_numbers, number_at, shown
from cliptag.review import MOMENT_WORDS, REGION_WORDS, Note, Number, Review, edit

if TYPE_CHECKING:
    from cliptag.measure import Curve, MovementReport, Proposal


class MovementSteps:
    """Confirms moments and puts numbers and marks into notes."""

    def __init__(self, state: DeskState, reviewing: Reviewing) -> None:
        self._state, self._reviewing = state, reviewing

    @property
    def report(self) -> MovementReport | None:
        """The newest report, if there is one."""
        return self._state.following.report if self._state.following else None

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """The moments that wait for the coach."""
        review = self._reviewing.review
        return open_proposals(review, self.report) if review is not None else ()

    @property
    def shown_curves(self) -> tuple[Curve, ...]:
        """The curves that the strip shows."""
        review, report = self._reviewing.review, self.report
        if review is None or report is None:
            return ()
        names = self._state.shown_curves.names(review.movement, report.angles)
        return tuple(report.angles[name] for name in names)

    def confirm(self, proposal: Proposal) -> None:
        """Set a proposed moment on the frame that is nearest to it."""
        self._confirm((proposal,), f"confirm moment '{MOMENT_WORDS[proposal.name]}'")

    def confirm_all(self) -> None:
        """Set all proposed moments."""
        proposals = self.proposals
        if proposals:
            self._confirm(proposals, f"confirm {len(proposals)} moments")
        else:
            self._state.say("No moment waits to be confirmed.")

    def confirm_here(self) -> None:
        """Set the moment that is proposed on the shown frame."""
        here_us = self._state.playhead.time_us
        here = [p for p in self.proposals if self._frames().start_near(p.at_us) == here_us]
        if here:
            self.confirm(here[0])
        else:
            self._state.say("No moment is proposed on this frame: Alt+Right leads to the next one.")

    def put(self, *numbers: Number) -> None:
        """Put numbers into the chosen note.

        Without one, into a new note on the frame of the first number, or on the shown one.
        """
        if not numbers:
            return
        note, is_new = self._note_at(numbers[0].at_us)

        def change(review: Review) -> Review:
            changed = edit.with_note(review, note) if is_new else review
            for number in numbers:
                changed = edit.with_number(changed, note.id, number)
            return changed

        words = "number" if len(numbers) == 1 else f"{len(numbers)} numbers"
        if self._do(change, f"put {words} into the note"):
            self._choose(note, is_new)
            where = "a new note" if is_new else "the note"
            said = ", ".join(f"{number.words} {shown(number)}" for number in numbers)
            self._state.say(f"In {where} on {REGION_WORDS[note.region].lower()}: {said}.")

    def put_shown_values(self) -> None:
        """Put what the strip's curves say of the shown frame into the note."""
        at_us = self._state.playhead.time_us
        values = [number_at(curve, at_us) for curve in self.shown_curves]
        known = [value for value in values if value is not None]
        if known:
            self.put(*known)
        else:
            self._state.say("The strip shows no value of this frame: follow some points first.")

    def show_on_picture(self, curve: Curve) -> None:
        """Draw a curve's angle in the note, as a mark that goes with its points."""
        following = self._state.following
        tracks = following.tracks if following else None
        if tracks is None:
            return
        note, is_new = self._note_at(None)
        at = [self._state.playhead.index_at(note.start_us), self._state.playhead.index]
        marks = (mark_for(curve.name, tracks, index) for index in at)
        mark = next((mark for mark in marks if mark is not None), None)
        if mark is None:
            self._state.say(f"{curve.words} is not known on this frame: choose another one.")
            return

        def change(review: Review) -> Review:
            changed = edit.with_note(review, note) if is_new else review
            return edit.with_mark(changed, note.id, mark)

        if self._do(change, f"show {curve.words.lower()} on the picture"):
            self._choose(note, is_new)
            self._state.choose(note.id, mark.id)

    def renew(self) -> None:
        """Have all numbers of all notes as the report knows them now."""
        review, report = self._reviewing.review, self.report
        if review is None or report is None:
            self._state.say("The movement is not measured yet: nothing is known anew.")
            return
        newer = {note.id: newer_numbers(note, report) for note in review.notes if note.numbers}
        count = sum(map(len, newer.values()))
        if not count:
            self._state.say("All numbers in the notes are as they are measured now.")
            return

        def change(review: Review) -> Review:
            for note_id, numbers in newer.items():
                review = with_numbers_renewed(review, note_id, numbers)
            return review

        words = "1 number" if count == 1 else f"{count} numbers"
        if self._do(change, f"renew {words}"):
            self._state.say(f"Renewed {words}; undo brings the old ones back.")

    def set_cutoff(self, cutoff_hz: float | None) -> None:
        """Smooth the curves at a frequency, or at that of the clip's own noise (None)."""
        words = "let the clip choose the smoothing" if cutoff_hz is None else "set the smoothing"
        self._do(lambda review: edit.with_fields(review, cutoff_hz=cutoff_hz), words)

    def _confirm(self, proposals: Sequence[Proposal], words: str) -> None:
        frames = self._frames()

        def change(review: Review) -> Review:
            for proposal in proposals:
                review = confirmed(review, proposal, frames.start_near(proposal.at_us))
            return review

        self._do(change, words)

    def _note_at(self, at_us: int | None) -> tuple[Note, bool]:
        """The chosen note, else a new one on the frame shown at a time (None: now)."""
        note, playhead = self._state.chosen_note, self._state.playhead
        if note is not None:
            return note, False
        index = playhead.index if at_us is None else playhead.index_at(at_us)
        return self._reviewing.fresh_note(int(self._frames().times_us[index])), True

    def _choose(self, note: Note, is_new: bool) -> None:
        if is_new:
            self._state.playhead.pause()
            self._state.playhead.go_to_time(note.start_us)
            self._state.choose(note.id)

    def _frames(self) -> FrameTimes:
        clip = self._state.clip
        assert clip is not None
        return FrameTimes(clip.times_us, clip.duration_us)

    def _do(self, change: Callable[[Review], Review], words: str) -> bool:
        document = self._state.document
        if document is None:
            return False
        try:
            document.do(change(document.review), words)
        except CliptagError as error:
            self._state.warned.emit(str(error))
            return False
        return True


def with_numbers_renewed(review: Review, note_id: str, newer: dict[int, Number]) -> Review:
    """The review with some of a note's numbers, by their place, in their newer form."""
    numbers = edit.note_of(review, note_id).numbers
    renewed = tuple(newer.get(place, number) for place, number in enumerate(numbers))
    return edit.with_note_fields(review, note_id, numbers=renewed)
