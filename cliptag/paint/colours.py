"""Colours: one for each kind, and those that a mark may choose.

Okabe & Ito's palette, made to be told apart by colour-blind eyes (Color Universal Design, 2008;
Wong, Nature Methods 2011;8:441). Colour never stands alone: each kind has a word and a shape too.
"""

from __future__ import annotations

from typing import Final

from PyQt6.QtGui import QColor

from cliptag.review import Kind, MarkColour

KIND_COLOURS: Final[dict[Kind, str]] = {
    "seen": "#56B4E9",
    "good": "#009E73",
    "try": "#E69F00",
    "exercise": "#CC79A7",
    "care": "#D55E00",
}

PALETTE: Final[dict[MarkColour, str]] = {
    "white": "#FFFFFF",
    "orange": "#E69F00",
    "sky": "#56B4E9",
    "green": "#009E73",
    "yellow": "#F0E442",
    "vermillion": "#D55E00",
    "purple": "#CC79A7",
}
"""Every mark colour but ``kind``, which is the colour of the note's kind."""

CASING: Final = "#0D1216"
"""The dark edge round everything that is drawn on the picture."""

PLATE: Final = "#0D1216"
PLATE_OPACITY: Final = 0.86
PLATE_TEXT: Final = "#FBFAF7"


def kind_colour(kind: Kind) -> QColor:
    """The colour of a kind."""
    return QColor(KIND_COLOURS[kind])


def mark_colour(colour: MarkColour, kind: Kind) -> QColor:
    """The colour that a mark is drawn in, in a note of the given kind."""
    return kind_colour(kind) if colour == "kind" else QColor(PALETTE[colour])


def plate_colour() -> QColor:
    """The translucent near-black behind every text on the picture."""
    colour = QColor(PLATE)
    colour.setAlphaF(PLATE_OPACITY)
    return colour
