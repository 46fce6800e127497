"""The marks of both clips as they lie on the sheet, going with both bodies."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

import msgspec
import numpy as np
from numpy.typing import NDArray

from cliptag.errors import MeasureError
from cliptag.measure import MovingMarks, Reading
from cliptag.pairing.pair_clip import PairClip
from cliptag.pairing.placing import Similarity
from cliptag.pairing.side import Side
from cliptag.review import (
    Joint,
    Mark,
    MarkColour,
    Point,
    Tilt,
    edit,
    points_of,
)

COLOURS: Final[tuple[MarkColour, MarkColour]] = ("orange", "sky")
"""Of the first and the second: on the sheet, in the curves and on the page."""

_PREFIXES: Final = ("first:", "second:")


class PairMarks:
    """Marks that follow tracked points of either clip; what ``MovingMarks`` is for one.

    A mark follows points of one clip under the names that ``follow_names`` gives. Its numbers are
    those of its own clip: laying it on the sheet, mirrored or not, changes none.
    """

    def __init__(self, sides: tuple[Side, Side], pair: PairClip) -> None:
        self._pair = pair
        self._movers = tuple(mover_of(side) for side in sides)

    @property
    def times_us(self) -> NDArray[np.int64]:
        """(N,) when each picture of the pair is shown."""
        return self._pair.times_us

    def has(self, mark: Mark) -> bool:
        """Whether a mark follows points, all of which are tracked."""
        which = _which(mark)
        if which is None:
            return False
        mover = self._movers[which]
        return mover is not None and mover.has(_own(mark))

    def places(self, frame: int) -> dict[str, Point]:
        """Where both bodies are on the sheet, by the names that marks follow."""
        found: dict[str, Point] = {}
        for which, mover in enumerate(self._movers):
            if mover is None:
                continue
            onto = self._pair.sheet.panels[which].onto_sheet
            for name, place in mover.places(self._pair.indices(frame)[which]).items():
                z = onto(complex(place.x, place.y))
                found[f"{_PREFIXES[which]}{name}"] = Point(z.real, z.imag)
        return found

    def at(self, mark: Mark, frame: int) -> Mark | None:
        """The mark as it lies on the sheet on a picture; None where a point isn't known."""
        which = _which(mark)
        mover = None if which is None else self._movers[which]
        if which is None or mover is None:
            return None
        moved = mover.at(_own(mark), self._pair.indices(frame)[which])
        if moved is None:
            return None
        return on_sheet(moved, self._pair.sheet.panels[which].onto_sheet)

    def reading(self, note_id: str, mark: Mark, frame: int) -> Reading | None:
        """The mark's number in its own clip, without words: the colour tells whose it is."""
        which = _which(mark)
        mover = None if which is None else self._movers[which]
        if which is None or mover is None:
            return None
        found = mover.reading(note_id, _own(mark), self._pair.indices(frame)[which])
        return None if found is None else replace(found, name="", sense="")


def moving_marks(sides: tuple[Side, Side], pair: PairClip) -> tuple[Mark, ...]:
    """The trunk's tilt and the knee's angle in both, where their points are tracked in both.

    They are what a coach looks at in every rise, bend and lift; the table has the rest.
    """
    kinds: tuple[tuple[str, ...], ...] = (("hip", "shoulder"), ("hip", "knee", "ankle"))
    marks: list[Mark] = []
    for which, side in enumerate(sides):
        onto = pair.sheet.panels[which].onto_sheet
        for names in kinds:
            starts = [_known_place(side, name, onto) for name in names]
            if any(_known_place(s, n, onto) is None for s in sides for n in names):
                continue
            marks.append(_mark(which, names, [start or Point(0, 0) for start in starts]))
    return tuple(marks)


def on_sheet(mark: Mark, onto: Similarity) -> Mark:
    """A mark of a clip as it lies on the sheet."""
    laid = (onto(complex(point.x, point.y)) for point in points_of(mark))
    return edit.with_points(mark, [Point(z.real, z.imag) for z in laid])


def follow_names(which: int, names: Iterable[str]) -> tuple[str, ...]:
    """The names under which points of clip 0 or 1 are followed on the sheet."""
    return tuple(f"{_PREFIXES[which]}{name}" for name in names)


def _mark(which: int, names: tuple[str, ...], places: list[Point]) -> Mark:
    follows, colour = follow_names(which, names), COLOURS[which]
    if len(names) == 2:
        return Tilt(
            id=f"trunk-{which + 1}",
            segment="trunk",
            lower=places[0],
            upper=places[1],
            follows=follows,
            colour=colour,
        )
    return Joint(
        id=f"knee-{which + 1}",
        joint="knee",
        proximal=places[0],
        vertex=places[1],
        distal=places[2],
        follows=follows,
        colour=colour,
    )


def _known_place(side: Side, name: str, onto: Similarity) -> Point | None:
    places = side.places(name)
    known = None if places is None else places[np.isfinite(places).all(axis=1)]
    if known is None or not len(known):
        return None
    z = onto(complex(*known[0]))
    return Point(z.real, z.imag)


def mover_of(side: Side) -> MovingMarks | None:
    """What moves a side's marks; None where nothing is tracked."""
    if side.tracks is None:
        return None
    try:
        return MovingMarks(side.review, side.tracks, side.report)
    except MeasureError:
        return None


def _which(mark: Mark) -> int | None:
    if not mark.follows:
        return None
    for which, prefix in enumerate(_PREFIXES):
        if all(name.startswith(prefix) for name in mark.follows):
            return which
    return None


def _own(mark: Mark) -> Mark:
    """The mark with its points' names as its own review has them."""
    names = tuple(name.partition(":")[2] for name in mark.follows)
    return msgspec.structs.replace(mark, follows=names)
