"""The sheet that both pictures stand on: side by side, one above the other, or one over the other.

Lengths are pixels of the sheet; all panels begin at even pixels and have even sizes, as 4:2:0
pictures need.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.pairing.document import Layout
from cliptag.pairing.placing import Placing, Similarity
from cliptag.pairing.side import Side

WIDE: Final = (1920, 1080)
UPRIGHT: Final = (1080, 1920)
GAP_PX: Final = 8
_BODY_MARGIN: Final = 0.09
"""What stays round the bodies, in parts of their height."""
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
    """The sheet and its two panels; over each other both panels are the same rectangle."""

    layout: Layout
    width: int
    height: int
    panels: tuple[Panel, Panel]


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
    box = _shown(first, second, placing, trim=layout == "above")
    if layout == "side":
        room = ((WIDE[0] - GAP_PX) / 2, float(WIDE[1]))
    elif layout == "above":
        room = (float(UPRIGHT[0]), (UPRIGHT[1] - GAP_PX) / 2)
    else:
        limits = UPRIGHT if box.height >= box.width else WIDE
        room = (float(limits[0]), float(limits[1]))
    scale = min(room[0] / box.width, room[1] / box.height, _LARGEST)
    width, height = _even(box.width * scale), _even(box.height * scale)
    whole_width = width
    if layout == "above":
        # A phone held upright shows a narrow strip small: the sheet is as wide as the phone's.
        whole_width = max(width, _even((2 * height + GAP_PX) * UPRIGHT[0] / UPRIGHT[1]))
    inset = (whole_width - width) // 4 * 2
    places = {
        "side": ((0, 0), (width + GAP_PX, 0)),
        "above": ((inset, 0), (inset, height + GAP_PX)),
        "over": ((0, 0), (0, 0)),
    }[layout]
    panels = []
    for own, (left, top) in zip((Similarity(), placing.onto_first), places, strict=True):
        shift = complex(left, top) - scale * complex(box.left, box.top)
        panels.append(Panel(left, top, width, height, own.then(Similarity(scale + 0j, shift))))
    last = panels[1]
    return Sheet(
        layout,
        max(whole_width, last.left + width),
        last.top + height,
        (panels[0], panels[1]),
    )


def _shown(first: Side, second: Side, placing: Placing, *, trim: bool) -> _Box:
    """The part of the first's plane that both panels show: its picture, and both bodies whole.

    ``trim`` cuts away what lies above and below the bodies, where they are known.
    """
    clip = first.review.clip
    box = _Box(0.0, 0.0, float(clip.width), float(clip.height))
    bodies = [*_body(first, Similarity()), *_body(second, placing.onto_first)]
    if not bodies:
        return box
    body = _around(bodies)
    whole = box.union(body)
    if not trim:
        return whole
    return _Box(whole.left, max(whole.top, body.top), whole.right, min(whole.bottom, body.bottom))


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
