"""The marks of both reviews that are seen on a pair of frames, as they lie on the sheet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

import msgspec
import numpy as np

from cliptag.export import body_outlines, calmed
from cliptag.measure import readings_of
from cliptag.paint import LabelSpot, PanelLabel, ShownMark, Sizes, steady_spots
from cliptag.pairing.comparison import Comparison, labels_on
from cliptag.pairing.pair_marks import COLOURS, PairMarks, mover_of, moving_marks, on_sheet
from cliptag.pairing.placing import Similarity
from cliptag.pairing.sheet import Panel
from cliptag.pairing.side import Side
from cliptag.review import Mark, Note, Ring, is_measuring

_MOST_LOOKED_AT: Final = 24
"""So many pictures tell where a label has room all through the movement."""


class SeenMarks:
    """Knows for each frame of either clip which marks lie over it.

    The marks that go with the body are on all the time, those of the reviews as long as their
    notes are on; one that carries a number only on the frame that it was measured on.
    """

    def __init__(self, comparison: Comparison) -> None:
        self._sides = comparison.sides
        self._panels = comparison.sheet.panels
        sheet = comparison.sheet
        boxes = () if sheet.layout == "over" else tuple(map(_box, self._panels))
        self.sizes: Final = Sizes(sheet.width, sheet.height, panels=boxes)
        """What marks and labels are sized by; every label stays within its own panel."""
        self.plumb_deg: Final = comparison.sides[0].camera.upright_deg.value
        self._moving = _by_side(moving_marks(comparison.sides, comparison.pair))
        self._movers = tuple(map(mover_of, self._sides))
        self._numbers = tuple(
            {(r.note_id, r.mark_id): r.text for r in readings_of(side.review)}
            for side in self._sides
        )
        self._spots: dict[str, LabelSpot] = {}
        self._spots = self._steady(comparison)

    def at(self, frames: tuple[int, int]) -> tuple[ShownMark, ...]:
        """The marks over these frames of the first and the second, in pixels of the sheet."""
        return tuple(mark for which in (0, 1) for mark in self._of(which, frames[which]))

    def notes(self, frames: tuple[int, int]) -> tuple[tuple[Note, ...], tuple[Note, ...]]:
        """What each review says over these frames, in the order of its own."""
        first, second = (tuple(self._notes_on(which, frames[which])) for which in (0, 1))
        return first, second

    def _notes_on(self, which: int, frame: int) -> Iterator[Note]:
        side = self._sides[which]
        for note in side.review.notes:
            if side.clip.index_at(note.start_us) == frame or _is_on(side, note, frame):
                yield note

    def _of(self, which: int, frame: int) -> Iterator[ShownMark]:
        yield from self._moved(which, frame)
        side = self._sides[which]
        for note in self._notes_on(which, frame):
            yield from self._still(which, note, side.clip.index_at(note.start_us) == frame)

    def _moved(self, which: int, frame: int) -> Iterator[ShownMark]:
        mover, onto = self._movers[which], self._panels[which].onto_sheet
        if mover is None:
            return
        for mark in self._moving[which]:
            moved = mover.at(mark, frame)
            if moved is None:
                continue
            reading = mover.reading("", mark, frame)
            text = None
            if reading is not None:
                text = replace(calmed(reading), name="").text
            yield ShownMark(on_sheet(moved, onto), "seen", text, self._spots.get(mark.id))

    def _still(self, which: int, note: Note, is_own: bool) -> Iterator[ShownMark]:
        """A note's marks that stay where they were placed."""
        onto, is_known = self._panels[which].onto_sheet, self._movers[which] is not None
        for number, mark in enumerate(note.marks):
            # Where the movement is known, the moving marks show the angles.
            is_true_here_alone = bool(mark.follows) or is_measuring(mark)
            if is_true_here_alone and (is_known or not is_own):
                continue
            laid = _laid(mark, onto)
            placed = msgspec.structs.replace(
                laid, id=f"{which + 1}-{note.id[:40]}-{number}", colour=COLOURS[which]
            )
            yield ShownMark(placed, note.kind, self._numbers[which].get((note.id, mark.id)))

    def _steady(self, comparison: Comparison) -> dict[str, LabelSpot]:
        """One place for each moving label, so that none hops from side to side."""
        count, marks = len(comparison.pair), PairMarks(comparison.sides, comparison.pair)
        looked_at = np.unique(np.linspace(0, count - 1, _MOST_LOOKED_AT).astype(int))
        pairs = [comparison.pair.indices(int(index)) for index in looked_at]
        pictures = [[*self._moved(0, first), *self._moved(1, second)] for first, second in pairs]
        if not any(pictures):
            return {}
        return steady_spots(
            pictures,
            self.sizes,
            plumb_deg=self.plumb_deg,
            beneath=[body_outlines(marks.places(int(index))) for index in looked_at],
        )


def _by_side(marks: tuple[Mark, ...]) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """The moving marks of each, which follow points under their own review's names."""
    sides: tuple[list[Mark], list[Mark]] = ([], [])
    for mark in marks:
        which = int(mark.follows[0].startswith("second:"))
        names = tuple(name.partition(":")[2] for name in mark.follows)
        sides[which].append(msgspec.structs.replace(mark, follows=names))
    return tuple(sides[0]), tuple(sides[1])


def _is_on(side: Side, note: Note, frame: int) -> bool:
    """Whether a note is on over a frame, from its start up to its end."""
    first, stop = (side.clip.index_at(at) for at in (note.start_us, note.end_us))
    return first <= frame < stop


def _laid(mark: Mark, onto: Similarity) -> Mark:
    laid = on_sheet(mark, onto)
    if not isinstance(laid, Ring):
        return laid
    return msgspec.structs.replace(
        laid, radius_x=laid.radius_x * onto.scale, radius_y=laid.radius_y * onto.scale
    )


def _box(panel: Panel) -> tuple[float, float, float, float]:
    return panel.left, panel.top, panel.width, panel.height


def labels_of(comparison: Comparison, scale: float = 1.0) -> tuple[PanelLabel, ...]:
    """Which picture is which, and how they are matched, as ``panel_labels`` paints it.

    For a sheet that is shown ``scale`` times as large.
    """
    found = labels_on(
        comparison.sides,
        comparison.sheet,
        comparison.placing,
        comparison.alignment,
        comparison.words,
    )
    return tuple(_scaled(label, scale) for label in found)


def _scaled(label: PanelLabel, scale: float) -> PanelLabel:
    left, top, width, height = (scale * length for length in label.box)
    most = label.most_width and scale * label.most_width
    return replace(label, box=(left, top, width, height), most_width=most)
