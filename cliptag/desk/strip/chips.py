"""The lane of notes of a photo, which has no time: in order, side by side, wrapped like words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPen

from cliptag.desk.strip.bars import tint
from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Grip, Lane, NoteGrip, Scene
from cliptag.paint import paint_kind
from cliptag.review import REGION_WORDS, Note, Review

_LINE_EM: Final = 1.9
_GAP_EM: Final = 0.4


class ChipLane(Lane):
    """A chip for each note, with its number; dragging one changes the order."""

    def height_em(self) -> float:
        return 2 * _LINE_EM

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        painter.setFont(small_font(scene))
        for number, (note, chip) in enumerate(self._chips(scene, box), start=1):
            if chip.top() > box.bottom():
                return
            self._paint_chip(painter, scene, chip, note, number)

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        for note, chip in self._chips(scene, box):
            if chip.contains(at):
                return NoteGrip(note.id, "middle")
        return None

    @staticmethod
    def notes(review: Review) -> tuple[Note, ...]:
        """The notes in the order in which they are shown."""
        return tuple(sorted(review.notes, key=lambda note: note.start_us))

    def place_at(self, scene: Scene, box: QRectF, at: QPointF) -> int:
        """The place in the order that is nearest to a point."""
        centres = [chip.center() for _, chip in self._chips(scene, box)]
        # A chip on another line is far away, however near it is across.
        return min(
            range(len(centres)),
            key=lambda place: (
                abs(centres[place].x() - at.x()) + 100.0 * abs(centres[place].y() - at.y())
            ),
            default=0,
        )

    def _chips(self, scene: Scene, box: QRectF) -> Iterator[tuple[Note, QRectF]]:
        metrics = QFontMetricsF(small_font(scene))
        x, y, line = box.left(), box.top(), _LINE_EM * scene.em
        for number, note in enumerate(self.notes(scene.review), start=1):
            words = metrics.horizontalAdvance(_words(note, number))
            width = words + 2.1 * scene.em
            if x > box.left() and x + width > box.right():
                x, y = box.left(), y + line
            yield note, QRectF(x, y + 0.15 * scene.em, width, line - 0.3 * scene.em)
            x += width + _GAP_EM * scene.em

    def _paint_chip(
        self, painter: QPainter, scene: Scene, chip: QRectF, note: Note, number: int
    ) -> None:
        em = scene.em
        is_chosen = note.id == scene.chosen_id
        painter.setPen(
            QPen(scene.colours.colour("accent"), 2.0) if is_chosen else Qt.PenStyle.NoPen
        )
        painter.setBrush(tint(scene, note.kind, 0.42 if is_chosen else 0.26))
        painter.drawRoundedRect(chip, 0.3 * em, 0.3 * em)
        shape = QRectF(chip.left() + 0.4 * em, chip.center().y() - 0.41 * em, 0.82 * em, 0.82 * em)
        paint_kind(painter, note.kind, shape, scene.colours.colour("plate"))
        painter.setPen(scene.colours.colour("ink"))
        painter.drawText(
            chip.adjusted(1.5 * em, 0.0, 0.0, 0.0),
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            _words(note, number),
        )


def _words(note: Note, number: int) -> str:
    return f"{number}  {REGION_WORDS[note.region]}"
