"""What the coach does to the review with one key; each is a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError
from cliptag.review import (
    CLIMB,
    KIND_WORDS,
    MOMENT_WORDS,
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
        start_us = state.playhead.time_us
        note = Note(
            id=edit.new_id(),
            region=state.rung,
            kind="seen",
            start_us=start_us,
            end_us=max(start_us, min(start_us + _NEW_NOTE_US, clip.duration_us)),
            hold_us=self._preferences.now.new_hold_us,
        )
        where = REGION_WORDS[note.region].lower()
        self._do(lambda review: edit.with_note(review, note), f"new note on {where}")
        state.choose(note.id)

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

    def next_moment(self) -> MomentName | None:
        """The first moment of the movement that isn't set; None if all are or it has none."""
        review = self.review
        if review is None:
            return None
        known = {moment.name for moment in review.moments}
        return next((name for name in MOMENTS_OF[review.movement] if name not in known), None)

    def set_next_moment(self) -> None:
        """Set the next unset moment to the shown frame."""
        name, review = self.next_moment(), self.review
        if name is not None:
            self.set_moment(name)
        elif review is not None and MOMENTS_OF[review.movement]:
            self._state.say("All moments are set: choose one from the menu to move it here.")
        else:
            self._state.say("Choose the movement first: its moments can then be set.")

    def set_moment(self, name: MomentName) -> None:
        """Set a moment to the shown frame, or move it there."""
        at_us = self._state.playhead.time_us
        words = f"moment '{MOMENT_WORDS[name]}'"
        self._do(lambda review: edit.with_moment(review, name, at_us), words)
        self._state.say(f"{MOMENT_WORDS[name]} is at this frame.")

    def remove_moment(self, name: MomentName) -> None:
        """Take a moment away."""
        words = f"take moment '{MOMENT_WORDS[name]}' away"
        self._do(lambda review: edit.without_moment(review, name), words)

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
