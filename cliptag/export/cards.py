"""The title and closing cards of a review as pictures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.export.numbers import uncertainty_words
from cliptag.export.plain_text import one_line
from cliptag.paint import (
    ClosingText,
    Exercise,
    TitleText,
    closing_card,
    day_words,
    rgba_of,
    title_card,
)
from cliptag.review import Review
from cliptag.words import ENGLISH, Words

_READING_CPS: Final = 15.0
_SHORTEST_PAGE_US: Final = 5_000_000
_LONGEST_PAGE_US: Final = 20_000_000


@dataclass(frozen=True, slots=True)
class CardPage:
    """A card, (H, W, 4) RGBA, and how long it stands so that it can be read."""

    picture: NDArray[np.uint8]
    reading_us: int


def title_picture(
    review: Review, size: tuple[int, int], words: Words = ENGLISH
) -> NDArray[np.uint8]:
    """The title card: for whom, what movement, when, from whom, and the caution."""
    text = TitleText(
        client=review.client,
        movement=words.movement(review.movement),
        date=day_words(review.recorded_on, words.language) if review.recorded_on else "",
        week="" if review.week is None else words.say("Week {week}", week=review.week),
        coach=words.say("Reviewed by {coach}", coach=review.coach) if review.coach else "",
        caution=words.caution(review.caution),
        heading=words.say("Movement review"),
        right_to_left=words.is_right_to_left or None,
    )
    return rgba_of(title_card(size, text))


def closing_pages(
    review: Review, size: tuple[int, int], words: Words = ENGLISH
) -> tuple[CardPage, ...]:
    """The closing cards: the exercises with their repetitions, what ± means, and the caution."""
    exercises = tuple(
        Exercise(note.text, words.counts(note.repetitions)) for note in review.exercises
    )
    cautions = (words.caution(review.caution), uncertainty_words(review, words))
    caution = "\n\n".join(filter(None, cautions))
    if not exercises and not caution:
        return ()
    text = ClosingText(
        exercises,
        caution,
        review.coach,
        heading=words.say("Your exercises") if exercises else words.say("Before you go"),
        caution_heading=words.say("Please read this"),
        right_to_left=words.is_right_to_left or None,
    )
    pages = closing_card(size, text)
    letters = sum(len(e.text) + len(e.repetitions) for e in exercises) + len(caution)
    need_us = round(letters / len(pages) / _READING_CPS * 1e6)
    reading_us = min(max(need_us, _SHORTEST_PAGE_US), _LONGEST_PAGE_US)
    return tuple(CardPage(rgba_of(page), reading_us) for page in pages)


def title_words(review: Review, words: Words = ENGLISH) -> str:
    """The video's title as a player shows it."""
    week = "" if review.week is None else words.say("week {week}", week=review.week)
    parts = (one_line(review.client), words.movement(review.movement), week)
    return " · ".join(part for part in parts if part)
