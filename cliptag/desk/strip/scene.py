"""What the strip's lanes share: the scene that they paint, and what of it can be taken hold of."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QFont, QImage, QPainter

from cliptag.desk.look import Palette
from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.reading import Reading
from cliptag.review import MomentName, Review

NotePart = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class NoteGrip:
    """A part of a note's bar."""

    note_id: str
    part: NotePart


@dataclass(frozen=True, slots=True)
class MomentGrip:
    """A moment's flag."""

    name: MomentName


Grip: TypeAlias = NoteGrip | MomentGrip


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything that a lane's picture depends on. Lengths are device-independent pixels."""

    review: Review
    axis: TimeAxis
    frames: FrameTimes
    loop_us: tuple[int, int] | None
    chosen_id: str | None
    hovered: Grip | None
    readings: Mapping[str, Reading]
    colours: Palette
    font: QFont
    em: float
    """The height of the text, in which all other lengths are given."""
    preview_near: Callable[[int], QImage | None]
    frozen_lanes: Mapping[str, int] | None = None
    """While a bar is dragged: on which lane each note stays."""


class Lane(ABC):
    """A band of the strip across its whole width."""

    @abstractmethod
    def height_em(self) -> float:
        """How high it wants to be, in text heights."""

    def paint_behind(  # noqa: B027 - most lanes have nothing there
        self, painter: QPainter, scene: Scene, below: QRectF
    ) -> None:
        """Paint what goes down from this lane through all others, behind them."""

    @abstractmethod
    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        """Paint what of it lies in the time that the scene's axis shows."""

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        """What can be taken hold of at a place, if anything."""
        return None
