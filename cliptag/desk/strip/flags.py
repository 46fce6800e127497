"""The lane of moments: a flag for each, on a pole that goes down through the strip."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen

from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Grip, Lane, MomentGrip, Scene
from cliptag.review import MOMENT_WORDS, Moment

_GAP_EM: Final = 0.25
_PAD_EM: Final = 0.4
_PENNANT_EM: Final = 0.7


@dataclass(frozen=True, slots=True)
class Flag:
    """A moment's flag: from its pole at ``x`` to ``tip``, left or right of it; perhaps wordless."""

    moment: Moment
    x: float
    tip: float
    has_words: bool


def place_flags(
    moments: Sequence[Moment], xs: Sequence[float], widths: Sequence[float], gap: float, bare: float
) -> tuple[Flag, ...]:
    """Fly each flag to the right if it fits before the next pole, else to the left, else bare.

    ``widths`` are those with words; ``bare`` is that of a flag without.
    """
    flags: list[Flag] = []
    taken = float("-inf")
    for place, (moment, x, width) in enumerate(zip(moments, xs, widths, strict=True)):
        next_x = xs[place + 1] if place + 1 < len(xs) else float("inf")
        if x + width + gap <= next_x:
            flag = Flag(moment, x, x + width, True)
        elif x - width - gap >= taken:
            flag = Flag(moment, x, x - width, True)
        else:
            flag = Flag(moment, x, x + min(bare, max(2.0, next_x - x)), False)
        flags.append(flag)
        taken = max(x, flag.tip)
    return tuple(flags)


class FlagLane(Lane):
    """The moments of the movement that are set."""

    def height_em(self) -> float:
        return 1.5

    def paint_behind(self, painter: QPainter, scene: Scene, below: QRectF) -> None:
        painter.setPen(QPen(scene.colours.colour("edge"), 1.0, Qt.PenStyle.DotLine))
        for flag in _flags(scene):
            painter.drawLine(QLineF(flag.x, below.top(), flag.x, below.bottom()))

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        painter.setFont(small_font(scene))
        for flag in _flags(scene):
            is_hovered = scene.hovered == MomentGrip(flag.moment.name)
            edge = scene.colours.colour("accent" if is_hovered else "edge")
            painter.setPen(QPen(edge, 1.0))
            painter.setBrush(scene.colours.colour("chosen" if is_hovered else "plate"))
            painter.drawPath(_cloth(flag, box, scene.em))
            painter.setPen(QPen(edge, max(1.5, 0.1 * scene.em)))
            painter.drawLine(QLineF(flag.x, box.top() + 1.0, flag.x, box.bottom()))
            if flag.has_words:
                painter.setPen(scene.colours.colour("ink"))
                cloth = _cloth_box(flag, box, scene.em)
                painter.drawText(
                    cloth, Qt.AlignmentFlag.AlignCenter, MOMENT_WORDS[flag.moment.name]
                )

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        reach = 0.3 * scene.em
        for flag in reversed(_flags(scene)):
            cloth = _cloth_box(flag, box, scene.em).adjusted(-reach, -reach, reach, reach)
            pole = QRectF(flag.x - reach, box.top(), 2 * reach, box.height())
            if cloth.contains(at) or pole.contains(at):
                return MomentGrip(flag.moment.name)
        return None


def _flags(scene: Scene) -> tuple[Flag, ...]:
    moments = sorted(scene.review.moments, key=lambda moment: moment.at_us)
    metrics = QFontMetricsF(small_font(scene))
    return place_flags(
        moments,
        [scene.axis.x_of(moment.at_us) for moment in moments],
        [
            metrics.horizontalAdvance(MOMENT_WORDS[moment.name]) + 2 * _PAD_EM * scene.em
            for moment in moments
        ],
        _GAP_EM * scene.em,
        _PENNANT_EM * scene.em,
    )


def _cloth_box(flag: Flag, box: QRectF, em: float) -> QRectF:
    left, right = sorted((flag.x, flag.tip))
    return QRectF(left, box.top() + 1.0, right - left, box.height() - 0.3 * em)


def _cloth(flag: Flag, box: QRectF, em: float) -> QPainterPath:
    """With words a cloth with a rounded fly; without a pennant."""
    cloth = _cloth_box(flag, box, em)
    path = QPainterPath()
    if flag.has_words:
        path.addRoundedRect(cloth, 0.2 * em, 0.2 * em)
        return path
    path.moveTo(cloth.topLeft())
    path.lineTo(cloth.right(), cloth.center().y())
    path.lineTo(cloth.bottomLeft())
    path.closeSubpath()
    return path
