"""Marks that go with the body: what they look like on each picture while their note is on."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.export.calm import CalmReadings
from cliptag.export.mover import Mover
from cliptag.export.numbers import reading_words
from cliptag.export.timeline import Timeline
from cliptag.paint import CaptionText, LabelSpot, ShownMark, Sizes, caption_box, steady_spots
from cliptag.review import Mark, Note, Point
from cliptag.words import Words

_MOST_LOOKED_AT: Final = 24
"""So many pictures tell where a label has room all through a note."""

_LIMBS: Final = (
    *(("ear", "c7"), ("c7", "shoulder"), ("ear", "shoulder"), ("shoulder", "elbow")),
    *(("elbow", "wrist"), ("shoulder", "hip"), ("hip", "knee"), ("knee", "ankle")),
    *(("ankle", "toe"), ("c7", "t4"), ("t4", "t8"), ("t8", "l1"), ("l1", "l4"), ("l4", "s2")),
)
"""Where the body is, as far as its points tell: labels rather stand beside it."""
_POINTS_OF_A_LIMB: Final = 3
_ROUND: Final = np.array([(math.cos(a), math.sin(a)) for a in np.arange(12) * math.pi / 6])
"""The head's outline and what is near it, in lengths from the ear to the nape."""


class Moves:
    """The moving marks of every note.

    A label keeps its place by its mark for the whole note, and shows the largest uncertainty that
    the note's frames have, so that neither it nor its digits hop about.
    """

    def __init__(
        self,
        marks: Mover,
        timeline: Timeline,
        sizes: Sizes,
        words: Words,
        plumb_deg: float = 0.0,
    ) -> None:
        self._marks = marks
        self._numbers = CalmReadings(marks, timeline)
        self._sizes = sizes
        self._words = words
        self._plumb_deg = plumb_deg
        self._spots: dict[str, dict[str, LabelSpot]] = {}
        """By note id and mark id."""

    def has(self, mark: Mark) -> bool:
        """Whether a mark moves."""
        return self._marks.has(mark)

    def prepare(self, note: Note, captions: Sequence[CaptionText]) -> None:
        """Choose how the note's labels stay calm; they keep off these captions."""
        if note.id in self._spots:
            return
        frames = self._numbers.frames_of(note)
        looked_at = frames[:: max(1, -(-len(frames) // _MOST_LOOKED_AT))]
        self._spots[note.id] = steady_spots(
            [self._shown(note, frame, {}) for frame in looked_at],
            self._sizes,
            plumb_deg=self._plumb_deg,
            keep_clear=[caption_box(caption, self._sizes) for caption in captions],
            beneath=[body_outlines(self._marks.places(frame)) for frame in looked_at],
            roomiest=self._longest_texts(note, frames),
        )

    def at(self, note: Note, frame: int) -> tuple[ShownMark, ...]:
        """The note's moving marks on a frame of the clip; those with a hidden point are left out.

        The note was prepared.
        """
        return self._shown(note, frame, self._spots[note.id])

    def first_frame(self, note: Note) -> int:
        """The frame on which the note was made."""
        return self._numbers.first_frame(note)

    def _shown(
        self, note: Note, frame: int, spots: Mapping[str, LabelSpot]
    ) -> tuple[ShownMark, ...]:
        shown = []
        for mark in note.marks:
            moved = self._marks.at(mark, frame)
            if moved is not None:
                text = self._text(note, mark, frame)
                shown.append(ShownMark(moved, note.kind, text, spots.get(mark.id)))
        return tuple(shown)

    def _text(self, note: Note, mark: Mark, frame: int) -> str | None:
        reading = self._numbers.at(note, mark, frame)
        return None if reading is None else reading_words(reading, self._words)

    def _longest_texts(self, note: Note, frames: Sequence[int]) -> dict[str, str]:
        longest = {}
        for mark in note.marks:
            texts = [text for at in frames if (text := self._text(note, mark, at)) is not None]
            if texts:
                longest[mark.id] = max(texts, key=len)
        return longest


def body_outlines(places: Mapping[str, Point]) -> NDArray[np.float64]:
    """(N, 2) points of every body: of several, names carry whose they are before a colon."""
    bodies: dict[str, dict[str, Point]] = {}
    for name, place in places.items():
        whose, _, own = name.rpartition(":")
        bodies.setdefault(whose, {})[own] = place
    return np.concatenate([np.empty((0, 2)), *map(_body, bodies.values())])


def _body(places: Mapping[str, Point]) -> NDArray[np.float64]:
    """(N, 2) points along the limbs and round the head, where their points are known."""
    part = np.linspace(0.0, 1.0, _POINTS_OF_A_LIMB)[:, None]
    limbs = [
        (1.0 - part) * (places[a].x, places[a].y) + part * (places[b].x, places[b].y)
        for a, b in _LIMBS
        if a in places and b in places
    ]
    ear, below = places.get("ear"), places.get("c7") or places.get("shoulder")
    if ear is not None and below is not None:
        limbs.append((ear.x, ear.y) + math.hypot(ear.x - below.x, ear.y - below.y) * _ROUND)
    return np.concatenate([np.empty((0, 2)), *limbs])
