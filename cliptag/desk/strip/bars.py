"""The lane of notes: a bar for each, on as many lines as there is room for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Final

import numpy as np
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from cliptag.desk.strip.layout import Layout, lay_out
from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Grip, Lane, NoteGrip, NotePart, Scene
from cliptag.paint import kind_colour, paint_kind
from cliptag.review import REGION_WORDS, Kind, Note, Region

_SHAPE_EM: Final = 0.82
_BARE_EM: Final = 1.5
"""The width of a bar that has room for its shape only."""
_PAD_EM: Final = 0.4
_GAP_EM: Final = 0.15
_GRIP_EM: Final = 0.4
_TINY: Final = 0.01
"""In pixels: what floating point may take from a width that fits exactly."""
_LINE_EM: Final = 1.45
_LEAST_LINE_EM: Final = 1.25


@dataclass(frozen=True, slots=True)
class _Laid:
    """A layout, and all that it depends on."""

    key: tuple[object, ...]
    layout: Layout


class NoteLane(Lane):
    """The notes' bars; it takes whatever height the strip has left."""

    def __init__(self) -> None:
        self._laid: _Laid | None = None
        self._tags = _TagWidths()

    def height_em(self) -> float:
        return 3 * _LINE_EM + 0.2

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        layout = self._layout(scene, box)
        painter.setFont(small_font(scene))
        seen = layout.between(scene.axis.start_us, scene.axis.end_us)
        boxes = self._boxes(scene, box, layout, seen)
        room_px = layout.room_us[seen.start : seen.stop] / scene.axis.us_per_px
        crowded: defaultdict[Kind, list[QRectF]] = defaultdict(list)
        chosen: tuple[Note, QRectF] | None = None
        for place, bar_box, room in zip(seen, boxes, room_px.tolist(), strict=True):
            note = layout.notes[place]
            if note.id == scene.chosen_id:
                chosen = note, bar_box
            elif room < 0.6 * _BARE_EM * scene.em:
                crowded[note.kind].append(bar_box)
            else:
                self._paint_bar(painter, scene, bar_box, note)
        painter.setPen(Qt.PenStyle.NoPen)
        for kind, bar_boxes in crowded.items():
            painter.setBrush(tint(scene, kind, 0.75))
            painter.drawRects(*bar_boxes)
        if chosen is not None:
            self._paint_bar(painter, scene, chosen[1], chosen[0])

    def hit(self, scene: Scene, box: QRectF, at: QPointF) -> Grip | None:
        layout = self._layout(scene, box)
        grip = _GRIP_EM * scene.em
        reach_us = (grip + _BARE_EM * scene.em) * scene.axis.us_per_px
        at_us = scene.axis.free_us_at(at.x())
        seen = layout.between(at_us - reach_us, at_us + reach_us)
        near = [
            (layout.notes[place], bar_box)
            for place, bar_box in zip(seen, self._boxes(scene, box, layout, seen), strict=True)
            if bar_box.adjusted(-grip, 0.0, grip, 0.0).contains(at)
        ]
        if not near:
            return None
        # What was painted last is on top, and the chosen one is on top of all.
        near.sort(key=lambda found: (found[1].contains(at), found[0].id == scene.chosen_id))
        note, bar_box = near[-1]
        return NoteGrip(note.id, _part_at(bar_box, at.x(), grip))

    def lanes(self, scene: Scene, box: QRectF) -> dict[str, int]:
        """On which line each note lies, by its id."""
        return self._layout(scene, box).lanes_by_id()

    def line_height(self, scene: Scene, box: QRectF) -> float:
        """From one line to the next."""
        count = max(1, self._layout(scene, box).lane_count)
        return min(max(box.height() / count, _LEAST_LINE_EM * scene.em), _LINE_EM * scene.em)

    def box_of(self, scene: Scene, box: QRectF, note_id: str) -> QRectF | None:
        """Where a note's bar lies; None if there is no such note."""
        layout = self._layout(scene, box)
        place = layout.place_of(note_id)
        if place is None:
            return None
        return self._boxes(scene, box, layout, range(place, place + 1))[0]

    def _layout(self, scene: Scene, box: QRectF) -> Layout:
        most = max(1, int(box.height() / (_LEAST_LINE_EM * scene.em)))
        notes, us_per_px = scene.review.notes, scene.axis.us_per_px
        for_lanes = (us_per_px, most, scene.em, scene.frozen_lanes)
        key = (notes, *for_lanes)
        laid = self._laid
        if laid is None or laid.key != key:
            before = laid.layout if laid is not None and laid.key[1:] == for_lanes else None
            tags = self._tags.of(scene)
            gap = _GAP_EM * scene.em
            worded_us = [(tags[note.region] + gap) * us_per_px for note in notes]
            bare_us = (_BARE_EM + _GAP_EM) * scene.em * us_per_px
            layout = lay_out(notes, bare_us, worded_us, most, scene.frozen_lanes, before)
            laid = self._laid = _Laid(key, layout)
        return laid.layout

    def _boxes(self, scene: Scene, box: QRectF, layout: Layout, places: range) -> list[QRectF]:
        """From each note's start to its end, wider if there is room and its words need it."""
        part, us_per_px = slice(places.start, places.stop), scene.axis.us_per_px
        gap = _GAP_EM * scene.em
        starts = layout.starts_us[part]
        lefts = scene.axis.left + (starts - scene.axis.start_us) / us_per_px
        exact = (layout.ends_us[part] - starts) / us_per_px
        room = layout.room_us[part] / us_per_px - gap
        tags = layout.worded_us[part] / us_per_px - gap
        wanted = np.where(tags <= room + _TINY, tags, _BARE_EM * scene.em)
        widths = np.maximum(np.maximum(exact, np.minimum(wanted, room)), 2.0)
        pitch = self.line_height(scene, box)
        tops = box.top() + layout.lanes[part] * pitch + 1.0
        return [
            QRectF(left, top, width, pitch - 2.0)
            for left, top, width in zip(lefts.tolist(), tops.tolist(), widths.tolist(), strict=True)
        ]

    def _paint_bar(self, painter: QPainter, scene: Scene, bar_box: QRectF, note: Note) -> None:
        em = scene.em
        is_chosen = note.id == scene.chosen_id
        is_hovered = isinstance(scene.hovered, NoteGrip) and scene.hovered.note_id == note.id
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(tint(scene, note.kind, 0.42 if is_chosen or is_hovered else 0.26))
        painter.drawPath(_flap(bar_box, 0.3 * em))
        self._paint_interval(painter, scene, bar_box, note)
        if is_chosen:
            painter.setPen(QPen(scene.colours.colour("accent"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(_flap(bar_box, 0.3 * em))
        self._paint_tag(painter, scene, bar_box, note)

    def _paint_interval(self, painter: QPainter, scene: Scene, bar_box: QRectF, note: Note) -> None:
        """A line under the bar from the note's start to its end, however wide the bar is."""
        thickness = max(2.0, 0.16 * scene.em)
        length = max(2.0, scene.axis.x_of(note.end_us) - bar_box.left())
        # The bar's round end would be cut off by a square line.
        length = min(length, max(2.0, bar_box.width() - 0.2 * scene.em))
        painter.setBrush(kind_colour(note.kind))
        painter.drawRect(QRectF(bar_box.left(), bar_box.bottom() - thickness, length, thickness))
        reading = scene.readings.get(note.id)
        if reading is not None and reading.hold_us > 0:
            _paint_hold(painter, bar_box, scene.em, kind_colour(note.kind))

    def _paint_tag(self, painter: QPainter, scene: Scene, bar_box: QRectF, note: Note) -> None:
        em = scene.em
        # A long bar that begins before what is seen keeps its words in sight.
        left = min(max(bar_box.left(), scene.axis.left), bar_box.right() - _BARE_EM * em)
        room = bar_box.right() - left
        if room < 0.9 * _SHAPE_EM * em:
            return
        side = _SHAPE_EM * em
        middle = bar_box.center().y() - 0.06 * em
        x = left + min(_PAD_EM * em, (room - side) / 2)
        shape = QRectF(x, middle - side / 2, side, side)
        paint_kind(painter, note.kind, shape, scene.colours.colour("plate"))
        if room + _TINY >= self._tags.of(scene)[note.region]:
            x += side + 0.22 * em
            painter.setPen(scene.colours.colour("ink"))
            words = QRectF(x, bar_box.top() - 0.06 * em, bar_box.right() - x, bar_box.height())
            flags = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft
            painter.drawText(words, flags, REGION_WORDS[note.region])


class _TagWidths:
    """How wide each region's tag is: shape and word."""

    def __init__(self) -> None:
        self._font = ""
        self._px: dict[Region, float] = {}

    def of(self, scene: Scene) -> dict[Region, float]:
        font = scene.font.toString()
        if font != self._font:
            self._font = font
            metrics = QFontMetricsF(small_font(scene))
            around = (_PAD_EM + _SHAPE_EM + 0.22 + 0.4) * scene.em
            self._px = {
                region: around + metrics.horizontalAdvance(words)
                for region, words in REGION_WORDS.items()
            }
        return self._px


def _flap(box: QRectF, radius: float) -> QPainterPath:
    """A bar's outline: straight at its start, which is exact, and round at its end."""
    radius = min(radius, box.width(), box.height() / 2)
    path = QPainterPath(box.topLeft())
    path.lineTo(box.right() - radius, box.top())
    path.quadTo(box.topRight(), QPointF(box.right(), box.top() + radius))
    path.lineTo(box.right(), box.bottom() - radius)
    path.quadTo(box.bottomRight(), QPointF(box.right() - radius, box.bottom()))
    path.lineTo(box.bottomLeft())
    path.closeSubpath()
    return path


def _part_at(bar_box: QRectF, x: float, grip: float) -> NotePart:
    if bar_box.width() >= 3.5 * grip:
        if x < bar_box.left() + grip:
            return "start"
        return "end" if x > bar_box.right() - grip else "middle"
    if x < bar_box.left():
        return "start"
    return "end" if x > bar_box.right() else "middle"


def _paint_hold(painter: QPainter, bar_box: QRectF, em: float, colour: QColor) -> None:
    """A double line at the bar's start, as music writes a pause in its course."""
    thickness = max(1.5, 0.1 * em)
    for place in (0.0, 2.0 * thickness):
        painter.fillRect(
            QRectF(bar_box.left() + place, bar_box.top(), thickness, bar_box.height()), colour
        )


def tint(scene: Scene, kind: Kind, share: float) -> QColor:
    """The kind's colour mixed into the plate, so that ink stays readable on it."""
    plate, colour = scene.colours.colour("plate"), kind_colour(kind)
    return QColor.fromRgbF(
        *(
            share * over + (1.0 - share) * under
            for over, under in zip(colour.getRgbF()[:3], plate.getRgbF()[:3], strict=True)
        )
    )
