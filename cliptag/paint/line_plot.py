"""A small plot of a few lines with their uncertainty, on paper."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen, QPolygonF

from cliptag.paint.text import TextBlock, clean_line, lay_out
from cliptag.paint.typefaces import STRONG

Floats = NDArray[np.float64]

INK: Final = "#1F2C35"
QUIET: Final = "#56636D"
GRID: Final = "#D9DDE0"
SERIES: Final = ("#C25200", "#0072B2")
"""The first and the second series on white: both above 4.5:1."""
_STEPS: Final = (1.0, 2.0, 2.5, 5.0, 10.0)
_BAND_ALPHA: Final = 0.2
_COVERAGE: Final = 2.0


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """One line: places, values and their standard uncertainties (N,); NaN leaves a gap.

    ``has_bars``: single values with bars, rather than a line with a band; both show k = 2.
    """

    name: str
    xs: Floats
    ys: Floats
    sds: Floats
    has_bars: bool = False

    @property
    def runs(self) -> Iterator[slice]:
        """The parts without gaps."""
        known = np.isfinite(self.xs) & np.isfinite(self.ys) & np.isfinite(self.sds)
        edges = np.flatnonzero(np.diff(np.pad(known, 1).astype(np.int8)))
        for start, stop in edges.reshape(-1, 2):
            yield slice(int(start), int(stop))


@dataclass(frozen=True, slots=True, eq=False)
class LinePlot:
    """A plot: its lines, the words at its axis, and instants that are named."""

    title: str
    unit: str
    series: tuple[Series, ...]
    x_range: tuple[float, float]
    x_ticks: tuple[tuple[float, str], ...]
    events: tuple[tuple[float, str], ...] = ()
    decimal_sign: str = "."

    @property
    def heading(self) -> str:
        """'Trunk tilt (°)'."""
        return f"{self.title} ({self.unit})"

    @property
    def y_range(self) -> tuple[float, float]:
        """From the lowest edge of a band to the highest, on whole steps of ``y_ticks``."""
        step = self._step
        low, high = self._extremes
        return math.floor(low / step) * step, math.ceil(high / step) * step

    @property
    def y_ticks(self) -> tuple[float, ...]:
        """Round numbers through the range."""
        low, high = self.y_range
        count = round((high - low) / self._step)
        return tuple(low + k * self._step for k in range(count + 1))

    def place(self, x: float, y: float) -> tuple[float, float]:
        """A place within the unit square, (0, 0) at the top left."""
        low, high = self.y_range
        start, end = self.x_range
        return (x - start) / ((end - start) or 1.0), 1.0 - (y - low) / ((high - low) or 1.0)

    def event_rows(self, letter_share: float) -> tuple[int, ...]:
        """For each event 0 or 1: the line that its words stand on, so that none run into others.

        ``letter_share`` is the width of a letter in parts of the plot's width.
        """
        ends = [-1.0, -1.0]
        rows = []
        for x, label in self.events:
            across, _ = self.place(x, self.y_range[0])
            width = letter_share * (len(label) + 1)
            left = min(across, 1.0 - width)
            row = 0 if left >= ends[0] else 1
            ends[row] = left + width
            rows.append(row)
        return tuple(rows)

    @property
    def _extremes(self) -> tuple[float, float]:
        lows = [s.ys - _COVERAGE * s.sds for s in self.series]
        highs = [s.ys + _COVERAGE * s.sds for s in self.series]
        low = min((float(np.nanmin(v)) for v in lows if np.isfinite(v).any()), default=0.0)
        high = max((float(np.nanmax(v)) for v in highs if np.isfinite(v).any()), default=1.0)
        return (low, high) if high > low else (low - 0.5, high + 0.5)

    @property
    def _step(self) -> float:
        low, high = self._extremes
        rough = (high - low) / 4.0
        power = 10.0 ** math.floor(math.log10(rough))
        return next(step * power for step in _STEPS if step * power >= rough - 1e-12)


def tick_words(value: float, decimal_sign: str = ".") -> str:
    """A number at an axis, with a true minus sign."""
    return f"{value:g}".replace("-", "−").replace(".", decimal_sign)


def paint_line_plot(painter: QPainter, plot: LinePlot, box: QRectF, px: int) -> None:
    """Paint a plot into a rectangle; ``px`` is the size of its words."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    title = lay_out(
        clean_line(plot.heading),
        round(1.15 * px),
        box.width(),
        weight=STRONG,
        max_lines=1,
    )
    title.paint(painter, box.left(), box.top(), QColor(INK))
    head = title.height + (2.8 * px if plot.events else 0.6 * px)
    inner = box.adjusted(2.6 * px, head, -0.6 * px, -1.8 * px)
    _paint_axes(painter, plot, inner, px)
    for number, series in enumerate(plot.series):
        _paint_series(painter, plot, series, inner, number, px)
    painter.restore()


def _paint_axes(painter: QPainter, plot: LinePlot, box: QRectF, px: int) -> None:
    start = plot.x_range[0]
    for value in plot.y_ticks:
        at = _at(plot, box, start, value)
        painter.setPen(QPen(QColor(GRID), 0.06 * px))
        painter.drawLine(at, QPointF(box.right(), at.y()))
        words = _label(tick_words(value, plot.decimal_sign), px, 3 * px)
        words.paint(
            painter, box.left() - words.ink_width - 0.4 * px, at.y() - words.height / 2, _quiet()
        )
    for x, label in plot.x_ticks:
        at = _at(plot, box, x, plot.y_range[0])
        words = _label(clean_line(label), px, 8 * px)
        left = min(max(at.x() - words.ink_width / 2, box.left()), box.right() - words.ink_width)
        words.paint(painter, left, box.bottom() + 0.2 * px, _quiet())
    rows = plot.event_rows(0.46 * px / box.width())
    for (x, label), row in zip(plot.events, rows, strict=True):
        at = _at(plot, box, x, plot.y_range[0])
        painter.setPen(QPen(QColor(QUIET), 0.06 * px, Qt.PenStyle.DotLine))
        painter.drawLine(QPointF(at.x(), box.top()), at)
        words = _label(clean_line(label), round(0.85 * px), 9 * px)
        left = min(at.x() - 0.1 * px, box.right() - words.ink_width)
        words.paint(painter, left, box.top() - (2.3 - 1.1 * row) * px, _quiet())


def _label(text: str, px: int, width: float) -> TextBlock:
    """Words at an axis, which begin at the left in any script."""
    return lay_out(text, px, width, right_to_left=False, max_lines=1)


def _paint_series(
    painter: QPainter, plot: LinePlot, series: Series, box: QRectF, number: int, px: int
) -> None:
    colour = QColor(SERIES[number % len(SERIES)])
    soft = QColor(colour)
    soft.setAlphaF(_BAND_ALPHA)
    style = Qt.PenStyle.DashLine if number % 2 else Qt.PenStyle.SolidLine
    for run in series.runs:
        xs, ys, ends = series.xs[run], series.ys[run], _COVERAGE * series.sds[run]
        line = _polygon(plot, box, xs, ys)
        if not series.has_bars:
            edge = [*_points(plot, box, xs, ys + ends)]
            edge += reversed([*_points(plot, box, xs, ys - ends)])
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(soft)
            painter.drawPolygon(QPolygonF(edge))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colour, 0.18 * px, style))
        painter.drawPolyline(line)
        if series.has_bars:
            painter.setPen(QPen(colour, 0.14 * px))
            for x, y, end in zip(xs, ys, ends, strict=True):
                painter.drawLine(_at(plot, box, x, y - end), _at(plot, box, x, y + end))
            painter.setBrush(colour)
            for at in _points(plot, box, xs, ys):
                painter.drawEllipse(at, 0.3 * px, 0.3 * px)


def _points(plot: LinePlot, box: QRectF, xs: Floats, ys: Floats) -> Iterator[QPointF]:
    for x, y in zip(xs, ys, strict=True):
        yield _at(plot, box, float(x), float(y))


def _polygon(plot: LinePlot, box: QRectF, xs: Floats, ys: Floats) -> QPolygonF:
    return QPolygonF(list(_points(plot, box, xs, ys)))


def _at(plot: LinePlot, box: QRectF, x: float, y: float) -> QPointF:
    across, down = plot.place(x, y)
    return QPointF(box.left() + across * box.width(), box.top() + down * box.height())


def _quiet() -> QColor:
    return QColor(QUIET)
