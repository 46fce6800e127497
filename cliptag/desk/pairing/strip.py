"""The strip of two reviews: one axis from the first shared moment to the last, 0 to 100 %."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, QTimer
from PyQt6.QtGui import (
    QFontMetricsF,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
)
from PyQt6.QtWidgets import QSizePolicy, QToolTip, QWidget

from cliptag.desk import look
from cliptag.desk.pairing.curve_plot import (
    PairPlot,
    paint_curves,
    paint_values,
    plot_of,
    value_at,
    value_words,
)
from cliptag.desk.pairing.layers import clear_pixmap
from cliptag.desk.pairing.ringed import Ringed
from cliptag.desk.pairing.state import PairState
from cliptag.desk.pairing.strip_plan import HEIGHT_EM, StripPlan
from cliptag.paint import paint_kind
from cliptag.pairing import CurvePair
from cliptag.review import KIND_WORDS

_SMALL: Final = 0.82
_TICKS: Final = (0, 25, 50, 75, 100)
_DESCRIBE_MS: Final = 250
_WASH: Final = 0.1
_LEAST_LETTERS: Final = 5
"""Fewer letters of a phase's name tell nothing; the pointer tells it all."""


class PairStrip(Ringed):
    """Phases, notes and one curve of both; press and drag to go through both at once."""

    def __init__(self, state: PairState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._still: tuple[object, QPixmap] = (None, QPixmap())
        self._plot: tuple[object, PairPlot | None] = (None, None)
        self.setAccessibleName("Strip of both")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._clock = QTimer(self)
        self._clock.setSingleShot(True)
        self._clock.setInterval(_DESCRIBE_MS)
        self._clock.timeout.connect(self._describe)
        for signal in (state.compared, state.opened, state.noted, state.chosen):
            signal.connect(self.update)
        state.playhead.moved.connect(self._moved)
        look.look().changed.connect(self._restyle)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(30), look.space(HEIGHT_EM))

    @property
    def plan(self) -> StripPlan | None:
        """Where everything stands; None while nothing is open."""
        axis = self._state.axis
        return None if axis is None else StripPlan(axis, QRectF(self.rect()), float(look.space()))

    @property
    def curve(self) -> CurvePair | None:
        """The curve that is shown."""
        comparison, name = self._state.comparison, self._state.curve
        curves = comparison.curves if comparison else ()
        return next((pair for pair in curves if pair.first.name == name), None)

    # -- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        colours = look.palette()
        painter.fillRect(self.rect(), colours.colour("ground"))
        plan = self.plan
        if plan is not None:
            painter.drawPixmap(0, 0, self._still_picture(plan))
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_notes(painter, plan)
            self._paint_now(painter, plan)
        self.paint_ring(painter)

    def _still_picture(self, plan: StripPlan) -> QPixmap:
        """All but what moves, painted once for as long as it stays the same."""
        state, colours, ratio = self._state, look.palette(), self.devicePixelRatioF()
        key = (plan, colours, ratio, state.curve, state.comparison)
        if key != self._still[0]:
            picture = clear_pixmap(self.size(), ratio)
            painter = QPainter(picture)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_axis(painter, plan)
            self._paint_phases(painter, plan)
            self._paint_curve(painter, plan)
            painter.end()
            self._still = key, picture
        return self._still[1]

    def _paint_axis(self, painter: QPainter, plan: StripPlan) -> None:
        colours, lane = look.palette(), plan.ruler
        painter.setFont(look.font(_SMALL))
        for percent, box in _tick_boxes(plan).items():
            x = plan.x_of(percent)
            painter.setPen(QPen(colours.colour("edge"), 1.0))
            painter.drawLine(QLineF(x, lane.bottom() - 0.25 * plan.em, x, lane.bottom()))
            painter.setPen(colours.colour("quiet_ink"))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, f"{percent} %")
        painter.setPen(QPen(colours.colour("edge"), 1.0))
        painter.drawLine(lane.bottomLeft(), lane.bottomRight())

    def _paint_phases(self, painter: QPainter, plan: StripPlan) -> None:
        colours, lane = look.palette(), plan.phases
        painter.setFont(look.font(_SMALL))
        wash = colours.colour("accent")
        wash.setAlphaF(_WASH)
        for number, phase in enumerate(plan.axis.phases):
            left, right = plan.x_of(phase.start), plan.x_of(phase.end)
            for box in plan.between(phase.start, phase.end) if number % 2 == 0 else ():
                painter.fillRect(box, wash)
            painter.setPen(colours.colour("ink"))
            _draw_fitted(
                painter, phase.words, QRectF(left, lane.top(), right - left, lane.height())
            )
        painter.setPen(QPen(colours.colour("edge"), 1.0, Qt.PenStyle.DotLine))
        for moment in plan.axis.moments:
            for box in plan.between(moment.percent, moment.percent):
                painter.drawLine(box.topLeft(), box.bottomLeft())

    def _paint_notes(self, painter: QPainter, plan: StripPlan) -> None:
        document, colours = self._state.document, look.palette()
        for number, note in enumerate(document.pairing.notes if document else ()):
            box = plan.flag(note.percent)
            if number == self._state.chosen_note:
                painter.setPen(QPen(colours.colour("focus"), 2.0))
                painter.setBrush(colours.colour("chosen"))
                painter.drawRoundedRect(box.adjusted(-3.0, -2.0, 3.0, 2.0), 4.0, 4.0)
            paint_kind(
                painter, note.kind, box.adjusted(2.0, 2.0, -2.0, -2.0), colours.colour("ink")
            )

    def _paint_curve(self, painter: QPainter, plan: StripPlan) -> None:
        plot = self._plot_now()
        if plot is not None:
            paint_curves(painter, plot, plan, look.palette(), look.font(_SMALL))
            return
        painter.setFont(look.font(_SMALL))
        painter.setPen(look.palette().colour("quiet_ink"))
        painter.drawText(
            plan.curves,
            Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap,
            "No curve is known in both: follow the same points in both reviews.",
        )

    def _paint_now(self, painter: QPainter, plan: StripPlan) -> None:
        colours, places = look.palette(), self._places()
        plot = self._plot_now()
        for which, percent in reversed(list(enumerate(places))):
            style = (
                Qt.PenStyle.DashLine if which and places[0] != places[1] else Qt.PenStyle.SolidLine
            )
            painter.setPen(QPen(colours.colour("accent"), 1.6, style))
            for box in plan.between(percent, percent):
                painter.drawLine(box.topLeft(), box.bottomLeft())
        if plot is not None:
            paint_values(painter, plot, plan, places, colours, look.font(_SMALL))
        self._paint_tag(painter, plan, places[0])

    def _paint_tag(self, painter: QPainter, plan: StripPlan, percent: float) -> None:
        colours, font = look.palette(), look.font(_SMALL, strong=True)
        words = f"{percent:.0f} %".replace("-", "−")
        width = QFontMetricsF(font).horizontalAdvance("−100 %") + 0.8 * plan.em
        x = plan.x_of(percent)
        left = min(max(x - width / 2, 0.0), self.width() - width)
        tag = QRectF(left, plan.ruler.top() + 1.0, width, 1.15 * plan.em)
        for box in _tick_boxes(plan).values():
            if box.intersects(tag.adjusted(-3.0, 0.0, 3.0, 0.0)):
                painter.fillRect(box, colours.colour("ground"))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colours.colour("accent"))
        painter.drawRoundedRect(tag, 0.25 * plan.em, 0.25 * plan.em)
        painter.setFont(font)
        painter.setPen(colours.colour("on_accent"))
        painter.drawText(tag, Qt.AlignmentFlag.AlignCenter, words)

    def _plot_now(self) -> PairPlot | None:
        pair, comparison = self.curve, self._state.comparison
        if pair is None or comparison is None:
            return None
        if self._plot[0] is not pair:
            first, second = comparison.sides
            self._plot = pair, plot_of(pair, (first.words, second.words))
        return self._plot[1]

    def _places(self) -> tuple[float, float]:
        axis = self._state.axis
        return (0.0, 0.0) if axis is None else axis.places(self._state.playhead.time_us)

    # -- the hand -------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        note = self._note_at(event.position())
        if note is None:
            self._drag(event.position())
        else:
            self._state.go_to_note(note)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and event.buttons() & Qt.MouseButton.LeftButton:
            self._drag(event.position())

    def event(self, event: QEvent | None) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.words_at(QPointF(event.pos())), self)
            return True
        return super().event(event)

    def words_at(self, at: QPointF) -> str:
        """What is there, in words."""
        plan, document = self.plan, self._state.document
        if plan is None or document is None:
            return ""
        note = self._note_at(at)
        if note is not None:
            said = document.pairing.notes[note]
            return f"{KIND_WORDS[said.kind]}: {said.text}"
        percent = plan.percent_at(at.x())
        return "\n".join([plan.axis.place_words(percent), *self._values((percent, percent))])

    def _values(self, places: tuple[float, float]) -> list[str]:
        pair, plot = self.curve, self._plot_now()
        if pair is None or plot is None:
            return []
        told = [pair.first.words]
        for curve, series, at in zip((pair.first, pair.second), plot.series, places, strict=True):
            told.append(f"{series.name}: {value_words(*value_at(curve, at), curve.unit)}")
        return told

    def _note_at(self, at: QPointF) -> int | None:
        plan, document = self.plan, self._state.document
        if plan is None or document is None:
            return None
        boxes = [plan.flag(note.percent) for note in document.pairing.notes]
        hit = (n for n, box in reversed(list(enumerate(boxes))) if box.contains(at))
        return next(hit, None)

    def _drag(self, at: QPointF) -> None:
        plan = self.plan
        if plan is not None:
            self._state.drag_to(plan.axis.out_at(plan.percent_at(at.x())))

    # -- listening ------------------------------------------------------------------------------

    def _moved(self) -> None:
        self.update()
        self._clock.start()

    def _restyle(self) -> None:
        self.updateGeometry()
        self.update()

    def _describe(self) -> None:
        """For whoever can't see the strip."""
        axis = self._state.axis
        if axis is not None:
            words = [axis.place_words(self._state.percent), *self._values(self._places())]
            self.setAccessibleDescription(". ".join(words))


def _tick_boxes(plan: StripPlan) -> dict[int, QRectF]:
    """Where the percents are written, kept inside the strip."""
    metrics, boxes, lane = QFontMetricsF(look.font(_SMALL)), {}, plan.ruler
    for percent in _TICKS:
        if plan.axis.start <= percent <= plan.axis.end:
            width = metrics.horizontalAdvance(f"{percent} %") + 2.0
            left = min(max(plan.x_of(percent) - width / 2, lane.left()), lane.right() - width)
            boxes[percent] = QRectF(left, lane.top(), width, 1.1 * plan.em)
    return boxes


def _draw_fitted(painter: QPainter, words: str, box: QRectF) -> None:
    """In the middle, on two lines if need be; cut off where even these are too short."""
    metrics = QFontMetricsF(painter.font())
    inner = box.adjusted(2.0, 0.0, -2.0, 0.0)
    flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
    needed = metrics.boundingRect(inner, flags, words)
    if needed.width() <= inner.width() and needed.height() <= inner.height() + 2.0:
        painter.drawText(inner, flags, words)
        return
    words = metrics.elidedText(words, Qt.TextElideMode.ElideRight, inner.width())
    if len(words) > _LEAST_LETTERS:
        painter.drawText(inner, Qt.AlignmentFlag.AlignCenter, words)
