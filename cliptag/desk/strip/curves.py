"""The lane of curves: angles of the followed movement over the clip's time.

Each curve is known by its line (whole, dashed, dotted) and by its name, which stands above the
curves with the value on the shown frame. The band round a curve is its uncertainty, k = 2.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from cliptag.desk.strip.clock import time_words
from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Lane, Scene
from cliptag.measure import COVERAGE_FACTOR, number_at, shown

if TYPE_CHECKING:
    from cliptag.measure import Curve

Floats = NDArray[np.float64]

_NAMES_EM: Final = 1.25
_SAMPLE_EM: Final = 1.5
_DOT_EM: Final = 0.2
_STEPS: Final = (1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 50.0, 60.0, 90.0)
_MOST_LINES: Final = 4
_LEAST_SPAN: Final = 10.0
"""Flat curves are not blown up until their noise fills the lane."""
_LINES: Final = (
    ("accent", Qt.PenStyle.SolidLine),
    ("ink", Qt.PenStyle.DashLine),
    ("quiet_ink", Qt.PenStyle.DotLine),
)


class CurveLane(Lane):
    """Up to three curves on one scale of degrees.

    Their picture is kept by itself: what goes on in the other lanes need not paint them anew.
    """

    def __init__(self) -> None:
        self._key: tuple[object, ...] | None = None
        self._picture = QPixmap()

    def height_em(self) -> float:
        return 5.2

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        device = painter.device()
        ratio = 1.0 if device is None else device.devicePixelRatioF()
        key = (scene.curves, scene.axis, box.size(), scene.colours, scene.em, ratio)
        if key != self._key:
            self._key = key
            self._picture = QPixmap((box.size() * ratio).toSize())
            self._picture.setDevicePixelRatio(ratio)
            self._picture.fill(Qt.GlobalColor.transparent)
            on_picture = QPainter(self._picture)
            on_picture.setRenderHint(QPainter.RenderHint.Antialiasing)
            on_picture.translate(-box.topLeft())
            self._paint_curves(on_picture, scene, box)
            on_picture.end()
        painter.drawPixmap(box.topLeft(), self._picture)

    def _paint_curves(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        plot = _plot(scene, box)
        low, high = _span(scene.curves)
        labels = self._paint_scale(painter, scene, plot, low, high)
        painter.setClipRect(plot)
        for curve, (token, style) in zip(scene.curves, _LINES, strict=False):
            for xs, lows, highs, line in _runs(scene, plot, curve, low, high):
                self._paint_run(painter, scene.colours.colour(token), style, xs, lows, highs, line)
        # Last, and with an edge: a curve may end where a label stands.
        edge = QPen(scene.colours.colour("ground"), 4.0)
        edge.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.strokePath(labels, edge)
        painter.fillPath(labels, scene.colours.colour("quiet_ink"))

    def paint_now(self, painter: QPainter, scene: Scene, box: QRectF, time_us: int) -> None:
        self._paint_names(painter, scene, box, time_us)
        plot, x = _plot(scene, box), scene.axis.x_of(time_us)
        if not plot.left() - 1.0 <= x <= plot.right() + 1.0:
            return
        low, high = _span(scene.curves)
        radius = _DOT_EM * scene.em
        for curve, (token, _) in zip(scene.curves, _LINES, strict=False):
            value = curve.at(time_us).value
            if math.isfinite(value):
                painter.setPen(QPen(scene.colours.colour("plate"), 1.5))
                painter.setBrush(scene.colours.colour(token))
                painter.drawEllipse(QPointF(x, _y(plot, value, low, high)), radius, radius)

    def live_boxes(self, scene: Scene, box: QRectF, time_us: int) -> list[QRectF]:
        reach = _DOT_EM * scene.em + 2.0
        x = scene.axis.x_of(time_us)
        return [
            QRectF(box.left(), box.top(), box.width(), _NAMES_EM * scene.em),
            QRectF(x - reach, box.top(), 2 * reach, box.height()),
        ]

    def words_at(self, scene: Scene, box: QRectF, at: QPointF) -> str:
        """What the curves say at the pointer's time."""
        time_us = int(scene.frames.times_us[scene.frames.index_at(scene.axis.us_at(at.x()))])
        said = [value_words(curve, time_us) for curve in scene.curves]
        return "\n".join([f"At {time_words(time_us)}", *said])

    def _paint_scale(
        self, painter: QPainter, scene: Scene, plot: QRectF, low: float, high: float
    ) -> QPainterPath:
        """Draw the lines of round values; gives their labels, to be drawn over the curves."""
        font, labels = small_font(scene), QPainterPath()
        metrics = QFontMetricsF(font)
        taken = plot.bottom() + scene.em
        for value in _round_values(low, high):
            y = _y(plot, value, low, high)
            painter.setPen(QPen(scene.colours.colour("hairline"), 1.0))
            painter.drawLine(QLineF(plot.left(), y, plot.right(), y))
            words = f"{value:g}°".replace("-", "−")
            width = metrics.horizontalAdvance(words)
            where = QRectF(plot.right() - width, y - 0.55 * scene.em, width, 1.1 * scene.em)
            where.moveTop(min(max(where.top(), plot.top()), plot.bottom() - where.height()))
            if where.bottom() > taken:
                continue
            taken = where.top()
            middle = where.center().y() + 0.5 * metrics.capHeight()
            labels.addText(QPointF(where.left(), middle), font, words)
        return labels

    def _paint_run(
        self,
        painter: QPainter,
        colour: QColor,
        style: Qt.PenStyle,
        xs: Floats,
        lows: Floats,
        highs: Floats,
        line: QPolygonF,
    ) -> None:
        band = QColor(colour)
        band.setAlphaF(0.2)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(band)
        painter.drawPolygon(_polygon(np.r_[xs, xs[::-1]], np.r_[lows, highs[::-1]]))
        pen = QPen(colour, 1.8, style)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(line)

    def _paint_names(self, painter: QPainter, scene: Scene, box: QRectF, time_us: int) -> None:
        painter.setFont(small_font(scene))
        metrics, em = QFontMetricsF(small_font(scene)), scene.em
        most = box.width() / max(1, len(scene.curves)) - (_SAMPLE_EM + 1.4) * em
        left, middle = box.left(), box.top() + 0.5 * _NAMES_EM * em
        for curve, (token, style) in zip(scene.curves, _LINES, strict=False):
            painter.setPen(QPen(scene.colours.colour(token), 2.0, style))
            painter.drawLine(QLineF(left, middle, left + _SAMPLE_EM * em, middle))
            left += (_SAMPLE_EM + 0.4) * em
            words = value_words(curve, time_us)
            # The place of the next name must not tremble while digits change.
            width = metrics.horizontalAdvance(f"{curve.words} −100.0° ± 10° backward")
            width = min(max(width, metrics.horizontalAdvance(words)), most)
            plate = QRectF(left, box.top() + 1.0, width, _NAMES_EM * em - 2.0)
            painter.fillRect(plate, scene.colours.colour("ground"))
            painter.setPen(scene.colours.colour("ink"))
            painter.drawText(
                QRectF(left, box.top(), width, _NAMES_EM * em),
                Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter,
                metrics.elidedText(words, Qt.TextElideMode.ElideRight, width),
            )
            left += width + em


def value_words(curve: Curve, time_us: int) -> str:
    """'Knee flexion 92° ± 2°', or that it isn't known."""
    number = number_at(curve, time_us)
    return f"{curve.words}: not known here" if number is None else f"{curve.words} {shown(number)}"


def _plot(scene: Scene, box: QRectF) -> QRectF:
    return box.adjusted(0.0, _NAMES_EM * scene.em, 0.0, -0.25 * scene.em)


def _span(curves: tuple[Curve, ...]) -> tuple[float, float]:
    """The least and the greatest value of all curves, with a little room."""
    low = min((float(np.nanmin(curve.values)) for curve in curves if curve.is_known), default=0.0)
    high = max((float(np.nanmax(curve.values)) for curve in curves if curve.is_known), default=0.0)
    more = max(_LEAST_SPAN - (high - low), 0.0) / 2 + 0.06 * (high - low)
    return low - more, high + more


def _round_values(low: float, high: float) -> list[float]:
    step = next((step for step in _STEPS if (high - low) / step <= _MOST_LINES), 180.0)
    first, last = math.ceil(low / step), math.floor(high / step)
    return [step * number for number in range(first, last + 1)]


def _y(plot: QRectF, value: float, low: float, high: float) -> float:
    return plot.bottom() - (value - low) / (high - low) * plot.height()


def _runs(
    scene: Scene, plot: QRectF, curve: Curve, low: float, high: float
) -> Iterator[tuple[Floats, Floats, Floats, QPolygonF]]:
    """The parts of a curve without a gap that are seen: band (x, low y, high y) and line."""
    axis, times = scene.axis, curve.times_us
    first = max(0, int(np.searchsorted(times, axis.start_us)) - 1)
    last = min(len(times), int(np.searchsorted(times, axis.end_us)) + 1)
    values = curve.values[first:last]
    wide = COVERAGE_FACTOR * curve.sd[first:last]
    since_us = times[first:last].astype(np.float64) - axis.start_us
    xs: Floats = axis.left + since_us / axis.us_per_px
    known = np.flatnonzero(np.isfinite(values))
    if not len(known):
        return
    per_px = plot.height() / (high - low)
    for run in np.split(known, np.flatnonzero(np.diff(known) > 1) + 1):
        ys = plot.bottom() - (values[run] - low) * per_px
        half = wide[run] * per_px
        starts = _columns(xs[run])
        if len(starts) == len(run):
            yield xs[run], ys - half, ys + half, _polygon(xs[run], ys)
            continue
        # More frames than pixels: each column from its least to its greatest value.
        columns = xs[run][starts]
        tops, feet = np.minimum.reduceat(ys, starts), np.maximum.reduceat(ys, starts)
        line = _polygon(np.repeat(columns, 2), np.c_[tops, feet].ravel())
        lows = np.minimum.reduceat(ys - half, starts)
        yield columns, lows, np.maximum.reduceat(ys + half, starts), line


def _columns(xs: Floats) -> NDArray[np.intp]:
    """Where each new column of pixels starts among places in order."""
    if len(xs) < 2 or (xs[-1] - xs[0]) > 0.5 * len(xs):
        return np.arange(len(xs))
    return np.concatenate(([0], np.flatnonzero(np.diff(np.floor(xs))) + 1))


def _polygon(xs: Floats, ys: Floats) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in zip(xs.tolist(), ys.tolist(), strict=True)])
