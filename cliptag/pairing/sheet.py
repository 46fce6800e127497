"""The sheet that both pictures stand on: side by side, one above the other, or one over the other.

Lengths are pixels of the sheet; all panels begin at even pixels and have even sizes, as 4:2:0
pictures need.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.paint import Sizes
from cliptag.pairing.document import Layout
from cliptag.pairing.placing import Placing, Similarity
from cliptag.pairing.side import Side

WIDE: Final = (1920, 1080)
UPRIGHT: Final = (1080, 1920)
GAP_PX: Final = 8
_BODY_MARGIN: Final = 0.09
"""What stays round the bodies, in parts of their height."""
CAPTION_SCALES: Final[dict[Layout, float]] = {"side": 0.65, "above": 0.8, "over": 1.0}
"""How large captions are against those of a single clip: there is half the room for each body."""

_CAPTION_HEIGHT: Final = 4.9
"""Of a plate with a heading and two lines, in sizes of the caption's letters, and a little air."""
_STRIP_SHARES: Final[dict[Layout, float]] = {"side": 0.29, "above": 0.16}
_HEAD_SHARE: Final = 0.085
_UPRIGHT_SHAPE: Final = 0.66
"""Width by height of the panels on a phone held upright, with the strip beneath."""
_LARGEST: Final = 1.5
"""A picture is never enlarged by more: it would only get soft."""


@dataclass(frozen=True, slots=True)
class Panel:
    """Where one picture stands, and how its own pixels become the sheet's."""

    left: int
    top: int
    width: int
    height: int
    onto_sheet: Similarity


@dataclass(frozen=True, slots=True)
class Sheet:
    """The sheet and its two panels; over each other both panels are the same rectangle.

    Beneath panels that stand apart a strip is left free, where captions hide nothing; above those
    that stand side by side one for their names, ``head`` high.
    """

    layout: Layout
    width: int
    height: int
    panels: tuple[Panel, Panel]
    head: int = 0


@dataclass(frozen=True, slots=True)
class _Box:
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.bottom - self.top

    def union(self, other: _Box) -> _Box:
        return _Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )


def lay_out(first: Side, second: Side, placing: Placing, layout: Layout) -> Sheet:
    """The sheet for two sides; both panels show the same part of the first one's plane."""
    box = _shown(first, second, placing)
    room = _room(box, layout)
    if layout != "over":
        box = _trimmed(box, _bodies(first, second, placing), room[0] / room[1])
    scale = min(room[0] / box.width, room[1] / box.height, _LARGEST)
    width, height = _even(box.width * scale), _even(box.height * scale)
    whole_width = width
    if layout == "above":
        # A phone held upright shows a narrow strip small: the sheet is as wide as the phone's.
        whole_width = max(width, _even((2 * height + GAP_PX) * _UPRIGHT_SHAPE))
    inset = (whole_width - width) // 4 * 2
    head = _even(_HEAD_SHARE * height) if layout == "side" else 0
    places = {
        "side": ((0, head), (width + GAP_PX, head)),
        "above": ((inset, 0), (inset, height + GAP_PX)),
        "over": ((0, 0), (0, 0)),
    }[layout]
    panels = []
    for own, (left, top) in zip((Similarity(), placing.onto_first), places, strict=True):
        shift = complex(left, top) - scale * complex(box.left, box.top)
        panels.append(Panel(left, top, width, height, own.then(Similarity(scale + 0j, shift))))
    last = panels[1]
    whole = max(whole_width, last.left + width), last.top + height
    strip = 0 if layout == "over" else _strip(whole, CAPTION_SCALES[layout])
    return Sheet(layout, whole[0], whole[1] + strip, (panels[0], panels[1]), head)


def _room(box: _Box, layout: Layout) -> tuple[float, float]:
    """The most that a panel may take up."""
    if layout == "side":
        return (WIDE[0] - GAP_PX) / 2, WIDE[1] * (1 - _STRIP_SHARES[layout])
    if layout == "above":
        return float(UPRIGHT[0]), (UPRIGHT[1] * (1 - _STRIP_SHARES[layout]) - GAP_PX) / 2
    limits = UPRIGHT if box.height >= box.width else WIDE
    return float(limits[0]), float(limits[1])


def _strip(panels: tuple[int, int], caption_scale: float) -> int:
    """The height that a caption of two lines takes with what stays free beneath it."""
    strip = 0.0
    for _ in range(8):
        sizes = Sizes(panels[0], panels[1] + round(strip), caption_scale)
        strip = _CAPTION_HEIGHT * sizes.caption_px + sizes.margin_y
    return _even(strip)


def _shown(first: Side, second: Side, placing: Placing) -> _Box:
    """The part of the first's plane that both panels show: where both have a picture, so that no
    bar stays dark, and both bodies whole; the first's picture where no body is known.
    """
    clip = first.review.clip
    box = _Box(0.0, 0.0, float(clip.width), float(clip.height))
    body = _bodies(first, second, placing)
    if body is None:
        return box
    other = second.review.clip
    corners = [complex(x, y) for x in (0.0, other.width) for y in (0.0, other.height)]
    across = sorted(placing.onto_first(corner).real for corner in corners)
    down = sorted(placing.onto_first(corner).imag for corner in corners)
    # The second of four is the inner one of the two on a side, where the picture is askew.
    left, right = max(box.left, across[1]), min(box.right, across[2])
    top, bottom = max(box.top, down[1]), min(box.bottom, down[2])
    return body if left >= right or top >= bottom else _Box(left, top, right, bottom).union(body)


def _trimmed(box: _Box, body: _Box | None, shape: float) -> _Box:
    """The box without what lies above and below the bodies, and not wider than the panel needs.

    ``shape`` is the panel's width by its height. Where no body is known nothing is cut.
    """
    if body is None:
        return box
    top, bottom = max(box.top, body.top), min(box.bottom, body.bottom)
    width = min(box.width, max(body.width, shape * (bottom - top)))
    middle = (body.left + body.right) / 2
    left = min(max(middle - width / 2, box.left), box.right - width)
    return _Box(left, top, left + width, bottom)


def _bodies(first: Side, second: Side, placing: Placing) -> _Box | None:
    """Round both bodies through all of the movement, with a margin."""
    places = [*_body(first, Similarity()), *_body(second, placing.onto_first)]
    return _around(places) if places else None


def _body(side: Side, onto: Similarity) -> Iterable[complex]:
    for name in side.tracks.points if side.tracks is not None else ():
        places = side.places(name)
        if places is not None and np.isfinite(places).any():
            known = places[np.isfinite(places[:, 0])]
            for x in (known[:, 0].min(), known[:, 0].max()):
                for y in (known[:, 1].min(), known[:, 1].max()):
                    yield onto(complex(x, y))


def _around(places: list[complex]) -> _Box:
    xs, ys = [z.real for z in places], [z.imag for z in places]
    margin = _BODY_MARGIN * (max(ys) - min(ys))
    return _Box(min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)


def _even(length: float) -> int:
    return max(2, int(length) // 2 * 2)
