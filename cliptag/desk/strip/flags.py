"""The lane of moments: a flag for each, on a pole that goes down through the strip.

A moment that is set flies a whole cloth; one that is only proposed flies a hollow, notched one, and
its words end with a question mark.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPainterPath, QPen

from cliptag.desk.proposals import moment_title
from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Grip, Lane, MomentGrip, Scene

_GAP_EM: Final = 0.25
_PAD_EM: Final = 0.4
_PENNANT_EM: Final = 0.7
_NOTCH_EM: Final = 0.35


@dataclass(frozen=True, slots=True)
class Flag:
    """A moment's flag: from its pole at ``x`` to ``tip``, left or right of it; perhaps wordless."""

    grip: MomentGrip
    x: float
    tip: float
    has_words: bool


def place_flags(
    grips: Sequence[MomentGrip],
    xs: Sequence[float],
    widths: Sequence[float],
    gap: float,
    bare: float,
    end: float = float("inf"),
) -> tuple[Flag, ...]:
    """Fly each flag to the right if it fits before the next pole, else to the left, else bare.

    ``widths`` are those with words; ``bare`` is that of a flag without; at ``end`` the strip ends.
    """
    flags: list[Flag] = []
    taken = float("-inf")
    for place, (grip, x, width) in enumerate(zip(grips, xs, widths, strict=True)):
        next_x = xs[place + 1] if place + 1 < len(xs) else float("inf")
        if x + width + gap <= next_x and (x + width <= end or x > end):
            flag = Flag(grip, x, x + width, True)
        elif x - width - gap >= taken:
            flag = Flag(grip, x, x - width, True)
        else:
            flag = Flag(grip, x, x + min(bare, max(2.0, next_x - x)), False)
        flags.append(flag)
        taken = max(x, flag.tip)
    return tuple(flags)


class FlagLane(Lane):
    """The moments of the movement, set or proposed."""

    def height_em(self) -> float:
        return 1.5

    def paint_behind(self, painter: QPainter, scene: Scene, below: QRectF) -> None:
        painter.setPen(QPen(scene.colours.colour("edge"), 1.0, Qt.PenStyle.DotLine))
        for flag in _flags(scene):
            if not flag.grip.is_proposed:
                painter.drawLine(QLineF(flag.x, below.top(), flag.x, below.bottom()))

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        painter.setFont(small_font(scene))
        for flag in _flags(scene):
            self._paint_flag(painter, scene, box, flag)

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        reach = 0.3 * scene.em
        for flag in reversed(_flags(scene)):
            cloth = _cloth_box(flag, box, scene.em).adjusted(-reach, -reach, reach, reach)
            pole = QRectF(flag.x - reach, box.top(), 2 * reach, box.height())
            if cloth.contains(at) or pole.contains(at):
                return flag.grip
        return None

    def _paint_flag(self, painter: QPainter, scene: Scene, box: QRectF, flag: Flag) -> None:
        is_hovered, is_proposed = scene.hovered == flag.grip, flag.grip.is_proposed
        edge = scene.colours.colour("accent" if is_hovered else "edge")
        style = Qt.PenStyle.DashLine if is_proposed else Qt.PenStyle.SolidLine
        painter.setPen(QPen(edge, 1.0, style))
        painter.setBrush(scene.colours.colour("chosen" if is_hovered else "plate"))
        if is_proposed and not is_hovered:
            painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(_cloth(flag, box, scene.em))
        painter.setPen(QPen(edge, max(1.5, 0.1 * scene.em), style))
        painter.drawLine(QLineF(flag.x, box.top() + 1.0, flag.x, box.bottom()))
        if flag.has_words:
            painter.setPen(scene.colours.colour("quiet_ink" if is_proposed else "ink"))
            painter.drawText(
                _words_box(flag, box, scene.em),
                Qt.AlignmentFlag.AlignCenter,
                _words(flag.grip, scene),
            )


def _flags(scene: Scene) -> tuple[Flag, ...]:
    timed = [(m.at_us, MomentGrip(m.name, m.repetition)) for m in scene.review.moments]
    timed += [(p.at_us, MomentGrip(p.name, p.repetition, True)) for p in scene.proposals]
    timed.sort(key=lambda entry: entry[0])
    metrics, em = QFontMetricsF(small_font(scene)), scene.em
    return place_flags(
        [grip for _, grip in timed],
        [scene.axis.x_of(at_us) for at_us, _ in timed],
        [
            metrics.horizontalAdvance(_words(grip, scene))
            + (2 * _PAD_EM + (_NOTCH_EM if grip.is_proposed else 0.0)) * em
            for _, grip in timed
        ],
        _GAP_EM * em,
        _PENNANT_EM * em,
        scene.axis.left + scene.axis.width,
    )


def _words(grip: MomentGrip, scene: Scene) -> str:
    title = moment_title(grip.name, grip.repetition, is_one_of_several=scene.has_several)
    return f"{title}?" if grip.is_proposed else title


def _cloth_box(flag: Flag, box: QRectF, em: float) -> QRectF:
    left, right = sorted((flag.x, flag.tip))
    return QRectF(left, box.top() + 1.0, right - left, box.height() - 0.3 * em)


def _words_box(flag: Flag, box: QRectF, em: float) -> QRectF:
    cloth = _cloth_box(flag, box, em)
    notch = _NOTCH_EM * em if flag.grip.is_proposed else 0.0
    return (
        cloth.adjusted(0.0, 0.0, -notch, 0.0)
        if flag.tip > flag.x
        else cloth.adjusted(notch, 0.0, 0.0, 0.0)
    )


def _cloth(flag: Flag, box: QRectF, em: float) -> QPainterPath:
    """With words a cloth with a rounded or a notched fly; without a pennant."""
    cloth = _cloth_box(flag, box, em)
    path = QPainterPath()
    if not flag.has_words:
        path.moveTo(cloth.topLeft())
        path.lineTo(cloth.right(), cloth.center().y())
        path.lineTo(cloth.bottomLeft())
        path.closeSubpath()
    elif flag.grip.is_proposed:
        notch = _NOTCH_EM * em if flag.tip > flag.x else -_NOTCH_EM * em
        path.moveTo(flag.x, cloth.top())
        path.lineTo(flag.tip, cloth.top())
        path.lineTo(flag.tip - notch, cloth.center().y())
        path.lineTo(flag.tip, cloth.bottom())
        path.lineTo(flag.x, cloth.bottom())
        path.closeSubpath()
    else:
        path.addRoundedRect(cloth, 0.2 * em, 0.2 * em)
    return path
