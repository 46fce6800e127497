"""Title and closing cards: all their words, nothing cut off, nothing on top of each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paint.contrast import contrast
from PyQt6.QtCore import QRectF, QSize
from PyQt6.QtGui import QColor, QImage

from cliptag.paint import ClosingText, Exercise, TitleText, closing_card, rgba_of, title_card
from cliptag.paint import card_page as look
from cliptag.paint.closing_card import _compose as compose_closing
from cliptag.paint.text import clean_line, clean_paragraphs
from cliptag.paint.title_card import _compose as compose_title
from cliptag.review import DEFAULT_CAUTION

SIZES = [(1080, 1920), (1920, 1080), (360, 640), (640, 360), (480, 480), (2160, 3840), (176, 144)]
by_size = pytest.mark.parametrize("size", SIZES, ids=lambda s: f"{s[0]}x{s[1]}")
PHONE = [size for size in SIZES if min(size) >= 360]

TITLE = TitleText(
    client="Ines",
    movement="Sitting down and standing up",
    date="2 March 2026",
    week="Week 1",
    coach="Tilda",
    caution=DEFAULT_CAUTION,
)
CLOSING = ClosingText(
    exercises=(
        Exercise("Stand up from the stool without your hands.", "3 × 8, every second day"),
        Exercise("Slide your hands down your thighs and back up, your back long.", "2 × 10"),
        Exercise("Look at the horizon as you rise."),
    ),
    caution=DEFAULT_CAUTION,
    coach="Tilda",
)

words = st.one_of(
    st.text(max_size=200),
    st.text(alphabet="ab cdé नम עב عر 漢字 😀\n", max_size=400),
    st.text(alphabet="W", min_size=50, max_size=200),
)


def pixels_of(image: QImage) -> np.ndarray:
    return rgba_of(image)[..., :3].astype(int)


def assert_margins_empty(image: QImage) -> None:
    """Only paper, floor, plumb line and panel reach into the margin."""
    pixels = pixels_of(image)
    height, width = pixels.shape[:2]
    ink = pixels.max(axis=2) < 140
    margin = round(0.02 * min(width, height))
    edge = np.ones((height, width), bool)
    edge[:, margin : width - margin] = False
    assert not (ink & edge).any(), "left and right"
    assert not ink[height - margin :].any(), "bottom"


def assert_apart(boxes: list[QRectF]) -> None:
    for i, first in enumerate(boxes):
        for second in boxes[i + 1 :]:
            overlap = first.intersected(second)
            assert min(overlap.width(), overlap.height()) <= 0.01, (first, second)


# -- colours ------------------------------------------------------------------------------------


@pytest.mark.parametrize("ground", [look.PAPER, look.FLOOR, look.PANEL])
@pytest.mark.parametrize("ink", [look.INK, look.QUIET_INK, look.ACCENT])
def test_text_has_enough_contrast_wherever_it_may_stand(ink, ground):
    """WCAG 2.2, 1.4.6 (AAA): 7:1."""
    assert contrast(QColor(ink).getRgb()[:3], QColor(ground).getRgb()[:3]) >= 7.0


# -- title --------------------------------------------------------------------------------------


@by_size
def test_a_title_card_has_the_asked_size_and_empty_margins(size):
    card = title_card(size, TITLE)
    assert (card.width(), card.height()) == size
    assert_margins_empty(card)


def test_a_size_may_be_qts():
    assert title_card(QSize(90, 160), TITLE).size() == QSize(90, 160)
    assert closing_card(QSize(90, 160), CLOSING)[0].size() == QSize(90, 160)


@pytest.mark.parametrize("size", PHONE)
def test_a_usual_title_card_shows_every_word_in_full(size):
    title = compose_title(size, TITLE)
    shown = " ".join(placed.block.text for placed in title.rows)
    for text in ("Movement review", "Ines", TITLE.movement, "2 March 2026 · Week 1", "Tilda"):
        assert text in shown
    assert all(placed.block.is_whole for placed in title.rows)
    assert title.caution is not None
    assert title.caution.is_whole and title.caution.text == DEFAULT_CAUTION


@settings(max_examples=80, deadline=None)
@given(st.builds(TitleText, *[words] * 6), st.sampled_from(SIZES))
def test_nothing_on_a_title_card_overlaps_or_leaves_the_page(text, size):
    title = compose_title(size, text)
    boxes = [placed.box for placed in title.rows]
    if title.caution is not None:
        boxes.append(title.page.caution_panel(title.caution))
    assert_apart(boxes)
    if min(size) >= 360:
        for box in boxes:
            assert title.page.inside.adjusted(-0.5, -0.5, 0.5, 0.5).contains(box)


@settings(max_examples=80, deadline=None)
@given(st.builds(TitleText, *[words] * 6), st.sampled_from(PHONE))
def test_the_text_of_a_title_card_is_never_tiny(text, size):
    """Never under 10 px on a picture as wide as a phone held upright is in points."""
    title = compose_title(size, text)
    for placed in title.rows:
        word_is_too_long = max(map(len, placed.block.text.split()), default=0) > 20
        assert placed.block.px >= (0.016 if word_is_too_long else 0.027) * min(size)
    assert title.caution is None or title.caution.px >= 0.03 * min(size)


def test_a_long_name_shrinks_before_it_is_broken():
    title = compose_title((1080, 1920), TitleText(client="Konstantinopolitanska", heading=""))
    (name,) = title.rows
    assert name.block.line_count == 1 and name.block.px < 130


def test_a_text_without_spaces_does_not_shrink_for_that():
    """Chinese and Japanese break between any two letters (Unicode Annex #14)."""
    title = compose_title((1080, 1920), TitleText(client="膝を前に出してつま先の上へ", heading=""))
    (name,) = title.rows
    assert name.block.line_count > 1 and name.block.px == 140


def test_lines_of_a_title_are_about_equally_long():
    title = compose_title((1080, 1920), TITLE)
    movement = title.rows[2].block
    widths = [movement.layout.lineAt(i).naturalTextWidth() for i in range(movement.line_count)]
    assert len(widths) == 2 and min(widths) > 0.6 * max(widths)


def test_what_is_empty_leaves_no_gap():
    only_name = compose_title((1080, 1920), TitleText(client="Ines", heading=""))
    assert [placed.block.text for placed in only_name.rows] == ["Ines"]
    assert title_card((1080, 1920), TitleText(heading="")).width() == 1080


def test_a_right_to_left_card_is_mirrored():
    latin = compose_title((1080, 1920), TITLE)
    arabic = compose_title((1080, 1920), TitleText(client="إيناس", caution="توقف."))
    assert latin.page.plumb_x < 540 < arabic.page.plumb_x
    line = arabic.rows[1].block.layout.lineAt(0)
    right = arabic.rows[1].box.left() + line.naturalTextRect().right()
    assert right == pytest.approx(arabic.rows[1].box.right(), abs=1)
    ink = pixels_of(title_card((1080, 1920), TitleText(client="إيناس", heading=""))).max(axis=2)
    assert (ink[:, 540:] < 100).sum() > 10 * (ink[:, :540] < 100).sum()


# -- closing ------------------------------------------------------------------------------------


@by_size
def test_closing_cards_have_the_asked_size_and_empty_margins(size):
    for card in closing_card(size, CLOSING):
        assert (card.width(), card.height()) == size
        assert_margins_empty(card)


@pytest.mark.parametrize("size", [size for size in PHONE if size[0] != size[1]])
def test_a_few_exercises_fit_one_card(size):
    assert len(closing_card(size, CLOSING)) == 1


exercises = st.lists(st.builds(Exercise, words, words), max_size=6).map(tuple)


@settings(max_examples=60, deadline=None)
@given(
    st.builds(
        ClosingText,
        exercises=exercises,
        caution=st.one_of(words, st.just(DEFAULT_CAUTION), st.just(DEFAULT_CAUTION * 9)),
        coach=words,
    ),
    st.sampled_from(SIZES),
)
def test_closing_cards_carry_every_word_on_their_pages(text, size):
    page, sheets = compose_closing(size, text)
    shown = "".join(placed.block.text for sheet in sheets for placed in sheet.placed)
    if sheets[-1].caution is not None:
        shown += sheets[-1].caution.text
    said = "".join(
        clean_paragraphs(e.text) + clean_line(e.repetitions) for e in text.exercises
    ) + clean_line(text.coach)
    assert letters(shown) == letters(said + clean_paragraphs(text.caution))
    for sheet in sheets:
        blocks = [placed.block for placed in sheet.placed]
        assert all(block.is_whole for block in (*blocks, *filter(None, [sheet.caution])))
        boxes = [
            QRectF(sheet.room.left(), p.top, p.block.width, p.block.height) for p in sheet.placed
        ]
        if sheet.caution is not None:
            boxes.append(page.caution_panel(sheet.caution))
        assert_apart(boxes)
        if min(size) >= 360:
            for box in boxes:
                assert page.inside.adjusted(-0.5, -0.5, 0.5, 0.5).contains(box)
            assert all(block.px >= 0.03 * min(size) for block in blocks)


def letters(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize("count", [1, 3, 8, 20])
def test_repetitions_stay_on_the_card_of_their_exercise(count):
    text = ClosingText(
        tuple(
            Exercise(f"Exercise {i}. " + "Slowly up and down. " * 6, f"{i} × 8")
            for i in range(count)
        ),
        caution=DEFAULT_CAUTION,
    )
    _, sheets = compose_closing((1080, 1920), text)
    for sheet in sheets:
        pieces = [placed.piece for placed in sheet.placed]
        assert len(pieces) % 2 == 0
        for first, often in zip(pieces[::2], pieces[1::2], strict=True):
            number = first.text.split()[1].rstrip(".")
            assert often.text == f"{number} × 8"


def test_a_short_caution_stands_on_every_card():
    many = ClosingText(CLOSING.exercises * 6, caution=DEFAULT_CAUTION)
    _, sheets = compose_closing((1080, 1920), many)
    assert len(sheets) > 1
    assert all(sheet.caution is not None for sheet in sheets)


def test_a_long_caution_is_carried_on_whole_to_cards_of_its_own():
    text = ClosingText(CLOSING.exercises, caution=DEFAULT_CAUTION * 30)
    _, sheets = compose_closing((1080, 1920), text)
    last = [sheet for sheet in sheets if sheet.heading.text == text.caution_heading]
    assert last and letters(
        "".join(placed.block.text for sheet in last for placed in sheet.placed)
    ) == letters(text.caution)


def test_without_exercises_there_is_still_one_card_with_the_caution():
    cards = closing_card((360, 640), ClosingText(caution=DEFAULT_CAUTION, heading="Before you go"))
    assert len(cards) == 1


def test_cards_of_the_same_text_are_the_same():
    first, second = (rgba_of(title_card((360, 640), TITLE)) for _ in range(2))
    assert np.array_equal(first, second)
