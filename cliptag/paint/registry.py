"""Which function draws which mark type."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from PyQt6.QtCore import QPointF

from cliptag.paint.sizes import Sizes
from cliptag.paint.sketch import Sketch
from cliptag.review import Mark, MarkWeight

MarkT = TypeVar("MarkT", bound=Mark)


@dataclass(frozen=True, slots=True)
class View:
    """What a drawing function needs to know besides its mark.

    ``plumb_deg`` is how far the true vertical is turned from the picture's, clockwise positive.
    """

    sizes: Sizes
    plumb_deg: float

    @property
    def unit(self) -> float:
        return self.sizes.unit

    @property
    def up(self) -> QPointF:
        """The direction of true up, of length 1."""
        turn = math.radians(self.plumb_deg)
        return QPointF(math.sin(turn), -math.cos(turn))

    def line(self, weight: MarkWeight) -> float:
        return self.sizes.line(weight)


_DRAWINGS: dict[type, Callable[[Any, View], Sketch]] = {}


def draws(
    mark_type: type[MarkT],
) -> Callable[[Callable[[MarkT, View], Sketch]], Callable[[MarkT, View], Sketch]]:
    """Register a function as the drawing of a mark type."""

    def register(function: Callable[[MarkT, View], Sketch]) -> Callable[[MarkT, View], Sketch]:
        _DRAWINGS[mark_type] = function
        return function

    return register


def sketch_of(mark: Mark, view: View) -> Sketch:
    """What a mark looks like, by the drawing that was registered for its type."""
    return _DRAWINGS[type(mark)](mark, view)
