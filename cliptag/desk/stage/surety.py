"""How surely a point is being placed: from the sharpness of the shown frame and the zoom."""

from __future__ import annotations

import threading
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRect
from PyQt6.QtGui import QImage

from cliptag.review import Mark, Point, is_measuring, points_of

_RADIUS_PX: Final = 16
_LEAST_PX: Final = 5


class Surety:
    """Knows the picture and the zoom of now."""

    def __init__(self) -> None:
        self._image = QImage()
        self._zoom = 1.0
        self._is_loading = False

    def show(self, image: QImage, is_exact: bool) -> None:
        """The stage shows another picture; only a frame's own is measured."""
        self._image = image if is_exact else QImage()

    def look(self, zoom: float) -> None:
        """A picture pixel is so many pixels of the screen wide."""
        self._zoom = zoom

    def get_ready(self) -> None:
        """Load what measuring sharpness needs, which takes a second, before the first click."""
        if not self._is_loading:
            self._is_loading = True
            # No daemon: Python's end would cut it off amid C++ code, which aborts the program.
            threading.Thread(target=_load, name="desk surety").start()

    def sd_px(self, at: Point) -> float | None:
        """Standard deviation in picture pixels along each axis of a point that is placed here.

        None where the frame itself isn't shown (yet), or is too small to tell.
        """
        patch = grey_patch(self._image, at)
        if min(patch.shape) < _LEAST_PX:
            return None
        from cliptag.measure import placement_sd

        return round(placement_sd(patch, self._zoom), 3)


class Placements:
    """How surely each point of the measuring marks was placed, as long as it stays there."""

    def __init__(self, surety: Surety) -> None:
        self._surety = surety
        self._sd_px: dict[tuple[str, int, Point], float] = {}

    def measured(self, mark: Mark) -> Mark:
        """A mark that was just drawn, with the standard deviation of its least sure point."""
        for which, point in enumerate(points_of(mark) if is_measuring(mark) else ()):
            self._keep(mark.id, which, point, self._surety.sd_px(point))
        return self._with_sd(mark, mark)

    def moved(self, old: Mark, new: Mark, which: int, sd_px: float | None) -> Mark:
        """A mark one of whose points was moved; the others are as sure as they were."""
        if not is_measuring(new):
            return new
        point = points_of(new)[which]
        self._keep(new.id, which, point, sd_px or self._surety.sd_px(point))
        return self._with_sd(new, old)

    def _keep(self, mark_id: str, which: int, point: Point, sd_px: float | None) -> None:
        if sd_px is not None:
            self._sd_px[mark_id, which, point] = sd_px

    def _with_sd(self, mark: Mark, old: Mark) -> Mark:
        if not is_measuring(mark) or not is_measuring(old):
            return mark
        usual = old.placement_sd_px
        sds = [
            self._sd_px.get((mark.id, which, point), usual)
            for which, point in enumerate(points_of(mark))
        ]
        known = [sd for sd in sds if sd is not None]
        # Where one isn't known, the review's usual one holds for the whole mark.
        sd_px = max(known) if len(known) == len(sds) else None
        return msgspec.structs.replace(mark, placement_sd_px=sd_px)


def grey_patch(image: QImage, at: Point) -> NDArray[np.uint8]:
    """The picture round a place in shades of grey, uint8 (h, w); empty where there is none."""
    x, y = (
        min(max(int(place), 0), side - 1)
        for place, side in ((at.x, image.width()), (at.y, image.height()))
    )
    side = 2 * _RADIUS_PX + 1
    box = QRect(x - _RADIUS_PX, y - _RADIUS_PX, side, side) & image.rect()
    grey = image.copy(box).convertToFormat(QImage.Format.Format_Grayscale8)
    data = grey.constBits()
    if data is None or box.isEmpty():
        return np.zeros((0, 0), np.uint8)
    rows = np.frombuffer(data.asstring(grey.sizeInBytes()), np.uint8)
    return rows.reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()].copy()


def _load() -> None:
    import cliptag.measure

    _ = cliptag.measure.placement_sd
