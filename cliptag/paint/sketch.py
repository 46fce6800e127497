"""What a mark is made of, in picture pixels: the same few parts for every mark type.

A mark's drawing function turns the mark into a ``Sketch`` and paints nothing by itself; the box
that will be painted and the painting both follow from the sketch.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen

from cliptag.paint.colours import CASING

DASH: Final = 2.6
DASH_GAP: Final = 2.2
_TINT_OPACITY: Final = 0.26
_ANTIALIASING_PX: Final = 1.5


@dataclass(frozen=True, slots=True)
class Trace:
    """A line along a path: ``width`` in the mark's colour, its dark edge outside of that."""

    path: QPainterPath
    width: float
    dashed: bool = False


@dataclass(frozen=True, slots=True)
class Solid:
    """A path filled with the mark's colour, or with white for a marker's core."""

    path: QPainterPath
    white: bool = False


@dataclass(frozen=True, slots=True)
class Tint:
    """A path filled so thinly that the picture shows through."""

    path: QPainterPath


@dataclass(frozen=True, slots=True)
class Anchor:
    """Where a label may stand: ``gap`` pixels from ``at``, best in the direction ``towards_deg``.

    Degrees are clockwise from the right, so -90 is above.
    """

    at: QPointF
    towards_deg: float
    gap: float


@dataclass(frozen=True, slots=True)
class Sketch:
    """A mark's parts in the order in which they are painted; places for its label, best first."""

    tints: tuple[Tint, ...] = ()
    traces: tuple[Trace, ...] = ()
    solids: tuple[Solid, ...] = ()
    anchors: tuple[Anchor, ...] = ()

    def box(self, casing: float) -> QRectF:
        """The rectangle that the parts are painted in, label left out."""
        box = QRectF()
        for tint in self.tints:
            box = box.united(_grown(tint.path, 0.0))
        for trace in self.traces:
            box = box.united(_grown(trace.path, trace.width / 2.0 + casing))
        for solid in self.solids:
            box = box.united(_grown(solid.path, casing))
        return box

    def paint(self, painter: QPainter, colour: QColor, casing: float) -> None:
        """Paint the parts: tints, every dark edge, then the colours on top."""
        dark = QColor(CASING)
        painter.setPen(Qt.PenStyle.NoPen)
        for tint in self.tints:
            thin = QColor(colour)
            thin.setAlphaF(_TINT_OPACITY)
            painter.fillPath(tint.path, QBrush(thin))
        for trace in self.traces:
            painter.strokePath(trace.path, _pen(dark, trace, casing))
        for trace in self.traces:
            painter.strokePath(trace.path, _pen(colour, trace, 0.0))
        for solid in self.solids:
            edge = QPen(dark, 2.0 * casing)
            edge.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.strokePath(solid.path, edge)
            painter.fillPath(solid.path, QBrush(QColor("white") if solid.white else colour))


def _pen(colour: QColor, trace: Trace, casing: float) -> QPen:
    width = trace.width + 2.0 * casing
    pen = QPen(QBrush(colour), width)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if trace.dashed:
        # Qt counts dashes in pen widths; both pens must break at the same places.
        pen.setDashPattern([DASH * trace.width / width, (DASH_GAP + 1.0) * trace.width / width])
    return pen


def _grown(path: QPainterPath, by: float) -> QRectF:
    by += _ANTIALIASING_PX
    return path.controlPointRect().adjusted(-by, -by, by, by)
