"""The one-page summary as data, in words: page, PDF and transcript are all made of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.export import one_line
from cliptag.paint import LinePlot, Series, day_words
from cliptag.pairing.align import Alignment
from cliptag.pairing.comparison import Comparison
from cliptag.pairing.normalised import CurvePair
from cliptag.pairing.telling import (
    CHANCE_WORDS,
    MEANING_WORDS,
    ONCE_WORDS,
    Row,
    count_sentence,
    row_of,
    rows_to_show,
)
from cliptag.pairing.views import view_warnings
from cliptag.pairing.wording import basis_words, match_words, moment_title, quantity_name
from cliptag.words import ENGLISH, Words

MOST_PLOTS: Final = 4
_MANY: Final = 10

Picture = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, eq=False)
class Summary:
    """All that the page says. Texts are on one line each and free of controls, not escaped.

    ``pictures`` are (H, W, 3) of the first and the second.
    """

    title: str
    heading: str
    about: tuple[str, ...]
    names: tuple[str, str]
    pictures: tuple[Picture, Picture]
    lead: str
    rows: tuple[Row, ...]
    more: str
    plots: tuple[LinePlot, ...]
    said: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    foot: tuple[str, ...]
    caution: str
    words: Words = ENGLISH


def summary_of(comparison: Comparison, pictures: tuple[Picture, Picture]) -> Summary:
    """Put a comparison into words."""
    first, second = comparison.sides
    review, alignment = comparison.review.review, comparison.alignment
    words = comparison.words
    movement = words.movement(review.movement)
    names = one_line(first.name_in(words)), one_line(second.name_in(words))
    client, coach = one_line(review.client), one_line(review.coach)
    days = [
        day_words(s.review.recorded_on, words.language)
        for s in comparison.sides
        if s.review.recorded_on
    ]
    about = [
        " – ".join(days),
        words.say("Coach: {coach}", coach=coach) if coach else "",
        f"{match_words(alignment, words)}. {basis_words(alignment, words)}",
    ]
    pair = {"first": names[0], "second": names[1]}
    shown = rows_to_show(comparison.differences)
    return Summary(
        title=" · ".join(
            filter(None, [client, movement, words.say("{first} and {second}", **pair)])
        ),
        heading=words.say("{first} and {second} side by side", **pair),
        about=tuple(filter(None, [" · ".join(filter(None, [client, movement])), *about])),
        names=names,
        pictures=pictures,
        lead=count_sentence(shown, words),
        rows=tuple(row_of(difference, words) for difference in shown),
        more=_more(len(comparison.differences) - len(shown), words),
        plots=tuple(
            plot_of(curves, alignment, names, words) for curves in comparison.curves[:MOST_PLOTS]
        ),
        said=tuple(
            (words.title(note.region, note.kind), one_line(note.text))
            for note in comparison.pairing.notes
        ),
        warnings=tuple(
            one_line(warning.sentence)
            for warning in view_warnings(first, second, comparison.placing, words)
        ),
        foot=_foot(len(shown), words),
        caution=one_line(words.caution(review.caution)),
        words=words,
    )


def plot_of(
    pair: CurvePair, alignment: Alignment, names: tuple[str, str], words: Words = ENGLISH
) -> LinePlot:
    """A curve of both on the common axis, with the shared moments."""
    return LinePlot(
        title=quantity_name(pair.first.words, words),
        unit=pair.first.unit,
        series=tuple(
            Series(name, curve.percents, curve.values, curve.sd)
            for name, curve in zip(names, (pair.first, pair.second), strict=True)
        ),
        x_range=(0.0, 100.0),
        x_ticks=((0.0, "0 %"), (50.0, "50 %"), (100.0, "100 %")),
        events=tuple(
            (knot.percent, moment_title(knot.name, words))
            for knot in alignment.knots
            if knot.name is not None
        ),
        decimal_sign=words.say_as("decimal sign", "."),
    )


def _more(count: int, words: Words) -> str:
    if count <= 0:
        return ""
    return words.count(
        "{count} more number was compared and is with the coach.",
        "{count} more numbers were compared and are with the coach.",
        count,
    )


def _foot(count: int, words: Words) -> tuple[str, ...]:
    if not count:
        return ()
    lines: Sequence[str] = (MEANING_WORDS, ONCE_WORDS)
    lines = (*lines, CHANCE_WORDS) if count >= _MANY else lines
    return tuple(map(words.say, lines))
