"""The trend as one HTML file."""

from __future__ import annotations

from typing import Final

import numpy as np
from markupsafe import Markup

from cliptag.export import one_line
from cliptag.paint import LinePlot, Series, tick_words
from cliptag.pairing.page import picture_url, rendered
from cliptag.pairing.plot_svg import svg_of
from cliptag.pairing.telling import amounts
from cliptag.pairing.trend import Trend, TrendLine
from cliptag.pairing.wording import moment_title, quantity_name

MOST_LINES: Final = 12


def trend_page(trend: Trend) -> str:
    """A strip of one frame a week, a plot of each quantity, and all numbers in a table."""
    lines, words = trend.lines[:MOST_LINES], trend.words
    movement = words.movement(trend.movement)
    client = one_line(trend.client)
    names = [one_line(name) for name in trend.names]
    return rendered(
        "trend.html.jinja",
        words,
        title=" · ".join(filter(None, [client, movement, _heading(trend)])),
        heading=_heading(trend),
        about=" · ".join(filter(None, [client, movement])),
        strip_heading=_strip_heading(trend),
        names=names,
        frames=[
            (name, picture_url(frame.picture))
            for name, frame in zip(names, trend.frames, strict=True)
        ],
        plots=[
            (plot.heading, Markup(svg_of(plot, words)))
            for plot in (trend_plot(trend, line) for line in lines)
        ],
        rows=[
            (
                quantity_name(line.words, words),
                [told or "–" for told in amounts(line.values, words)],
            )
            for line in lines
        ],
        caution=one_line(words.caution(trend.caution)),
    )


def _heading(trend: Trend) -> str:
    if trend.axis == "Week":
        return trend.words.say("Week by week")
    return trend.words.say("One after the other")


def _strip_heading(trend: Trend) -> str:
    if trend.moment is None:
        return trend.words.say("One picture of each")
    moment = moment_title(trend.moment, trend.words)
    return trend.words.say("The same moment of each: {moment}", moment=moment)


def trend_plot(trend: Trend, line: TrendLine) -> LinePlot:
    """One quantity over the reviews; a review that doesn't tell it leaves a gap in none of them."""
    known = [
        (place, value)
        for place, value in zip(trend.places, line.values, strict=True)
        if value is not None
    ]
    places, words = trend.places, trend.words
    margin = 0.04 * (max(places) - min(places) or 1.0)
    return LinePlot(
        title=quantity_name(line.words, trend.words),
        unit=_unit(trend, line),
        series=(
            Series(
                quantity_name(line.words, trend.words),
                np.array([place for place, _ in known]),
                np.array([value.value for _, value in known]),
                np.array([value.sd for _, value in known]),
                has_bars=True,
            ),
        ),
        x_range=(min(places) - margin, max(places) + margin),
        x_ticks=tuple((place, _place_words(trend, place)) for place in _apart(places)),
        decimal_sign=words.say_as("decimal sign", "."),
    )


def _unit(trend: Trend, line: TrendLine) -> str:
    """The unit, and which way values below nothing go where the table says it in words."""
    way = next((v.sense for v in line.values if v is not None and v.sense and v.value < 0), "")
    if not way:
        return line.unit
    direction = trend.words.term("direction", way)
    return trend.words.say("{unit}; − is {direction}", unit=line.unit, direction=direction)


def _place_words(trend: Trend, place: float) -> str:
    number = tick_words(place)
    if trend.axis == "Week":
        return trend.words.say("Week {week}", week=number)
    if trend.axis == "Day":
        return trend.words.say("Day {number}", number=number)
    return trend.words.say("Review {number}", number=number)


def _apart(places: tuple[float, ...]) -> list[float]:
    """The places that can be named without their words running into each other."""
    least = (max(places) - min(places)) / 6.0
    kept: list[float] = []
    for place in places:
        if not kept or place - kept[-1] >= least:
            kept.append(place)
    return kept
