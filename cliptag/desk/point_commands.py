"""What commands do to the points that are followed, and to marks that go with them."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import Qt

from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState


class PointCommands:
    """Asks the stage, which gets the keyboard for what goes on there."""

    def __init__(self, state: DeskState, stage: Callable[[], StageView]) -> None:
        """``stage`` gives the stage once the window has one."""
        self._state = state
        self._stage = stage

    def toggle_shown(self) -> None:
        """Show the points on every frame, or only with their tool."""
        points = self._stage().model.points
        points.show(not points.is_asked_for)
        tracked = self._state.document is not None and self._state.document.review.tracked
        if points.is_asked_for and not tracked:
            self._state.say("No points are followed yet: take Follow (K) and click some.")

    def repeat(self) -> None:
        """Have the chosen point placed three times."""
        self._stage().model.repeating.begin()
        self._stage().setFocus(Qt.FocusReason.OtherFocusReason)

    def can_repeat(self) -> bool:
        return self._is_open() and self._stage().model.repeating.is_possible()

    def toggle_follows(self) -> None:
        """Let the chosen mark go with followed points, or stay."""
        self._stage().model.going_along.toggle()

    def can_follow(self) -> bool:
        return self._is_open() and self._stage().model.going_along.is_possible()

    def take_back(self) -> None:
        """Take back a placement on the shown frame."""
        self._stage().model.points.take_back()

    def can_take_back(self) -> bool:
        points = self._stage().model.points if self._is_open() else None
        return points is not None and points.is_on and points.placed_last is not None

    def drop(self) -> None:
        """Follow the chosen point no longer."""
        self._stage().model.points.drop()

    def can_drop(self) -> bool:
        return self._is_open() and self._stage().model.points.chosen is not None

    def stop_or_go_on(self) -> None:
        """Stop following, or go on."""
        following = self._state.following
        if following is not None and following.is_stopped:
            following.resume()
        elif following is not None:
            following.stop()

    def can_stop_or_go_on(self) -> bool:
        following = self._state.following
        return following is not None and (following.is_running or following.is_stopped)

    def _is_open(self) -> bool:
        return self._state.document is not None
