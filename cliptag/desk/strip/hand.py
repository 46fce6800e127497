"""What the pointer does on the strip from press to release."""

from __future__ import annotations

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF

from cliptag.desk.state import DeskState
from cliptag.desk.strip.bands import Bands
from cliptag.desk.strip.drags import Change, Drag, MomentDrag, NoteDrag, companions, reordered
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.scene import Grip, MomentGrip, NoteGrip, Scene
from cliptag.desk.strip.scrub import Scrub
from cliptag.errors import ReviewError
from cliptag.review import Review, edit

_SLACK_PX: Final = 4.0
"""A press that moves less than this is a click."""
ORDER_WORDS: Final = "change order of notes"


@dataclass(slots=True)
class _Hold:
    """What was taken hold of, and how."""

    grip: Grip
    at: QPointF
    at_us: float
    before: Review
    run: str
    moment_us: int | None = None
    drag: Drag | None = None
    is_order: bool = False
    lanes: Mapping[str, int] | None = None

    @property
    def has_moved(self) -> bool:
        return self.drag is not None or self.is_order


class Hand:
    """Turns press, moves and release into a playhead that follows, or into one undo step."""

    def __init__(self, state: DeskState, scrub: Scrub) -> None:
        self._state, self._scrub = state, scrub
        self._hold: _Hold | None = None
        self._is_scrubbing = False
        self._runs = itertools.count(1)

    @property
    def is_dragging(self) -> bool:
        """Whether something is on its way."""
        return self._is_scrubbing or (self._hold is not None and self._hold.has_moved)

    @property
    def frozen_lanes(self) -> Mapping[str, int] | None:
        """While a bar is dragged in time, the lanes that the bars stay on."""
        return self._hold.lanes if self._hold is not None else None

    def press(self, grip: Grip | None, at: QPointF, scene: Scene) -> None:
        """Take hold of something, or of the axis."""
        document = self._state.document
        if grip is None or document is None:
            self._is_scrubbing = True
            self.move(at, scene, Bands())
            return
        if isinstance(grip, NoteGrip) and grip.note_id != scene.chosen_id:
            self._state.choose(grip.note_id)
        run = f"strip {next(self._runs)}"
        at_us = scene.axis.free_us_at(at.x())
        moment_us = scene.time_of(grip) if isinstance(grip, MomentGrip) else None
        self._hold = _Hold(grip, at, at_us, document.review, run, moment_us)

    def move(self, at: QPointF, scene: Scene, bands: Bands) -> None:
        """Follow the pointer."""
        if self._is_scrubbing:
            x = min(max(at.x(), scene.axis.left), scene.axis.left + scene.axis.width)
            self._scrub.to(scene.frames.index_at(scene.axis.us_at(x)))
        hold = self._hold
        if hold is None:
            return
        if not hold.has_moved and (at - hold.at).manhattanLength() >= _SLACK_PX:
            self._begin(hold, at, scene, bands)
        try:
            if hold.drag is not None:
                self._do(hold.drag.by(scene.axis.free_us_at(at.x()) - hold.at_us), hold.run)
            elif hold.is_order:
                self._reorder(hold, at, scene, bands)
        except ReviewError as error:
            self._state.warned.emit(str(error))
            self.cancel()

    def release(self) -> None:
        """Let go: the drag is done, or it was a click."""
        hold, self._hold, self._is_scrubbing = self._hold, None, False
        self._scrub.end()
        document = self._state.document
        if hold is None or document is None:
            return
        if hold.has_moved:
            self._warn_of_marks(hold, document.review)
        elif isinstance(hold.grip, NoteGrip):
            self._go_to(edit.note_of(document.review, hold.grip.note_id).start_us)
        else:
            assert hold.moment_us is not None
            if hold.grip.is_proposed:
                self.confirm(hold.grip, hold.moment_us)
            self._go_to(hold.moment_us)

    def confirm(self, grip: MomentGrip, at_us: int) -> None:
        """Set a proposed moment on the frame that is nearest to it."""
        clip, document = self._state.clip, self._state.document
        if clip is not None and document is not None:
            frames = FrameTimes(clip.times_us, clip.duration_us)
            change = MomentDrag(document.review, grip, at_us, frames).by(0.0)
            document.do(change.review, change.words)

    def cancel(self) -> None:
        """Let go, and leave everything as it was before."""
        hold, self._hold, self._is_scrubbing = self._hold, None, False
        self._scrub.drop()
        document = self._state.document
        if hold is not None and document is not None and document.review is not hold.before:
            document.undo()

    def _begin(self, hold: _Hold, at: QPointF, scene: Scene, bands: Bands) -> None:
        way = at - hold.at
        if isinstance(hold.grip, MomentGrip):
            was_us = hold.moment_us
            assert was_us is not None
            hold.drag = MomentDrag(hold.before, hold.grip, was_us, scene.frames)
            return
        is_upright = abs(way.y()) > abs(way.x())
        has_company = len(companions(hold.before, hold.grip.note_id)) > 1
        if bands.is_photo or (hold.grip.part == "middle" and is_upright and has_company):
            hold.is_order = True
            return
        hold.lanes = bands.notes.lanes(scene, bands.notes_box)
        hold.drag = NoteDrag(hold.before, hold.grip.note_id, hold.grip.part, scene.frames)

    def _reorder(self, hold: _Hold, at: QPointF, scene: Scene, bands: Bands) -> None:
        assert isinstance(hold.grip, NoteGrip)
        note_id = hold.grip.note_id
        if bands.is_photo:
            ids = [note.id for note in bands.chips.notes(hold.before)]
            by = bands.chips.place_at(scene, bands.notes_box, at) - ids.index(note_id)
        else:
            by = round((at.y() - hold.at.y()) / bands.notes.line_height(scene, bands.notes_box))
        assert self._state.document is not None
        self._state.document.do(reordered(hold.before, note_id, by), ORDER_WORDS, run=hold.run)

    def _do(self, change: Change, run: str) -> None:
        assert self._state.document is not None
        self._state.document.do(change.review, change.words, run=run)
        self._scrub.to(self._state.playhead.index_at(change.show_us))

    def _go_to(self, time_us: int) -> None:
        self._state.playhead.pause()
        self._state.playhead.go_to_time(time_us)

    def _warn_of_marks(self, hold: _Hold, review: Review) -> None:
        """Marks were placed on the note's first frame: on another one they may be wrong."""
        if not isinstance(hold.grip, NoteGrip):
            return
        was, now = (edit.note_of(r, hold.grip.note_id) for r in (hold.before, review))
        index_at = self._state.playhead.index_at
        if now.marks and index_at(was.start_us) != index_at(now.start_us):
            self._state.say(
                "The marks of this note now lie on another frame: check that they still sit right."
            )
