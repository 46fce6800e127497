"""A curve of both reviews on the common axis, each with the band of its uncertainty (k = 2)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np
from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from cliptag.desk.look import Palette
from cliptag.desk.pairing.strip_plan import StripPlan
from cliptag.measure import COVERAGE_FACTOR, with_uncertainty
from cliptag.paint import LinePlot, Series, tick_words
from cliptag.pairing import CurvePair, NormalisedCurve

STYLES: Final = (Qt.PenStyle.SolidLine, Qt.PenStyle.DashLine)
"""Of the first and the second: the line tells them apart as well as the colour."""
_ON_LIGHT: Final = ("#B34700", "#0065A8")
_ON_DARK: Final = ("#E69F00", "#56B4E9")
"""The colours of the marks of both; darker on a light ground, where those would not be seen."""
_SAMPLE_EM: Final = 1.6
_DOT_EM: Final = 0.2
_BAND: Final = 0.2


def colours_of(palette: Palette) -> tuple[QColor, QColor]:
    """The colours of the first's and the second's line on the ground of now."""
    is_dark = QColor(palette.ground).lightnessF() < 0.5
    first, second = _ON_DARK if is_dark else _ON_LIGHT
    return QColor(first), QColor(second)


@dataclass(frozen=True, slots=True, eq=False)
class PairPlot:
    """A curve of both, from ``low`` to ``high`` with round numbers between, all found once."""

    pair: CurvePair
    series: tuple[Series, ...]
    low: float
    high: float
    ticks: tuple[float, ...]

    @property
    def unit(self) -> str:
        return self.pair.first.unit

    def y_of(self, value: float, box: QRectF) -> float:
        """Where a value lies in a box."""
        return box.bottom() - (value - self.low) / ((self.high - self.low) or 1.0) * box.height()


def plot_of(pair: CurvePair, names: tuple[str, str]) -> PairPlot:
    """The pair on the scale that a plot on paper would have."""
    curves = pair.first, pair.second
    plot = LinePlot(
        title=pair.first.words,
        unit=pair.first.unit,
        series=tuple(
            Series(name, curve.percents, curve.values, curve.sd)
            for name, curve in zip(names, curves, strict=True)
        ),
        x_range=(0.0, 100.0),
        x_ticks=(),
    )
    low, high = plot.y_range
    return PairPlot(pair, plot.series, low, high, plot.y_ticks)


def paint_curves(
    painter: QPainter, plot: PairPlot, plan: StripPlan, palette: Palette, font: QFont
) -> None:
    """Scale, bands and lines."""
    box = plan.curves
    painter.setFont(font)
    metrics = QFontMetricsF(font)
    taken = box.bottom() + plan.em
    for value in plot.ticks:
        y = plot.y_of(value, box)
        painter.setPen(QPen(palette.colour("hairline"), 1.0))
        painter.drawLine(QLineF(box.left(), y, box.right(), y))
        words = f"{tick_words(value)}{plot.unit if plot.unit == '°' else ''}"
        width = metrics.horizontalAdvance(words) + 4.0
        where = QRectF(box.right() - width, y - 0.55 * plan.em, width, 1.1 * plan.em)
        where.moveTop(min(max(where.top(), box.top()), box.bottom() - where.height()))
        if where.bottom() > taken:
            continue
        taken = where.top()
        painter.setPen(palette.colour("quiet_ink"))
        painter.drawText(where, Qt.AlignmentFlag.AlignCenter, words)
    for series, colour, style in zip(plot.series, colours_of(palette), STYLES, strict=True):
        _paint_series(painter, plot, series, plan, colour, style)


def paint_values(
    painter: QPainter,
    plot: PairPlot,
    plan: StripPlan,
    places: tuple[float, float],
    palette: Palette,
    font: QFont,
) -> None:
    """What both are where they are now: in words above, as dots on the lines."""
    painter.setFont(font)
    metrics, em = QFontMetricsF(font), plan.em
    left, middle = plan.names.left(), plan.names.center().y()
    most = plan.names.width() / 2 - (_SAMPLE_EM + 1.4) * em
    values = zip((plot.pair.first, plot.pair.second), plot.series, places, strict=True)
    for (curve, series, at), colour, style in zip(values, colours_of(palette), STYLES, strict=True):
        value, sd = value_at(curve, at)
        painter.setPen(QPen(colour, 2.2, style))
        painter.drawLine(QLineF(left, middle, left + _SAMPLE_EM * em, middle))
        left += (_SAMPLE_EM + 0.4) * em
        words = f"{series.name} {value_words(value, sd, curve.unit)}"
        # The place of the next name must not tremble while digits change.
        widest = metrics.horizontalAdvance(f"{series.name} −100.0° ± 10.0°")
        width = min(max(widest, metrics.horizontalAdvance(words)), most)
        box = QRectF(left, plan.names.top(), width, plan.names.height())
        painter.setPen(palette.colour("ink"))
        painter.drawText(
            box,
            Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter,
            metrics.elidedText(words, Qt.TextElideMode.ElideRight, width),
        )
        left += width + em
        if math.isfinite(value):
            painter.setPen(QPen(palette.colour("plate"), 1.5))
            painter.setBrush(colour)
            dot = QPointF(plan.x_of(at), plot.y_of(value, plan.curves))
            painter.drawEllipse(dot, _DOT_EM * em, _DOT_EM * em)


def value_at(curve: NormalisedCurve, percent: float) -> tuple[float, float]:
    """The curve's value and standard uncertainty at a place; NaN where it isn't known."""
    value = float(np.interp(percent, curve.percents, curve.values, np.nan, np.nan))
    return value, float(np.interp(percent, curve.percents, curve.sd, np.nan, np.nan))


def value_words(value: float, sd: float, unit: str) -> str:
    """'92° ± 2°', or a dash where nothing is known."""
    known = math.isfinite(value) and math.isfinite(sd)
    return with_uncertainty(value, sd, unit) if known else "–"


def _paint_series(
    painter: QPainter,
    plot: PairPlot,
    series: Series,
    plan: StripPlan,
    colour: QColor,
    style: Qt.PenStyle,
) -> None:
    box, band = plan.curves, QColor(colour)
    band.setAlphaF(_BAND)
    for run in series.runs:
        xs = [plan.x_of(float(x)) for x in series.xs[run]]
        ys, wide = series.ys[run], COVERAGE_FACTOR * series.sds[run]
        line, high, low = (
            [QPointF(x, plot.y_of(float(y), box)) for x, y in zip(xs, values, strict=True)]
            for values in (ys, ys + wide, ys - wide)
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(band)
        painter.drawPolygon(QPolygonF(high + low[::-1]))
        painter.setPen(QPen(colour, 2.0, style))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPolyline(QPolygonF(line))
