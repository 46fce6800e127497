"""Letting the chosen mark go with points that are followed."""

from __future__ import annotations

from typing import Final

from cliptag.desk.stage.editing import MarkEditor
from cliptag.desk.stage.points import PointModel, names_for
from cliptag.desk.state import DeskState

_NEAR: Final = 0.06
"""How far a mark's point may lie from a followed one to go with it, of the picture's short side."""


class GoingAlong:
    """Whether the chosen mark can follow, and that it does."""

    def __init__(self, state: DeskState, points: PointModel, editor: MarkEditor) -> None:
        self._state = state
        self._points = points
        self._editor = editor

    def names(self) -> tuple[str, ...]:
        """The followed points that the chosen mark could go with; empty if there are none."""
        note, mark, clip = self._state.chosen_note, self._state.chosen_mark, self._state.clip
        if note is None or mark is None or clip is None:
            return ()
        there = self._points.at(clip.index_at(note.start_us)).seen
        reach_px = _NEAR * min(clip.info.width, clip.info.height)
        return names_for(mark, {name: one.at for name, one in there.items()}, reach_px)

    def is_possible(self) -> bool:
        """Whether the chosen mark follows points, or could."""
        mark = self._state.chosen_mark
        return mark is not None and bool(mark.follows or self.names())

    def toggle(self) -> None:
        """Let the chosen mark go with the followed points, or stay where it was placed."""
        mark = self._state.chosen_mark
        if mark is not None:
            self._editor.follow(() if mark.follows else self.names())
