"""What the strip's lanes share: the scene that they paint, and what of it can be taken hold of."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, TypeAlias

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QFont, QImage, QPainter

from cliptag.desk.look import Palette
from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.reading import Reading
from cliptag.review import MomentName, Review

if TYPE_CHECKING:
    from cliptag.measure import Curve, Proposal

NotePart = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class NoteGrip:
    """A part of a note's bar."""

    note_id: str
    part: NotePart


@dataclass(frozen=True, slots=True)
class MomentGrip:
    """A moment's flag; ``is_proposed``: the coach has not confirmed it yet."""

    name: MomentName
    repetition: int = 1
    is_proposed: bool = False


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
    proposals: tuple[Proposal, ...] = ()
    """Moments that are not confirmed."""
    curves: tuple[Curve, ...] = ()
    has_several: bool = False
    """Whether the movement is repeated."""

    def time_of(self, grip: MomentGrip) -> int:
        """When a moment is, set or proposed."""
        among = self.proposals if grip.is_proposed else self.review.moments
        key = (grip.name, grip.repetition)
        return next(m.at_us for m in among if (m.name, m.repetition) == key)


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

    def paint_now(  # noqa: B027 - most lanes have nothing there
        self, painter: QPainter, scene: Scene, box: QRectF, time_us: int
    ) -> None:
        """Paint over it what depends on the shown frame."""

    def live_boxes(self, scene: Scene, box: QRectF, time_us: int) -> list[QRectF]:
        """What ``paint_now`` covers."""
        return []

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        """What can be taken hold of at a place, if anything."""
        return None

    def words_at(self, scene: Scene, box: QRectF, at: QPointF) -> str:
        """What there is to tell of a place where nothing can be taken hold of."""
        return ""
