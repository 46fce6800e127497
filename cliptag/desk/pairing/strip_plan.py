"""Where everything stands on the strip of two reviews, in the strip's own pixels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QRectF

from cliptag.pairing import CommonAxis

_RULER_EM: Final = 1.35
_PHASES_EM: Final = 2.0
_NOTES_EM: Final = 1.25
_NAMES_EM: Final = 1.35
_CURVES_EM: Final = 4.4
HEIGHT_EM: Final = _RULER_EM + _PHASES_EM + _NOTES_EM + _NAMES_EM + _CURVES_EM + 0.5


@dataclass(frozen=True, slots=True)
class StripPlan:
    """The lanes from top to bottom, and the common axis across them; ``em`` is the text's height.

    Lanes: percents, phases between the moments, notes, what the curves are called, the curves.
    """

    axis: CommonAxis
    area: QRectF
    em: float

    @property
    def left(self) -> float:
        return self.area.left() + 0.9 * self.em

    @property
    def right(self) -> float:
        return self.area.right() - 0.9 * self.em

    @property
    def ruler(self) -> QRectF:
        return self._lane(0.0, _RULER_EM)

    @property
    def phases(self) -> QRectF:
        return self._lane(_RULER_EM, _PHASES_EM)

    @property
    def notes(self) -> QRectF:
        return self._lane(_RULER_EM + _PHASES_EM, _NOTES_EM)

    @property
    def names(self) -> QRectF:
        return self._lane(_RULER_EM + _PHASES_EM + _NOTES_EM, _NAMES_EM)

    @property
    def curves(self) -> QRectF:
        top = self.names.bottom()
        return QRectF(
            self.left, top, self.right - self.left, self.area.bottom() - top - 0.4 * self.em
        )

    def x_of(self, percent: float) -> float:
        """Where a place of the axis lies."""
        span = (self.axis.end - self.axis.start) or 1.0
        return self.left + (percent - self.axis.start) / span * (self.right - self.left)

    def percent_at(self, x: float) -> float:
        """The place of the axis there, within what is shown."""
        span = self.axis.end - self.axis.start
        part = (x - self.left) / max(1.0, self.right - self.left)
        return self.axis.start + min(max(part, 0.0), 1.0) * span

    def between(self, start: float, end: float) -> Iterator[QRectF]:
        """The lanes of phases, notes and curves from one place to another; names stay readable."""
        left, width = self.x_of(start), self.x_of(end) - self.x_of(start)
        for top, bottom in (
            (self.phases.top(), self.notes.bottom()),
            (self.curves.top(), self.area.bottom()),
        ):
            yield QRectF(left, top, width, bottom - top)

    def flag(self, percent: float) -> QRectF:
        """The box of a note's sign."""
        lane, side = self.notes, 0.95 * self.em
        return QRectF(self.x_of(percent) - side / 2, lane.center().y() - side / 2, side, side)

    def _lane(self, from_em: float, height_em: float) -> QRectF:
        top = self.area.top() + from_em * self.em
        return QRectF(self.left, top, self.right - self.left, height_em * self.em)
