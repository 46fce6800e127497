"""How large everything is, from the picture's size alone.

A picture is made to be watched on a phone held upright, about 360 points wide: what counts is the
width. ``unit`` is a hundredth of it. A landscape picture is watched with the phone turned as well,
so there the width counts only up to 1.2 times the height.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QRectF

from cliptag.review import MarkWeight

_SMALLEST_TEXT_PX: Final = 9
_WEIGHTS: Final[dict[MarkWeight, float]] = {"fine": 0.65, "normal": 1.0, "bold": 1.6}


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes in pixels of a picture of ``picture_width`` x ``picture_height`` pixels.

    ``caption_scale`` makes captions and their headings so many times as large. ``panels`` are the
    pictures that stand on it, (left, top, width, height) each, where it is a sheet of several.
    """

    picture_width: int
    picture_height: int
    caption_scale: float = 1.0
    panels: tuple[tuple[float, float, float, float], ...] = ()

    def __post_init__(self) -> None:
        if self.picture_width <= 0 or self.picture_height <= 0:
            raise ValueError("a picture needs a width and a height above 0")
        if not 0.5 <= self.caption_scale <= 2.0:
            raise ValueError("captions can be from half as large to twice as large")

    @property
    def unit(self) -> float:
        """A hundredth of the width that counts."""
        return min(self.picture_width, 1.2 * self.picture_height) / 100.0

    @property
    def picture(self) -> QRectF:
        """The picture's rectangle, its top left corner at (0, 0)."""
        return QRectF(0.0, 0.0, self.picture_width, self.picture_height)

    def panel_at(self, x: float, y: float) -> QRectF:
        """The panel round a place, or the whole picture where it is on none."""
        rects = (QRectF(*panel) for panel in self.panels)
        return next((rect for rect in rects if rect.contains(x, y)), self.picture)

    @property
    def caption_px(self) -> int:
        """Font size of a caption: 54 px at 1080 x 1920."""
        return self.text_px(5.0 * self.caption_scale)

    @property
    def heading_px(self) -> int:
        """Font size of the heading above a caption."""
        return self.text_px(3.6 * self.caption_scale)

    @property
    def label_px(self) -> int:
        """Font size of a mark's label."""
        return self.text_px(3.5)

    @property
    def margin_x(self) -> float:
        """What stays free at the left and at the right of a caption."""
        return 0.05 * self.picture_width

    @property
    def margin_y(self) -> float:
        """What stays free above and below a caption, for a phone player's own buttons."""
        return 0.05 * self.picture_height

    @property
    def caption_width(self) -> float:
        """The widest that a caption's plate may be: 90 % of the picture."""
        return self.picture_width - 2.0 * self.margin_x

    @property
    def plate_pad_x(self) -> float:
        return 0.6 * self.caption_px

    @property
    def plate_pad_y(self) -> float:
        return 0.34 * self.caption_px

    @property
    def caption_text_width(self) -> float:
        """The widest that a caption's line may be."""
        return self.caption_width - 2.0 * self.plate_pad_x

    @property
    def casing(self) -> float:
        """Width of the dark edge on each side of a mark's line."""
        return max(0.75, 0.26 * self.unit)

    def line(self, weight: MarkWeight) -> float:
        """Width of a mark's line without its dark edge."""
        return max(1.0, 0.72 * self.unit * _WEIGHTS[weight])

    def text_px(self, units: float) -> int:
        """A font size of so many units, never below what a font can be read at."""
        return max(_SMALLEST_TEXT_PX, round(units * self.unit))
