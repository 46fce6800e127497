"""Pictures to paint on in tests, and marks of every type to paint."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QColor, QImage, QPainter

from cliptag.paint import rgba_of
from cliptag.review import (
    Arrow,
    Between,
    Joint,
    Line,
    Mark,
    Plumb,
    Point,
    Ring,
    Shade,
    Span,
    Stroke,
    Tilt,
)

Pixels = NDArray[np.uint8]
AROUND = 40
"""How far the canvas reaches beyond the picture, so that painting outside would be seen."""

MARKS: tuple[Mark, ...] = (
    Arrow(id="arrow", tail=Point(300, 200), head=Point(160, 330), label="Let it drop"),
    Ring(id="ring", centre=Point(200, 300), radius_x=70, radius_y=50, label="Weight here"),
    Shade(
        id="shade",
        corners=(Point(120, 300), Point(330, 280), Point(350, 420), Point(140, 430)),
        label="Keep this long",
    ),
    Stroke(
        id="stroke",
        points=tuple(Point(80 + 5 * i, 400 + 50 * np.sin(i / 8)) for i in range(60)),
        label="Like this",
    ),
    Line(id="line", a=Point(90, 500), b=Point(400, 430), label="Shoulders"),
    Plumb(id="plumb", through=Point(270, 520), label="Plumb"),
    Joint(
        id="joint",
        joint="knee",
        proximal=Point(150, 350),
        vertex=Point(320, 420),
        distal=Point(260, 640),
    ),
    Tilt(id="tilt", segment="trunk", lower=Point(250, 650), upper=Point(330, 400)),
    Span(id="span", a=Point(150, 700), b=Point(380, 660), axis="across"),
    Between(
        id="between", a=Point(120, 800), b=Point(260, 760), c=Point(420, 640), d=Point(330, 720)
    ),
)


def painted(
    width: int,
    height: int,
    paint: Callable[[QPainter], None],
    *,
    scale: float = 1.0,
    ground: str | None = None,
    around: int = 0,
) -> Pixels:
    """(H, W, 4) premultiplied RGBA of what ``paint`` paints, ``around`` pixels wider all round.

    The canvas is transparent, or of the colour ``ground``.
    """
    size = round(width * scale) + 2 * around, round(height * scale) + 2 * around
    image = QImage(*size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(QColor(ground) if ground else QColor(0, 0, 0, 0))
    painter = QPainter(image)
    painter.translate(around, around)
    painter.scale(scale, scale)
    paint(painter)
    painter.end()
    return rgba_of(image)


def ink_box(pixels: Pixels, around: int = 0) -> tuple[int, int, int, int] | None:
    """Left, top, right, bottom of all that is not transparent, in picture pixels."""
    rows, columns = np.nonzero(pixels[..., 3])
    if not len(rows):
        return None
    return (
        int(columns.min()) - around,
        int(rows.min()) - around,
        int(columns.max()) + 1 - around,
        int(rows.max()) + 1 - around,
    )


def edges(rect: QRectF) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a rectangle."""
    return rect.left(), rect.top(), rect.right(), rect.bottom()


def colour_at(pixels: Pixels, x: float, y: float) -> tuple[int, int, int]:
    """The colour of the pixel that a point lies in."""
    red, green, blue, _ = pixels[int(y), int(x)].tolist()
    return red, green, blue


def is_near(colour: tuple[int, int, int], wanted: str | QColor, within: int = 12) -> bool:
    """Whether a colour is that one but for antialiasing."""
    target = QColor(wanted)
    return all(
        abs(a - b) <= within
        for a, b in zip(colour, (target.red(), target.green(), target.blue()), strict=True)
    )
