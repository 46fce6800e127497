"""The telling picture of a note: its frame with its marks, cut to what they speak of."""

from __future__ import annotations

import io
from collections.abc import Iterable, Mapping
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from cliptag.clip import Clip
from cliptag.export.scene import Scene
from cliptag.paint import Overlay, Sizes, label_boxes, paint_overlay
from cliptag.review import Mark, Note, Ring, points_of
from cliptag.times import frame_at

Rgb: TypeAlias = NDArray[np.uint8]
Stills: TypeAlias = Mapping[str, Rgb]
"""(H, W, 3) by note id."""

PICTURE_WIDTH: Final = 480
"""Pixels: what a phone shows sharply, and what 40 mm of paper take."""

ASPECT: Final = 0.8
"""Width by height: four to five, of which two stand side by side on a phone held across."""
_LEAST_SHARE: Final = 0.62
"""Of the largest cut that the picture holds: less wouldn't tell where on the client it is."""
_MARGIN: Final = 0.08
_WEBP_QUALITY: Final = 72


def stills_of(
    notes: Iterable[Note], clip: Clip, scene: Scene, *, width: int = PICTURE_WIDTH
) -> dict[str, Rgb]:
    """A picture for each note with marks, at most ``width`` pixels wide.

    Raises ClipError when the clip can't be decoded there.
    """
    sizes = Sizes(clip.info.width, clip.info.height)
    stills = {}
    for note in notes:
        if note.marks:
            rgb = clip.frame(frame_at(clip.times_us, note.start_us)).rgb
            overlay = scene.still(note.id)
            left, top, right, bottom = _cut(note, overlay, sizes)
            cut = _painted(rgb, overlay, sizes)[top:bottom, left:right]
            stills[note.id] = smaller(cut, width)
    return stills


def webp_of(rgb: Rgb) -> bytes:
    """The picture as WebP, small enough for a client with little data."""
    stream = io.BytesIO()
    Image.fromarray(rgb).save(stream, "WEBP", quality=_WEBP_QUALITY, method=6)
    return stream.getvalue()


def smaller(rgb: Rgb, width: int) -> Rgb:
    """The picture, not wider than so many pixels."""
    height, full = rgb.shape[:2]
    if full <= width:
        return np.ascontiguousarray(rgb)
    size = width, max(1, round(height * width / full))
    return np.asarray(Image.fromarray(rgb).resize(size, Image.Resampling.LANCZOS))


def _painted(rgb: Rgb, overlay: Overlay, sizes: Sizes) -> Rgb:
    height, width = rgb.shape[:2]
    even = width // 2 * 2, height // 2 * 2
    box = paint_overlay(overlay, sizes, (1.0, 1.0), even)
    if box is None:
        return rgb
    painted = rgb.copy()
    rows = slice(box.top, box.top + box.rgba.shape[0])
    columns = slice(box.left, box.left + box.rgba.shape[1])
    under = painted[rows, columns].astype(np.uint16)
    clear = 255 - box.rgba[..., 3:].astype(np.uint16)
    painted[rows, columns] = box.rgba[..., :3] + ((under * clear + 127) // 255).astype(np.uint8)
    return painted


def _cut(note: Note, overlay: Overlay, sizes: Sizes) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of the part to show, in whole pixels."""
    width, height = sizes.picture_width, sizes.picture_height
    most = min(height, width / ASPECT)
    left, top, right, bottom = _touched(note.marks, overlay, sizes)
    margin = _MARGIN * most
    wanted = max(
        bottom - top + 2 * margin, (right - left + 2 * margin) / ASPECT, _LEAST_SHARE * most
    )
    tall = min(most, wanted)
    wide = tall * ASPECT
    x = min(max((left + right - wide) / 2, 0.0), width - wide)
    y = min(max((top + bottom - tall) / 2, 0.0), height - tall)
    return int(x), int(y), round(x + wide), round(y + tall)


def _touched(
    marks: Iterable[Mark], overlay: Overlay, sizes: Sizes
) -> tuple[float, float, float, float]:
    """The box of all points, rings and labels."""
    xs: list[float] = []
    ys: list[float] = []
    for mark in marks:
        for point in points_of(mark):
            reach_x = mark.radius_x if isinstance(mark, Ring) else 0.0
            reach_y = mark.radius_y if isinstance(mark, Ring) else 0.0
            xs += [point.x - reach_x, point.x + reach_x]
            ys += [point.y - reach_y, point.y + reach_y]
    for box in label_boxes(overlay.marks, sizes, plumb_deg=overlay.plumb_deg):
        if not box.isEmpty():
            xs += [box.left(), box.right()]
            ys += [box.top(), box.bottom()]
    return min(xs), min(ys), max(xs), max(ys)
