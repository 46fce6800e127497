"""What the coach does to the review with one key; each is a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.proposals import moment_title
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError
from cliptag.review import (
    CLIMB,
    KIND_WORDS,
    MOMENTS_OF,
    MOVEMENT_WORDS,
    REGION_WORDS,
    Facing,
    Kind,
    MomentName,
    Movement,
    Note,
    Part,
    Region,
    Review,
    edit,
)

MOVEMENT_CHOICES: Final[dict[Movement, str]] = {**MOVEMENT_WORDS, "other": "Another movement"}
"""What each movement is called where one is chosen among them."""
_NEW_NOTE_US: Final = 1_000_000


class Reviewing:
    """Changes the desk's document at the playhead, the chosen note and the chosen place."""

    def __init__(self, state: DeskState, preferences: PreferenceStore) -> None:
        self._state = state
        self._preferences = preferences

    @property
    def review(self) -> Review | None:
        return self._state.document.review if self._state.document else None

    def new_note(self) -> None:
        """Start a note about the shown frame, on the place that is being looked at."""
        state, clip = self._state, self._state.clip
        if clip is None:
            return
        state.playhead.pause()
        note = self.fresh_note(state.playhead.time_us)
        where = REGION_WORDS[note.region].lower()
        self._do(lambda review: edit.with_note(review, note), f"new note on {where}")
        state.choose(note.id)

    def fresh_note(self, start_us: int) -> Note:
        """An empty note from a time on, on the place that is being looked at; in no review yet."""
        duration_us = self._state.clip.duration_us if self._state.clip else start_us
        return Note(
            id=edit.new_id(),
            region=self._state.rung,
            kind="seen",
            start_us=start_us,
            end_us=max(start_us, min(start_us + _NEW_NOTE_US, duration_us)),
            hold_us=self._preferences.now.new_hold_us,
        )

    def delete_note(self) -> None:
        """Take the chosen note away."""
        note = self._state.chosen_note
        if note is not None:
            words = f"delete note on {REGION_WORDS[note.region].lower()}"
            self._do(lambda review: edit.without_note(review, note.id), words)

    def set_kind(self, kind: Kind) -> None:
        """Give the chosen note another kind."""
        note = self._state.chosen_note
        if note is not None:
            words = f"kind '{KIND_WORDS[kind]}'"
            self._do(lambda review: edit.with_note_fields(review, note.id, kind=kind), words)

    def repetition_here(self) -> int:
        """The repetition that the shown frame belongs to: the last one that began until then.

        After the end of the last repetition, a new one.
        """
        review, here_us = self.review, self._state.playhead.time_us
        moments = review.moments if review else ()
        begun = {m.repetition for m in moments if m.at_us <= here_us}
        if not begun:
            return min((m.repetition for m in moments), default=1)
        number = max(begun)
        mine = [m for m in moments if m.repetition == number]
        is_last = number == max(m.repetition for m in moments)
        is_over = max(m.at_us for m in mine) < here_us
        is_whole = review is not None and len(mine) == len(MOMENTS_OF[review.movement])
        return number + 1 if is_whole and is_over and is_last else number

    def next_moment(self) -> tuple[MomentName, int] | None:
        """The first moment that isn't set of the repetition here; None if all are."""
        review, number = self.review, self.repetition_here()
        if review is None:
            return None
        known = {m.name for m in review.moments if m.repetition == number}
        names = (name for name in MOMENTS_OF[review.movement] if name not in known)
        return next(((name, number) for name in names), None)

    def set_next_moment(self) -> None:
        """Set the next unset moment to the shown frame."""
        found, review = self.next_moment(), self.review
        if found is not None:
            self.set_moment(*found)
        elif review is not None and MOMENTS_OF[review.movement]:
            self._state.say("All moments are set: choose one from the menu to move it here.")
        else:
            self._state.say("Choose the movement first: its moments can then be set.")

    def set_moment(self, name: MomentName, repetition: int = 1) -> None:
        """Set a moment of a repetition to the shown frame, or move it there."""
        at_us = self._state.playhead.time_us
        title = moment_title(name, repetition, is_one_of_several=repetition > 1)
        words = f"moment '{title}'"
        self._do(lambda review: edit.with_moment(review, name, at_us, repetition), words)
        self._state.say(f"{title} is at this frame.")

    def remove_moment(self, name: MomentName, repetition: int = 1) -> None:
        """Take a moment of a repetition away."""
        title = moment_title(name, repetition, is_one_of_several=repetition > 1)
        words = f"take moment '{title}' away"
        self._do(lambda review: edit.without_moment(review, name, repetition), words)

    def set_movement(self, movement: Movement) -> None:
        """Tell what movement the clip shows."""
        words = f"movement '{MOVEMENT_CHOICES[movement]}'"
        self._do(lambda review: edit.with_movement(review, movement), words)

    def set_facing(self, facing: Facing) -> None:
        """Tell which way the client faces."""
        self._do(lambda review: edit.with_fields(review, facing=facing), f"facing {facing}")

    def toggle_fine(self) -> None:
        """Tell of the place looked at that it is fine, or take that back."""
        review, rung = self.review, self._state.rung
        if review is not None:
            is_fine = rung not in review.looked_at
            where = REGION_WORDS[rung].lower()
            words = f"{where} looked at and fine" if is_fine else f"{where} open again"
            self._do(lambda review: edit.with_looked_at(review, rung, is_fine), words)

    def to_open_rung(self) -> None:
        """Look at the next place of the climb that has no note and was not found fine."""
        review = self.review
        if review is None:
            return
        after = CLIMB.index(self._state.rung) + 1
        for region in (*CLIMB[after:], *CLIMB[:after]):
            if is_open(review, region):
                self._state.choose(None)
                self._state.stand_on(region)
                return
        self._state.say("The climb is done: every place has a note or was found fine.")

    def to_rung(self, by: int) -> None:
        """Look at the next place up the climb, or down."""
        place = CLIMB.index(self._state.rung) + by
        if self.review is not None and 0 <= place < len(CLIMB):
            self._state.choose(None)
            self._state.stand_on(CLIMB[place])

    def send_from_here(self) -> None:
        """Let the video start at the shown frame."""
        review = self.review
        if review is not None:
            end_us = review.part.end_us if review.part else review.clip.duration_us
            self._send(self._state.playhead.time_us, end_us, "send from here")

    def send_until_here(self) -> None:
        """Let the video end after the shown frame."""
        review, clip, playhead = self.review, self._state.clip, self._state.playhead
        if review is not None and clip is not None:
            is_last = playhead.index == playhead.last_index
            end_us = clip.duration_us if is_last else int(clip.times_us[playhead.index + 1])
            self._send(review.part.start_us if review.part else 0, end_us, "send until here")

    def send_all(self) -> None:
        """Let the video show the whole clip."""
        self._do(lambda review: edit.with_fields(review, part=None), "send the whole clip")

    def _send(self, start_us: int, end_us: int, words: str) -> None:
        if end_us <= start_us:
            self._state.say("The part to send would end before it starts: choose another frame.")
            return
        part = Part(start_us=start_us, end_us=end_us)
        self._do(lambda review: edit.with_fields(review, part=part), words)

    def _do(self, change: Callable[[Review], Review], words: str) -> None:
        document = self._state.document
        if document is None:
            return
        try:
            document.do(change(document.review), words)
        except CliptagError as error:
            self._state.say(str(error))


def is_open(review: Review, region: Region) -> bool:
    """Whether a place of the climb still waits for the coach."""
    if region == "whole" and review.impression:
        return False
    return region not in review.looked_at and all(n.region != region for n in review.notes)
