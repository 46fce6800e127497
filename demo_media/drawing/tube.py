"""A limb as a bent, textured, lit tube.

A tube is a line of stations; at each, the skin lies some way to the front and to the back of the
line. The cloth is a picture whose columns run along the tube and whose rows run from back to front;
it is laid on in narrow triangles, so that it bends with the limb and never slides on it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRect, Qt
from PyQt6.QtGui import (
    QBrush,
    QImage,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPolygonF,
    QTransform,
)

from drawing.canvas import clear_image, colour, outline, point, smooth_painter

CLOTH_PX_PER_CM = 12.0
_ACROSS = np.array([0.0, 0.07, 0.2, 0.38, 0.55, 0.72, 0.87, 0.95, 1.0])

Line = NDArray[np.complex128]
Values = NDArray[np.float64]


@dataclass(frozen=True)
class Tube:
    """Skin to the ``back`` and ``front`` at places ``along`` (cm) the limb, in the body's frame."""

    along: Values
    back: Line
    front: Line

    @property
    def path(self) -> QPainterPath:
        return outline([*self.back, *self.front[::-1]])


@dataclass(frozen=True)
class Light:
    """Where the light comes from (unit vector: forward, up, to the camera) and its strength."""

    forward: float
    up: float
    near: float
    ambient: float = 0.60
    strength: float = 0.62


def tube_along(line: Line, along: Values, front: Values, back: Values, side: complex) -> Tube:
    """A tube round a line; ``side`` turns the line's direction into that of its front."""
    tangent = np.gradient(line)
    tangent /= np.abs(tangent)
    normal = tangent * side
    return Tube(along, line - normal * back, line + normal * front)


def widths(along: Values, stations: Sequence[tuple[float, float, float]]) -> tuple[Values, Values]:
    """Front and back widths by smooth interpolation of ``(along, front, back)`` stations."""
    places, front, back = (np.array(column, float) for column in zip(*stations, strict=True))
    return _smooth(along, places, front), _smooth(along, places, back)


def bent_line(joints: Sequence[complex], along: Values, softness: float) -> Line:
    """Points at distances ``along`` a chain of bones whose corners are rounded."""
    lengths = np.abs(np.diff(np.array(joints)))
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    directions = np.diff(np.array(joints)) / lengths
    bone = np.clip(np.searchsorted(ends, along, side="right") - 1, 0, len(lengths) - 1)
    line = np.array(joints)[bone] + directions[bone] * (along - ends[bone])
    for k in range(1, len(joints) - 1):
        near = np.abs(along - ends[k]) < softness
        x = (along[near] - ends[k] + softness) / (2 * softness)
        a = joints[k] - directions[k - 1] * softness
        b = joints[k] + directions[k] * softness
        line[near] = (1 - x) ** 2 * a + 2 * x * (1 - x) * joints[k] + x**2 * b
    return np.asarray(line, np.complex128)


def paint_tube(
    painter: QPainter,
    tube: Tube,
    cloth: QImage,
    light: Light,
    dim: float = 1.0,
    fades: Sequence[tuple[float, float]] = (),
) -> None:
    """Lay ``cloth`` on the tube, its first column at the tube's first station, and light it.

    ``dim`` darkens a limb of the far side. Each of ``fades`` names a place along the tube where it
    is clear and one where it is solid, so that a limb grows out of what it hangs on.
    """
    view = painter.worldTransform()
    path = tube.path
    box = view.mapRect(path.boundingRect()).adjusted(-3, -3, 3, 3).toAlignedRect()
    layer = clear_image(max(1, box.width()), max(1, box.height()))
    inner = smooth_painter(layer)
    inner.setWorldTransform(view * QTransform.fromTranslate(-box.x(), -box.y()))
    inner.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    inner.setPen(Qt.PenStyle.NoPen)
    _lay_cloth(inner, tube, cloth)
    inner.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceAtop)
    _light_up(inner, tube, light, dim)
    inner.setCompositionMode(QPainter.CompositionMode.CompositionMode_DestinationIn)
    for clear, solid in fades:
        inner.fillPath(path, QBrush(_fade(tube, clear, solid)))
    inner.resetTransform()
    inner.drawImage(0, 0, _mask(path, view, box))
    inner.end()
    painter.save()
    painter.resetTransform()
    painter.drawImage(box.topLeft(), layer)
    painter.restore()


def _mask(path: QPainterPath, view: QTransform, box: QRect) -> QImage:
    """The tube's smooth edge; the triangles' own edges are ragged."""
    mask = clear_image(box.width(), box.height())
    painter = smooth_painter(mask)
    painter.setWorldTransform(view * QTransform.fromTranslate(-box.x(), -box.y()))
    painter.fillPath(path, QBrush(Qt.GlobalColor.white))
    painter.end()
    return mask


def _fade(tube: Tube, clear: float, solid: float) -> QLinearGradient:
    middle = (tube.back + tube.front) / 2
    ends = [complex(np.interp(place, tube.along, middle)) for place in (clear, solid)]
    fade = QLinearGradient(point(ends[0]), point(ends[1]))
    fade.setColorAt(0.0, colour((0, 0, 0), 0.0))
    fade.setColorAt(1.0, colour((0, 0, 0), 1.0))
    return fade


def _lay_cloth(painter: QPainter, tube: Tube, cloth: QImage) -> None:
    columns = (tube.along - tube.along[0]) * CLOTH_PX_PER_CM
    rows = cloth.height()
    brush = QBrush(cloth)
    # Half a pixel of overlap hides the seams that triangles without smoothing would show.
    for i in range(len(columns) - 1):
        corners = (tube.back[i], tube.back[i + 1], tube.front[i + 1], tube.front[i])
        u = (columns[i], columns[i + 1], columns[i + 1], columns[i])
        v = (0.0, 0.0, float(rows), float(rows))
        for three in ((0, 1, 2), (0, 2, 3)):
            mapping = _affine([(u[k], v[k]) for k in three], [corners[k] for k in three])
            if mapping is None:
                continue
            brush.setTransform(mapping)
            painter.setBrush(brush)
            painter.drawPolygon(_grown([corners[k] for k in three]))


def _light_up(painter: QPainter, tube: Tube, light: Light, dim: float) -> None:
    bulge = 2 * _ACROSS - 1
    for i in range(len(tube.along) - 1):
        a = (tube.back[i] + tube.back[i + 1]) / 2
        b = (tube.front[i] + tube.front[i + 1]) / 2
        if abs(b - a) < 1e-6:
            continue
        side = (b - a) / abs(b - a)
        facing = side.real * light.forward + side.imag * light.up
        lit = bulge * facing + np.sqrt(1 - bulge**2) * light.near
        level = (light.ambient + light.strength * np.clip(lit, 0, None)) * dim
        gradient = QLinearGradient(point(a), point(b))
        for place, value in zip(_ACROSS, level, strict=True):
            shade = (8, 8, 16) if value < 1 else (255, 250, 240)
            amount = 1 - value if value < 1 else 0.75 * (value - 1)
            gradient.setColorAt(float(place), colour(shade, float(np.clip(amount, 0, 0.9))))
        painter.setBrush(QBrush(gradient))
        quad = [tube.back[i], tube.back[i + 1], tube.front[i + 1], tube.front[i]]
        painter.drawPolygon(QPolygonF([point(z) for z in quad]))


def _grown(corners: Sequence[complex], by: float = 0.06) -> QPolygonF:
    middle = sum(corners) / len(corners)
    return QPolygonF([point(z + by * (z - middle) / (abs(z - middle) + 1e-9)) for z in corners])


def _affine(source: Sequence[tuple[float, float]], target: Sequence[complex]) -> QTransform | None:
    """The map that takes three texture places to three points; None for a flat triangle."""
    (x0, y0), (x1, y1), (x2, y2) = source
    t0, t1, t2 = target
    area = (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)
    if abs(area) < 1e-9:
        return None
    dx = ((t1 - t0) * (y2 - y0) - (t2 - t0) * (y1 - y0)) / area
    dy = ((t2 - t0) * (x1 - x0) - (t1 - t0) * (x2 - x0)) / area
    if abs((dx.conjugate() * dy).imag) < 1e-12:
        return None
    shift = t0 - dx * x0 - dy * y0
    return QTransform(dx.real, dx.imag, dy.real, dy.imag, shift.real, shift.imag)


def _smooth(x: Values, places: Values, values: Values) -> Values:
    """Cubic Hermite interpolation with slopes from the neighbours; flat beyond the ends."""
    slope = np.gradient(values, places)
    x = np.clip(x, places[0], places[-1])
    k = np.clip(np.searchsorted(places, x, side="right") - 1, 0, len(places) - 2)
    width = places[k + 1] - places[k]
    t = (x - places[k]) / width
    left = values[k] * (1 + 2 * t) * (1 - t) ** 2 + slope[k] * width * t * (1 - t) ** 2
    right = values[k + 1] * t**2 * (3 - 2 * t) + slope[k + 1] * width * t**2 * (t - 1)
    return np.asarray(left + right)
