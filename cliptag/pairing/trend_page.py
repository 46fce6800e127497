"""The trend as one HTML file."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from cliptag.export import one_line
from cliptag.paint import LinePlot, Series, tick_words
from cliptag.pairing.page import picture_url, rendered
from cliptag.pairing.plot_svg import svg_of
from cliptag.pairing.telling import quantity_words
from cliptag.pairing.trend import Trend, TrendLine
from cliptag.review import MOVEMENT_WORDS

MOST_LINES: Final = 12


def trend_page(trend: Trend) -> str:
    """A strip of one frame a week, a plot of each quantity, and all numbers in a table."""
    lines = trend.lines[:MOST_LINES]
    movement = MOVEMENT_WORDS[trend.movement]
    client = one_line(trend.client)
    names = [one_line(name) for name in trend.names]
    return rendered(
        "trend.html.jinja",
        title=" · ".join(filter(None, [client, movement, "all weeks"])),
        heading="Week by week" if trend.axis == "Week" else "One after the other",
        about=" · ".join(filter(None, [client, movement])),
        strip_heading=(f"At {trend.moment.lower()}" if trend.moment else "One frame of each"),
        names=names,
        frames=[
            (name, picture_url(frame.picture))
            for name, frame in zip(names, trend.frames, strict=True)
        ],
        plots=[
            (f"{line.words} ({line.unit})", Markup(svg_of(trend_plot(trend, line))))
            for line in lines
        ],
        rows=[
            (line.words, [quantity_words(v) if v else "–" for v in line.values]) for line in lines
        ],
        caution=one_line(trend.caution),
    )


def trend_plot(trend: Trend, line: TrendLine) -> LinePlot:
    """One quantity over the reviews; a review that doesn't tell it leaves a gap in none of them."""
    known = [
        (place, value)
        for place, value in zip(trend.places, line.values, strict=True)
        if value is not None
    ]
    places = trend.places
    margin = 0.04 * (max(places) - min(places) or 1.0)
    return LinePlot(
        title=line.words,
        unit=line.unit,
        series=(
            Series(
                line.words,
                np.array([place for place, _ in known]),
                np.array([value.value for _, value in known]),
                np.array([value.sd for _, value in known]),
                has_bars=True,
            ),
        ),
        x_range=(min(places) - margin, max(places) + margin),
        x_ticks=tuple((place, f"{trend.axis} {tick_words(place)}") for place in _apart(places)),
    )


def _apart(places: tuple[float, ...]) -> list[float]:
    """The places that can be named without their words running into each other."""
    least = (max(places) - min(places)) / 6.0
    kept: list[float] = []
    for place in places:
        if not kept or place - kept[-1] >= least:
            kept.append(place)
    return kept
