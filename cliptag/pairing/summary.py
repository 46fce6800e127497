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
    row_of,
    rows_to_show,
)
from cliptag.review import KIND_WORDS, MOMENT_WORDS, MOVEMENT_WORDS, REGION_WORDS

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
    rows: tuple[Row, ...]
    more: str
    plots: tuple[LinePlot, ...]
    said: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...]
    foot: tuple[str, ...]
    caution: str


def summary_of(comparison: Comparison, pictures: tuple[Picture, Picture]) -> Summary:
    """Put a comparison into words."""
    first, second = comparison.sides
    review = comparison.review.review
    movement = MOVEMENT_WORDS[review.movement]
    names = one_line(first.words), one_line(second.words)
    client, coach = one_line(review.client), one_line(review.coach)
    days = [day_words(s.review.recorded_on) for s in comparison.sides if s.review.recorded_on]
    about = [
        " and ".join(days),
        f"Coach: {coach}" if coach else "",
        comparison.alignment.words + ". " + comparison.alignment.basis_words,
    ]
    shown = rows_to_show(comparison.differences)
    return Summary(
        title=" · ".join(filter(None, [client, movement, f"{names[0]} and {names[1]}"])),
        heading=f"{names[0]} and {names[1]} side by side",
        about=tuple(filter(None, [" · ".join(filter(None, [client, movement])), *about])),
        names=names,
        pictures=pictures,
        rows=tuple(map(row_of, shown)),
        more=_more(len(comparison.differences) - len(shown)),
        plots=tuple(
            plot_of(pair, comparison.alignment, names) for pair in comparison.curves[:MOST_PLOTS]
        ),
        said=tuple(
            (f"{KIND_WORDS[note.kind]} · {REGION_WORDS[note.region]}", one_line(note.text))
            for note in comparison.pairing.notes
        ),
        warnings=tuple(one_line(warning.sentence) for warning in comparison.warnings),
        foot=_foot(len(shown)),
        caution=one_line(review.caution),
    )


def plot_of(pair: CurvePair, alignment: Alignment, names: tuple[str, str]) -> LinePlot:
    """A curve of both on the common axis, with the shared moments."""
    return LinePlot(
        title=pair.first.words,
        unit=pair.first.unit,
        series=tuple(
            Series(name, curve.percents, curve.values, curve.sd)
            for name, curve in zip(names, (pair.first, pair.second), strict=True)
        ),
        x_range=(0.0, 100.0),
        x_ticks=((0.0, "0 %"), (50.0, "50 %"), (100.0, "100 %")),
        events=tuple(
            (knot.percent, MOMENT_WORDS[knot.name])
            for knot in alignment.knots
            if knot.name is not None
        ),
    )


def _more(count: int) -> str:
    if count <= 0:
        return ""
    return f"{count} more number{'s' if count > 1 else ''} were compared and are with the coach."


def _foot(count: int) -> tuple[str, ...]:
    if not count:
        return ()
    lines: Sequence[str] = (MEANING_WORDS, ONCE_WORDS)
    return (*lines, CHANCE_WORDS) if count >= _MANY else tuple(lines)
