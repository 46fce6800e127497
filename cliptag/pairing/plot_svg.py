"""A plot as SVG, to be put into a page whose style sheet gives its colours."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from typing import Final

from cliptag.paint import LinePlot, Series, tick_words
from cliptag.words import ENGLISH, Words

_WIDTH: Final = 330.0
_HEIGHT: Final = 220.0
_LEFT, _RIGHT, _BOTTOM = 40.0, 12.0, 26.0
_TOP_BARE: Final = 10.0
_TOP_NAMED: Final = 36.0
"""Room for two lines of moments' names."""
_LETTER: Final = 6.2
"""About the width of a letter, more rather than less."""
_COVERAGE: Final = 2.0


def svg_of(plot: LinePlot, words: Words = ENGLISH) -> str:
    """The plot; every text in it is escaped. Its title tells a screen reader what it shows."""
    told = words.say("{quantity} in {unit}", quantity=plot.title, unit=plot.unit)
    parts = [
        f'<svg class="plot" role="img" viewBox="0 0 {_WIDTH:g} {_HEIGHT:g}">',
        f"<title>{escape(told)}: {escape(_told(plot, words))}</title>",
        *_axes(plot),
    ]
    for number, series in enumerate(plot.series):
        parts += _series(plot, series, number)
    return "".join([*parts, "</svg>"])


def _axes(plot: LinePlot) -> Iterator[str]:
    right, bottom = _WIDTH - _RIGHT, _HEIGHT - _BOTTOM
    for value in plot.y_ticks:
        _, y = _at(plot, plot.x_range[0], value)
        yield f'<path class="grid" d="M{_LEFT:g} {y:.1f}H{right:g}"/>'
        yield f'<text class="tick" x="{_LEFT - 6:g}" y="{y + 4:.1f}" text-anchor="end">'
        yield f"{tick_words(value, plot.decimal_sign)}</text>"
    for place, label in plot.x_ticks:
        at, _ = _at(plot, place, plot.y_range[0])
        half = _LETTER * len(label) / 2
        x, anchor = (at, "middle") if at + half <= _WIDTH - 2 else (_WIDTH - 2, "end")
        x, anchor = (x, anchor) if at - half >= 2 else (2, "start")
        yield f'<text class="tick" x="{x:.1f}" y="{bottom + 18:g}" text-anchor="{anchor}">'
        yield f"{escape(label)}</text>"
    rows = plot.event_rows(_LETTER / (_WIDTH - _LEFT - _RIGHT))
    for (x, label), row in zip(plot.events, rows, strict=True):
        at, _ = _at(plot, x, plot.y_range[0])
        yield f'<path class="event" d="M{at:.1f} {_top(plot):g}V{bottom:g}"/>'
        left = min(at - 2, right - _LETTER * len(label))
        yield f'<text class="event" x="{left:.1f}" y="{_top(plot) - 21 + 14 * row:g}">'
        yield f"{escape(label)}</text>"


def _series(plot: LinePlot, series: Series, number: int) -> Iterator[str]:
    which = "second" if number % 2 else "first"
    for run in series.runs:
        xs, ys, ends = series.xs[run], series.ys[run], _COVERAGE * series.sds[run]
        line = [_at(plot, x, y) for x, y in zip(xs, ys, strict=True)]
        if series.has_bars:
            for x, y, end in zip(xs, ys, ends, strict=True):
                across, top = _at(plot, x, y + end)
                _, low = _at(plot, x, y - end)
                yield f'<path class="bar {which}" d="M{across:.1f} {top:.1f}V{low:.1f}"/>'
            yield from (
                f'<circle class="dot {which}" cx="{x:.1f}" cy="{y:.1f}" r="3.5"/>' for x, y in line
            )
        else:
            edge = [_at(plot, x, y) for x, y in zip(xs, ys + ends, strict=True)]
            edge += [_at(plot, x, y) for x, y in zip(xs, ys - ends, strict=True)][::-1]
            yield f'<path class="band {which}" d="{_path(edge)}Z"/>'
        yield f'<path class="line {which}" d="{_path(line)}"/>'


def _told(plot: LinePlot, words: Words) -> str:
    """The lines in words, for who can't see them."""
    said = []
    for series in plot.series:
        known = [y for run in series.runs for y in series.ys[run]]
        if known:
            least, most = (_rounded(value, plot) for value in (min(known), max(known)))
            said.append(
                words.say("{name} from {least} to {most}", name=series.name, least=least, most=most)
            )
    return "; ".join(said)


def _rounded(value: float, plot: LinePlot) -> str:
    low, high = plot.y_range
    return tick_words(round(value, 0 if high - low >= 10 else 1), plot.decimal_sign)


def _at(plot: LinePlot, x: float, y: float) -> tuple[float, float]:
    across, down = plot.place(float(x), float(y))
    return (
        _LEFT + across * (_WIDTH - _LEFT - _RIGHT),
        _top(plot) + down * (_HEIGHT - _top(plot) - _BOTTOM),
    )


def _top(plot: LinePlot) -> float:
    return _TOP_NAMED if plot.events else _TOP_BARE


def _path(points: list[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)
