"""Where the picture lies on the stage: picture pixels to the stage's and back, zoom and pan."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

CLOSEST: Final = 24.0
"""The largest zoom: a picture pixel is so many stage pixels wide."""
STEP: Final = 1.25
"""One step of zooming in or out."""
_SAME: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Viewport:
    """A picture in an area of the stage, at a zoom.

    Lengths of the area are in device-independent pixels from its top left corner; ``zoom`` is how
    many of them a picture pixel is wide. ``left`` and ``top`` are where the picture's corner lies.
    ``pixel`` is the size of one of the screen's own pixels; the picture's corner always lies on
    one, so that the picture is sharp at its own size. ``is_whole``: the picture is fitted into the
    area and stays so when the area changes.
    """

    picture: tuple[int, int]
    area: tuple[float, float]
    pixel: float
    zoom: float
    left: float
    top: float
    is_whole: bool

    @classmethod
    def fitted(
        cls, picture: tuple[int, int], area: tuple[float, float], pixel: float = 1.0
    ) -> Viewport:
        """The whole picture, as large as the area allows, in its middle."""
        zoom = _whole_zoom(picture, area)
        return cls(picture, area, pixel, zoom, *_centred(picture, area, zoom, pixel), True)

    def to_picture(self, x: float, y: float) -> tuple[float, float]:
        """The place on the picture under a place of the area."""
        return (x - self.left) / self.zoom, (y - self.top) / self.zoom

    def to_area(self, x: float, y: float) -> tuple[float, float]:
        """The place of the area where a place of the picture is shown."""
        return x * self.zoom + self.left, y * self.zoom + self.top

    def inside(self, x: float, y: float) -> tuple[float, float]:
        """The place of the picture that is nearest to a place on or off it."""
        width, height = self.picture
        return min(max(x, 0.0), float(width)), min(max(y, 0.0), float(height))

    @property
    def size(self) -> tuple[float, float]:
        """The picture's size in the area."""
        return self.picture[0] * self.zoom, self.picture[1] * self.zoom

    @property
    def limits(self) -> tuple[float, float]:
        """The smallest and the largest zoom: from the whole picture to its pixels."""
        whole = _whole_zoom(self.picture, self.area)
        return min(whole, self.pixel), max(whole, CLOSEST)

    def zoomed(self, factor: float, x: float, y: float) -> Viewport:
        """Closer, or farther with a factor below 1; what is under (x, y) stays there."""
        return self.with_zoom(self.zoom * factor, x, y)

    def with_zoom(self, zoom: float, x: float, y: float) -> Viewport:
        """At a zoom within the limits; what is under (x, y) stays there.

        Beside the picture, its nearest place counts. Where the whole picture is reached on the way
        out, it is fitted.
        """
        least, most = self.limits
        whole = _whole_zoom(self.picture, self.area)
        zoom = min(max(zoom, least), most)
        if abs(zoom - whole) <= whole * _SAME or zoom < whole < self.zoom * (1.0 - _SAME):
            return Viewport.fitted(self.picture, self.area, self.pixel)
        if zoom < whole:
            return self._placed(zoom, *_centred(self.picture, self.area, zoom, self.pixel))
        fixed_x, fixed_y = self.inside(*self.to_picture(x, y))
        x, y = self.to_area(fixed_x, fixed_y)
        return self._placed(zoom, x - fixed_x * zoom, y - fixed_y * zoom)

    def panned(self, by_x: float, by_y: float) -> Viewport:
        """Shifted; the middle of the area always stays over the picture."""
        return self._placed(self.zoom, self.left + by_x, self.top + by_y)

    def in_area(self, area: tuple[float, float], pixel: float) -> Viewport:
        """The same view in an area of another size: what is in its middle stays there."""
        if self.is_whole:
            return Viewport.fitted(self.picture, area, pixel)
        by_x, by_y = ((new - old) / 2.0 for new, old in zip(area, self.area, strict=True))
        moved = replace(self, area=area, pixel=pixel)
        return moved._placed(self.zoom, self.left + by_x, self.top + by_y)

    def showing(self, x: float, y: float, margin: float) -> Viewport:
        """Shifted as little as shows a place of the picture ``margin`` inside the area."""
        at = self.to_area(x, y)
        by = []
        for place, length in zip(at, self.area, strict=True):
            inset = min(margin, length / 2.0)
            by.append(min(max(place, inset), length - inset) - place)
        return self if by == [0.0, 0.0] else self.panned(*by)

    def _placed(self, zoom: float, left: float, top: float) -> Viewport:
        corner = []
        for place, length, room in zip((left, top), self.picture, self.area, strict=True):
            kept = min(max(place, room / 2.0 - length * zoom), room / 2.0)
            corner.append(_on_grid(kept, self.pixel))
        return replace(self, zoom=zoom, left=corner[0], top=corner[1], is_whole=False)


def _whole_zoom(picture: tuple[int, int], area: tuple[float, float]) -> float:
    return max(min(area[0] / picture[0], area[1] / picture[1]), 1e-3)


def _centred(
    picture: tuple[int, int], area: tuple[float, float], zoom: float, pixel: float
) -> tuple[float, float]:
    left, top = ((room - zoom * length) / 2.0 for room, length in zip(area, picture, strict=True))
    return _on_grid(left, pixel), _on_grid(top, pixel)


def _on_grid(place: float, pixel: float) -> float:
    return round(place / pixel) * pixel
