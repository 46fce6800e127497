"""Captions on their plate."""

from __future__ import annotations

import numpy as np
import pytest
import wcag_contrast_ratio
from hypothesis import given, settings
from hypothesis import strategies as st
from paint.canvas import AROUND, colour_at, edges, ink_box, is_near, painted
from paint.contrast import contrast

from cliptag.paint import (
    KIND_COLOURS,
    CaptionText,
    Sizes,
    caption_box,
    caption_heading,
    line_fits,
    paint_caption,
    text_width_px,
)
from cliptag.paint.captions import _line
from cliptag.paint.colours import PLATE_TEXT
from cliptag.paint.text import clean_line, lay_out
from cliptag.review import KIND_WORDS, REGION_WORDS

W, H = 540, 960
SIZES = Sizes(W, H)
LINES = ("Let the knee travel forward,", "over the middle toes.")
CAPTION = CaptionText(LINES, "Try this · Knees", "try", "bottom")

texts = st.one_of(
    st.text(max_size=80),
    st.text(alphabet="abc אבג عرب नम 漢字 😀", max_size=80),
    st.text(alphabet="Wm", min_size=30, max_size=120),
)
pictures = st.sampled_from([(540, 960), (960, 540), (480, 480), (176, 144), (1920, 800)])


def paint(caption: CaptionText, sizes: Sizes = SIZES, **canvas):
    return painted(
        sizes.picture_width,
        sizes.picture_height,
        lambda p: paint_caption(p, caption, sizes),
        **canvas,
    )


# -- contrast -----------------------------------------------------------------------------------


def test_the_formula_gives_the_known_pairs():
    """Values printed by W3C: 4.54 from 'Understanding 1.4.3', the others from its techniques."""
    white = (255, 255, 255)
    assert contrast((0x76,) * 3, white) == pytest.approx(4.54, abs=0.005)
    assert contrast((0xCA, 0, 0), white) == pytest.approx(5.98, abs=0.005)
    assert contrast((0, 0, 0), white) == 21.0


@pytest.mark.parametrize("ground", ["#000000", "#ffffff", "#ff0000", "#00ff00", "#ffff00"])
def test_text_on_its_plate_has_enough_contrast_on_any_picture(ground):
    """WCAG 2.2, 1.4.6 (AAA) asks 7:1; checked by the formula and by wcag-contrast-ratio."""
    pixels = paint(CAPTION, ground=ground)
    left, top, right, _ = edges(caption_box(CAPTION, SIZES))
    plate = colour_at(pixels, (left + right) / 2, top + 4)
    inside = pixels[int(top) + 10 : int(top) + 100, int(left) + 10 : int(right) - 10, :3]
    inside = inside.reshape(-1, 3)
    text = tuple(inside[inside.sum(axis=1).argmax()].tolist())
    assert is_near(text, PLATE_TEXT, 2)
    assert contrast(text, plate) >= 7.0
    by_library = wcag_contrast_ratio.rgb(*(tuple(c / 255 for c in x) for x in (text, plate)))
    assert by_library == pytest.approx(contrast(text, plate), rel=1e-3)


@pytest.mark.parametrize("kind", KIND_COLOURS)
def test_the_kinds_shape_stands_out_from_the_plate_on_any_picture(kind):
    """WCAG 2.2, 1.4.11 asks 3:1 of graphics."""
    for ground in ("#000000", "#ffffff"):
        caption = CaptionText(LINES, "Knees", kind, "bottom")
        pixels = paint(caption, ground=ground)
        left, top, right, _ = edges(caption_box(caption, SIZES))
        plate = colour_at(pixels, (left + right) / 2, top + 4)
        colour = tuple(bytes.fromhex(KIND_COLOURS[kind][1:]))
        assert contrast(colour, plate) >= 3.0


# -- size and place -----------------------------------------------------------------------------


def test_a_caption_is_large_enough_for_a_phone_held_upright():
    """At 360 points of width, 18 of them: above the 16 that browsers take as body text."""
    assert Sizes(1080, 1920).caption_px * 360 / 1080 >= 16
    assert Sizes(1080, 1920).caption_px == 54


@settings(max_examples=150, deadline=None)
@given(
    st.lists(texts, max_size=2).map(tuple),
    texts,
    st.sampled_from([None, *KIND_COLOURS]),
    st.sampled_from(["top", "bottom"]),
    pictures,
)
def test_any_caption_stays_in_its_box_and_within_nine_tenths_of_the_width(
    lines, heading, kind, place, picture
):
    sizes = Sizes(*picture)
    caption = CaptionText(lines, heading, kind, place)
    left, top, right, bottom = edges(caption_box(caption, sizes))
    assert right - left <= 0.9 * sizes.picture_width + 2
    assert left >= 0 and top >= 0
    assert right <= sizes.picture_width and bottom <= sizes.picture_height
    ink = ink_box(paint(caption, sizes, around=AROUND), AROUND)
    assert ink is not None
    assert ink[0] >= left and ink[1] >= top and ink[2] <= right and ink[3] <= bottom


@pytest.mark.parametrize("picture", [(540, 960), (960, 540), (176, 144)])
def test_captions_stand_in_their_half_clear_of_the_edge(picture):
    sizes = Sizes(*picture)
    for place in ("top", "bottom"):
        box = caption_box(CaptionText(LINES, "Knees", "try", place), sizes)
        room = box.top() if place == "top" else sizes.picture_height - box.bottom()
        assert room >= 0.04 * sizes.picture_height
        assert abs(box.center().x() - sizes.picture_width / 2) <= 1
        assert box.height() < 0.55 * sizes.picture_height


@settings(max_examples=200, deadline=None)
@given(texts, pictures)
def test_a_line_that_fits_is_painted_at_full_size_in_one_line(text, picture):
    sizes = Sizes(*picture)
    line = _line(clean_line(text), sizes, right_to_left=False)
    assert line.line_count == 1
    if line_fits(text, sizes):
        assert line.is_whole and line.px == sizes.caption_px


def test_a_line_fits_up_to_the_plates_padding():
    letters = "n" * 200
    fitting = max(n for n in range(200) if line_fits(letters[:n], SIZES))
    assert 20 < fitting < 40
    assert text_width_px(letters[:fitting], SIZES) <= 0.9 * W - 2 * SIZES.plate_pad_x
    assert text_width_px(letters[: fitting + 1], SIZES) > 0.9 * W - 2 * SIZES.plate_pad_x


def test_a_word_that_is_too_long_shrinks_and_is_cut_short_at_the_last():
    word = "W" * 28
    assert not line_fits(word, SIZES)
    narrow = ink_box(paint(CaptionText((word,), "", None, "top")))
    cut = ink_box(paint(CaptionText((word * 5,), "", None, "top")))
    assert narrow is not None and cut is not None
    for box in (narrow, cut):
        assert box[2] - box[0] <= 0.9 * W + 2


# -- what it says -------------------------------------------------------------------------------


def test_the_heading_tells_kind_and_region():
    assert caption_heading("try", "knees") == "Try this · Knees"
    assert caption_heading(None, "whole") == "Overall"
    headings = {caption_heading(kind, region) for kind in KIND_WORDS for region in REGION_WORDS}
    assert len(headings) == len(KIND_WORDS) * len(REGION_WORDS)


def test_the_impression_has_no_shape_and_the_kinds_have_theirs():
    plain = paint(CaptionText(LINES, "Overall", None, "bottom"))
    assert not coloured_columns(plain).size
    for kind in KIND_COLOURS:
        assert coloured_columns(paint(CaptionText(LINES, "Knees", kind, "bottom"))).size


@pytest.mark.parametrize(
    ("lines", "is_right_to_left"),
    [
        (LINES, False),
        (("اترك الركبة تتحرك", "إلى الأمام."), True),
        (("תנו לברך לנוע", "Pilates קדימה"), True),
    ],
)
def test_the_shape_stands_where_reading_starts(lines, is_right_to_left):
    caption = CaptionText(lines, "Try this · Knees", "try", "bottom")
    columns = coloured_columns(paint(caption))
    assert (columns.mean() > W / 2) == is_right_to_left


def test_arabic_is_laid_out_from_the_right():
    block = lay_out("اترك الركبة", 40, 400)
    line = block.layout.lineAt(0)
    (start, _), (end, _) = line.cursorToX(0), line.cursorToX(len("اترك الركبة"))
    assert start > end and start == pytest.approx(400, abs=1)


def test_a_latin_word_that_starts_the_second_line_does_not_turn_it_round():
    both = CaptionText(("תנו לברך לנוע", "Pilates."), "", None, "bottom")
    pixels = paint(both)
    box = ink_box(pixels)
    assert box is not None
    lower = pixels[box[3] - SIZES.caption_px : box[3] - 8, :, :3].max(axis=2) > 150
    columns = np.nonzero(lower.any(axis=0))[0]
    gaps = np.diff(columns)
    # The full stop stands at the left: small ink, then a gap, then the word.
    assert gaps[:8].max() >= 2


@pytest.mark.parametrize("dirt", ["\n", "\t", "\x00", "\r\n", "\u2028"])
def test_control_characters_do_not_break_a_line(dirt):
    assert clean_line(f"one{dirt}two") == "one two"


def test_half_an_emoji_does_not_break_a_caption():
    caption = CaptionText(("half \ud83d",), "x\udc00", "try", "top")
    assert ink_box(paint(caption)) is not None


def test_a_scaled_painter_paints_the_same_as_a_larger_picture():
    zoomed = paint(CAPTION, scale=2.0)
    large = paint(CAPTION, Sizes(2 * W, 2 * H))
    difference = np.abs(zoomed.astype(int) - large.astype(int)).max(axis=2)
    inked = large[..., 3] > 0
    # Qt rounds a font's height to pixels, so lines may lie half a pixel apart.
    assert difference[inked].mean() < 8.0
    assert (difference > 100).sum() < 0.04 * inked.sum()


def coloured_columns(pixels):
    """The columns with a strong hue: those of the kind's shape."""
    colours = pixels[..., :3].astype(int)
    return np.nonzero(((colours.max(axis=2) - colours.min(axis=2)) > 60).any(axis=0))[0]
