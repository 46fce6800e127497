"""The desk's signs, drawn in its own ink on a grid of 24 by 24."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from cliptag.desk import look

GRID: Final = 24.0
_SCALES: Final = (1, 2, 3)
_ICON_SIZES: Final = (16, 24, 32, 48, 64, 128, 256)


def icon(name: str, token: str = "ink") -> QIcon:
    """The sign of a command or tool in one of the palette's colours; sharp up to 300 %."""
    colours = look.palette()
    return _icon(name, getattr(colours, token), colours.edge, look.space(1.1))


@lru_cache(maxsize=256)
def _icon(name: str, ink: str, pale_ink: str, size: int) -> QIcon:
    made = QIcon()
    for mode, colour in ((QIcon.Mode.Normal, ink), (QIcon.Mode.Disabled, pale_ink)):
        for scale in _SCALES:
            made.addPixmap(picture(name, QColor(colour), size, scale), mode)
    return made


def window_icon() -> QIcon:
    """The program's own sign: a plumb bob on its green."""
    made = QIcon()
    for size in _ICON_SIZES:
        pixmap = QPixmap(size, size)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.LIGHT.colour("accent"))
        painter.drawRoundedRect(QRectF(0, 0, size, size), 0.22 * size, 0.22 * size)
        inside = round(0.74 * size)
        sign = picture("plumb_line", look.LIGHT.colour("on_accent"), inside, 1)
        painter.drawPixmap((size - inside) // 2, (size - inside) // 2, sign)
        painter.end()
        made.addPixmap(pixmap)
    return made


def picture(name: str, colour: QColor, size: int, scale: float) -> QPixmap:
    """A sign as a picture of ``size`` points, ``scale`` pixels to the point."""
    pixmap = QPixmap(round(size * scale), round(size * scale))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size * scale / GRID, size * scale / GRID)
    pen = QPen(colour, 1.9)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    _SIGNS[name](painter, colour)
    painter.end()
    pixmap.setDevicePixelRatio(scale)
    return pixmap


def _lines(painter: QPainter, *runs: tuple[tuple[float, float], ...]) -> None:
    for run in runs:
        painter.drawPolyline(QPolygonF([QPointF(x, y) for x, y in run]))


def _dots(painter: QPainter, *points: tuple[float, float], radius: float = 2.0) -> None:
    painter.setBrush(painter.pen().color())
    for x, y in points:
        painter.drawEllipse(QPointF(x, y), radius, radius)
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _filled(painter: QPainter, *points: tuple[float, float]) -> None:
    painter.setBrush(painter.pen().color())
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in points]))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _play(painter: QPainter, _: QColor) -> None:
    _filled(painter, (7, 4.5), (19, 12), (7, 19.5))


def _pause(painter: QPainter, _: QColor) -> None:
    _filled(painter, (6.5, 5), (9, 5), (9, 19), (6.5, 19))
    _filled(painter, (15, 5), (17.5, 5), (17.5, 19), (15, 19))


def _frame_on(painter: QPainter, _: QColor) -> None:
    _filled(painter, (12.5, 7), (19, 12), (12.5, 17))
    _lines(painter, ((5.5, 5), (5.5, 19)))


def _frame_back(painter: QPainter, _: QColor) -> None:
    _filled(painter, (11.5, 7), (5, 12), (11.5, 17))
    _lines(painter, ((18.5, 5), (18.5, 19)))


def _loop(painter: QPainter, _: QColor) -> None:
    painter.drawArc(QRectF(4.5, 4.5, 15, 15), 40 * 16, 285 * 16)
    _lines(painter, ((14.5, 7.2), (18.4, 7.4), (19, 3.4)))


def _undo(painter: QPainter, _: QColor) -> None:
    path = QPainterPath(QPointF(5, 9))
    path.lineTo(14, 9)
    path.cubicTo(20, 9, 20, 18.5, 14, 18.5)
    path.lineTo(9, 18.5)
    painter.drawPath(path)
    _lines(painter, ((9, 5), (5, 9), (9, 13)))


def _redo(painter: QPainter, colour: QColor) -> None:
    painter.save()
    painter.translate(GRID, 0)
    painter.scale(-1, 1)
    _undo(painter, colour)
    painter.restore()


def _preview(painter: QPainter, _: QColor) -> None:
    painter.drawRoundedRect(QRectF(6, 2.5, 12, 19), 2.5, 2.5)
    _filled(painter, (10.2, 8), (14.8, 11), (10.2, 14))


def _take_home(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((12, 3.5), (12, 14.5)), ((7.8, 10.6), (12, 14.8), (16.2, 10.6)))
    _lines(painter, ((4.5, 15), (4.5, 20), (19.5, 20), (19.5, 15)))


def _open(painter: QPainter, _: QColor) -> None:
    _lines(
        painter,
        ((3.5, 19), (3.5, 5.5), (9, 5.5), (11, 8), (18.5, 8), (18.5, 11)),
        ((3.5, 19), (6.5, 11), (21.5, 11), (18.5, 19), (3.5, 19)),
    )


def _note(painter: QPainter, _: QColor) -> None:
    painter.drawRoundedRect(QRectF(4, 4.5, 16, 15), 2, 2)
    _lines(painter, ((12, 8.5), (12, 15.5)), ((8.5, 12), (15.5, 12)))


def _choose(painter: QPainter, _: QColor) -> None:
    _lines(
        painter, ((6, 4), (6, 17.5), (9.8, 14.2), (12.4, 20), (14.8, 19), (12.2, 13.3), (17, 13))
    )
    _lines(painter, ((17, 13), (6, 4)))


def _arrow(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((4.5, 19.5), (19, 5)), ((10.5, 4.8), (19.2, 4.8), (19.2, 13.5)))


def _ring(painter: QPainter, _: QColor) -> None:
    painter.drawEllipse(QRectF(4, 4, 16, 16))


def _shade(painter: QPainter, colour: QColor) -> None:
    veil = QColor(colour)
    veil.setAlphaF(0.35)
    painter.setBrush(veil)
    corners = ((4, 9), (13, 4), (20.5, 10), (16, 20), (6, 17.5))
    painter.drawPolygon(QPolygonF([QPointF(x, y) for x, y in corners]))
    painter.setBrush(Qt.BrushStyle.NoBrush)


def _stroke(painter: QPainter, _: QColor) -> None:
    path = QPainterPath(QPointF(3.5, 16))
    path.cubicTo(7, 3, 11, 5, 11, 11)
    path.cubicTo(11, 18, 15, 20, 20.5, 8)
    painter.drawPath(path)


def _line(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((4.5, 18.5), (19.5, 5.5)))
    _dots(painter, (4.5, 18.5), (19.5, 5.5), radius=1.2)


def _plumb(painter: QPainter, _: QColor) -> None:
    pen = QPen(painter.pen())
    pen.setDashPattern([1.6, 1.7])
    painter.setPen(pen)
    _lines(painter, ((12, 3), (12, 21)))
    pen.setStyle(Qt.PenStyle.SolidLine)
    painter.setPen(pen)
    _dots(painter, (12, 12))


def _joint(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((18.5, 4.5), (7, 12), (18.5, 19.5)))
    _dots(painter, (18.5, 4.5), (7, 12), (18.5, 19.5), radius=1.6)
    painter.drawArc(QRectF(1.5, 6.5, 11, 11), -33 * 16, 66 * 16)


def _tilt(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((7, 20), (18, 5.5)))
    _dots(painter, (7, 20), (18, 5.5), radius=1.6)
    pen = QPen(painter.pen())
    pen.setDashPattern([1.4, 1.8])
    painter.setPen(pen)
    _lines(painter, ((7, 20), (7, 3.5)))


def _span(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((4, 12), (20, 12)), ((4, 7), (4, 17)), ((20, 7), (20, 17)))
    _lines(painter, ((7.5, 9.2), (4.4, 12), (7.5, 14.8)), ((16.5, 9.2), (19.6, 12), (16.5, 14.8)))


def _between(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((3, 18.5), (21, 14)), ((4.5, 21), (16.5, 3.5)))
    painter.drawArc(QRectF(-1.5, 9, 18, 18), 12 * 16, 44 * 16)


def _point(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((6.5, 4), (9, 12)), ((9, 12), (16.5, 20)))
    _dots(painter, (6.5, 4), (9, 12), (16.5, 20), radius=1.7)
    pen = QPen(painter.pen())
    pen.setDashPattern([1.2, 1.7])
    painter.setPen(pen)
    _lines(painter, ((11.5, 4), (20.5, 4)), ((14, 12), (20.5, 12)))


def _scale(painter: QPainter, _: QColor) -> None:
    painter.drawRoundedRect(QRectF(2.5, 8, 19, 8.5), 1.2, 1.2)
    _lines(painter, *(((x, 8.5), (x, 8.5 + tall)) for x, tall in ((7, 3), (12, 4.5), (17, 3))))


def _plumb_line(painter: QPainter, _: QColor) -> None:
    _lines(painter, ((7, 3.5), (17, 3.5)), ((12, 3.5), (12, 13.5)))
    _filled(painter, (9, 14), (15, 14), (12, 21))


def _sound(painter: QPainter, _: QColor) -> None:
    _filled(painter, (3.5, 9.5), (7, 9.5), (11.5, 5.5), (11.5, 18.5), (7, 14.5), (3.5, 14.5))
    painter.drawArc(QRectF(9, 8, 8, 8), -50 * 16, 100 * 16)
    painter.drawArc(QRectF(7.5, 4.5, 13, 15), -50 * 16, 100 * 16)


def _mute(painter: QPainter, _: QColor) -> None:
    _filled(painter, (3.5, 9.5), (7, 9.5), (11.5, 5.5), (11.5, 18.5), (7, 14.5), (3.5, 14.5))
    _lines(painter, ((15, 9), (21, 15)), ((21, 9), (15, 15)))


_SIGNS: Final[dict[str, Callable[[QPainter, QColor], None]]] = {
    "play": _play,
    "pause": _pause,
    "frame_on": _frame_on,
    "frame_back": _frame_back,
    "loop": _loop,
    "undo": _undo,
    "redo": _redo,
    "preview": _preview,
    "take_home": _take_home,
    "open": _open,
    "note": _note,
    "choose": _choose,
    "arrow": _arrow,
    "ring": _ring,
    "shade": _shade,
    "stroke": _stroke,
    "line": _line,
    "plumb": _plumb,
    "joint": _joint,
    "tilt": _tilt,
    "span": _span,
    "between": _between,
    "point": _point,
    "scale": _scale,
    "plumb_line": _plumb_line,
    "sound": _sound,
    "mute": _mute,
}
