"""Which lanes the strip has, and where each lies in it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QPainter

from cliptag.desk.strip.bars import NoteLane
from cliptag.desk.strip.chips import ChipLane
from cliptag.desk.strip.curves import CurveLane
from cliptag.desk.strip.film import FilmLane
from cliptag.desk.strip.flags import FlagLane
from cliptag.desk.strip.ruler import RulerLane
from cliptag.desk.strip.scene import Grip, Lane, Scene

LEAST_NOTES_EM: Final = 2.6
"""The lane of notes is never lower than this: others give way to it."""


@dataclass(slots=True)
class Bands:
    """Lanes from top to bottom; the notes' comes last and has all the height that is left."""

    notes: NoteLane = field(default_factory=NoteLane)
    chips: ChipLane = field(default_factory=ChipLane)
    _upper: list[Lane] = field(default_factory=list)
    _boxes: list[tuple[Lane, QRectF]] = field(default_factory=list)
    is_photo: bool = False

    def choose(self, *, is_photo: bool, has_moments: bool, has_curves: bool) -> bool:
        """Have the lanes that suit a clip; tells whether they are others than before."""
        kinds: list[type[Lane]] = []
        if not is_photo:
            wanted = ((RulerLane, True), (FlagLane, has_moments), (CurveLane, has_curves))
            kinds = [*(kind for kind, is_wanted in wanted if is_wanted), FilmLane]
        if is_photo == self.is_photo and kinds == [type(lane) for lane in self._upper]:
            return False
        self.is_photo = is_photo
        self._upper = [kind() for kind in kinds]
        return True

    @property
    def height_em(self) -> float:
        """How high all of them want to be, in text heights."""
        return sum(lane.height_em() for lane in self._upper) + self._last.height_em()

    @property
    def least_height_em(self) -> float:
        """How high they are at least: curves never go without their flags."""
        has_curves = any(isinstance(lane, CurveLane) for lane in self._upper)
        needed = (RulerLane, FlagLane, CurveLane) if has_curves else (RulerLane,)
        lanes = (lane for lane in self._upper if isinstance(lane, needed))
        return sum(lane.height_em() for lane in lanes) + LEAST_NOTES_EM

    @property
    def _last(self) -> Lane:
        return self.chips if self.is_photo else self.notes

    def lay(self, strip: QRectF, em: float) -> None:
        """Stack the lanes; those at the end of the list are left out where there is no room."""
        self._boxes = []
        top = strip.top()
        for lane in self._upper:
            height = lane.height_em() * em
            if top + height + LEAST_NOTES_EM * em <= strip.bottom() or not self._boxes:
                self._boxes.append((lane, QRectF(strip.left(), top, strip.width(), height)))
                top += height
        rest = QRectF(strip.left(), top, strip.width(), max(0.0, strip.bottom() - top))
        self._boxes.append((self._last, rest))

    @property
    def lanes(self) -> list[tuple[Lane, QRectF]]:
        """Each lane that is shown, with its box."""
        return self._boxes

    def label_boxes(self, scene: Scene) -> list[QRectF]:
        """Where times are written."""
        return [
            where
            for lane, box in self._boxes
            if isinstance(lane, RulerLane)
            for where in lane.label_boxes(scene, box)
        ]

    @property
    def notes_box(self) -> QRectF:
        """Where the notes lie."""
        return self._boxes[-1][1] if self._boxes else QRectF()

    def paint(self, painter: QPainter, scene: Scene, strip: QRectF) -> None:
        """Paint all lanes."""
        for lane, box in self._boxes:
            below = QRectF(box.topLeft(), strip.bottomRight())
            lane.paint_behind(painter, scene, below)
        for lane, box in self._boxes:
            lane.paint(painter, scene, box)

    def paint_now(self, painter: QPainter, scene: Scene, time_us: int) -> None:
        """Paint what depends on the shown frame."""
        for lane, box in self._boxes:
            lane.paint_now(painter, scene, box, time_us)

    def live_boxes(self, scene: Scene, time_us: int) -> list[QRectF]:
        """What that covers."""
        return [
            where for lane, box in self._boxes for where in lane.live_boxes(scene, box, time_us)
        ]

    def words_at(self, scene: Scene, at: QPointF) -> str:
        """What there is to tell of a place where nothing can be taken hold of."""
        return next(
            (lane.words_at(scene, box, at) for lane, box in self._boxes if box.contains(at)), ""
        )

    def hit(self, scene: Scene, at: QPointF) -> Grip | None:
        """What can be taken hold of at a place."""
        for lane, box in self._boxes:
            if box.contains(at):
                return lane.hit(scene, box, at)
        return None
