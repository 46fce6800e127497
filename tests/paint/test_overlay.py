"""What is blended over a video's picture is what would have been painted on it."""

from __future__ import annotations

import numpy as np
import pytest
from paint.canvas import MARKS, painted

from cliptag.paint import (
    CaptionText,
    Overlay,
    ShownMark,
    Sizes,
    caption_box,
    paint_caption,
    paint_marks,
    paint_overlay,
)
from cliptag.review import Line, Point

W, H = 540, 960
SIZES = Sizes(W, H)
CAPTION = CaptionText(("Let the knee travel forward.",), "Try this · Knees", "try", "bottom")
SHOWN = tuple(ShownMark(mark, "try", "12° ± 1°") for mark in MARKS[6:8])


@pytest.mark.parametrize(
    "overlay",
    [
        Overlay(SHOWN, CAPTION, (CAPTION,), 2.0),
        Overlay(SHOWN),
        Overlay(caption=CAPTION),
    ],
)
@pytest.mark.parametrize("scale", [1.0, 0.5])
def test_the_box_holds_all_that_is_painted_pixel_for_pixel(overlay, scale):
    keep_clear = [caption_box(caption, SIZES) for caption in overlay.keep_clear]

    def everything(painter):
        paint_marks(
            painter, overlay.marks, SIZES, plumb_deg=overlay.plumb_deg, keep_clear=keep_clear
        )
        if overlay.caption:
            paint_caption(painter, overlay.caption, SIZES)

    expected = painted(W, H, everything, scale=scale)
    size = round(W * scale), round(H * scale)
    box = paint_overlay(overlay, SIZES, (scale, scale), size)
    assert box is not None
    height, width = box.rgba.shape[:2]
    assert not any(n % 2 for n in (box.left, box.top, width, height))
    pasted = np.zeros_like(expected)
    pasted[box.top : box.top + height, box.left : box.left + width] = box.rgba
    assert np.array_equal(pasted, expected)


def test_nothing_to_paint_is_no_box():
    outside = ShownMark(Line(id="l", a=Point(-900, 5), b=Point(-300, 90)), "try")
    for overlay in (Overlay(), Overlay((outside,))):
        assert paint_overlay(overlay, SIZES, (1.0, 1.0), (W, H)) is None
