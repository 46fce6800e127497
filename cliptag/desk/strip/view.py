"""The strip under the picture: one time axis of the clip for everything that has a time."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import numpy as np
from PyQt6.QtCore import QEvent, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.desk.proposals import are_several, open_proposals
from cliptag.desk.state import DeskState
from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.axis_bar import AxisBar
from cliptag.desk.strip.bands import Bands
from cliptag.desk.strip.curves import value_words
from cliptag.desk.strip.drags import companions, reordered
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.hand import ORDER_WORDS, Hand
from cliptag.desk.strip.kept import KeptPicture
from cliptag.desk.strip.playhead_mark import PlayheadMark
from cliptag.desk.strip.pointer import ZOOM_STEP, StripPointer
from cliptag.desk.strip.reading_plan import ReadingPlan
from cliptag.desk.strip.scene import Scene
from cliptag.desk.strip.scrub import Scrub
from cliptag.desk.strip.words import strip_words
from cliptag.export import ExportOptions
from cliptag.review import MOMENTS_OF

if TYPE_CHECKING:
    from cliptag.measure import Curve, Proposal

_MARGIN: Final = 0.8


class StripView(QWidget):
    """Ticks, moments, small pictures, notes and the playhead on one axis.

    The pointer moves the playhead wherever it takes hold of nothing else. Everything but the
    playhead is painted once and kept until it changes.
    """

    axis_changed = pyqtSignal()
    """Another part of the clip is seen."""
    lanes_changed = pyqtSignal()
    """It wants to be of another height."""

    def __init__(self, state: DeskState, parent: QWidget | None = None) -> None:
        look.look()  # Made now, for it restyles every widget that is there.
        super().__init__(parent)
        self._state = state
        self._axis = TimeAxis(0)
        self._frames = FrameTimes(np.zeros(1, np.int64), 0)
        self._proposals: tuple[Proposal, ...] = ()
        self._curves: tuple[Curve, ...] = ()
        self.bands = Bands()
        self._kept = KeptPicture()
        self._painted: list[QRectF] = []
        self.scrub = Scrub(state, self)
        self._hand = Hand(state, self.scrub)
        self._pointer = StripPointer(self, self._hand)
        self._plan = ReadingPlan(state, self)
        self._bar = AxisBar(self)
        self._bar.scrolled.connect(lambda us: self.set_axis(self._axis.scrolled_to(us)))
        self.setObjectName("strip")
        self.setAccessibleName("Time strip")
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._listen()
        self._open()

    @property
    def axis(self) -> TimeAxis:
        """Which part of the clip is seen, and where."""
        return self._axis

    @property
    def shown_index(self) -> int:
        """The frame at the playhead: while one drags, the one under the pointer."""
        wished = self.scrub.index
        index = self._state.playhead.index if wished is None else wished
        # While another clip is put on the desk the playhead is still where it was on the last one.
        return min(index, len(self._frames.times_us) - 1)

    @property
    def shown_us(self) -> int:
        """When that frame begins."""
        return int(self._frames.times_us[self.shown_index])

    def zoom_in(self) -> None:
        """Show less time, about the playhead if it is seen."""
        self.zoom(ZOOM_STEP, self._zoom_centre())

    def zoom_out(self) -> None:
        """Show more time."""
        self.zoom(1.0 / ZOOM_STEP, self._zoom_centre())

    def show_all(self) -> None:
        """Show the whole clip."""
        self.set_axis(self._axis.whole())

    def move_chosen_in_order(self, by: int) -> None:
        """Put the chosen note so many places later among those that start together with it."""
        note, document = self._state.chosen_note, self._state.document
        if note is not None and document is not None:
            document.do(reordered(document.review, note.id, by), ORDER_WORDS)

    def can_move_chosen_in_order(self) -> bool:
        """Whether other notes start together with the chosen one."""
        note, document = self._state.chosen_note, self._state.document
        return (
            note is not None
            and document is not None
            and len(companions(document.review, note.id)) > 1
        )

    def plan_for(self, options: ExportOptions) -> None:
        """Show the holds of a video that is made with these options."""
        self._plan.plan_for(options)

    def zoom(self, factor: float, about_x: float) -> None:
        """Show so many times less; the time at a place of the strip stays there."""
        self.set_axis(self._axis.zoomed(factor, about_x))

    def set_axis(self, axis: TimeAxis) -> None:
        """Show another part of the clip."""
        if axis == self._axis:
            return
        self._axis = axis
        self._bar.show_axis(axis)
        self.renew()
        self.axis_changed.emit()

    def scene(self) -> Scene | None:
        """What there is to see; None with nothing open."""
        state = self._state
        if state.document is None or state.feed is None:
            return None
        note = state.chosen_note
        return Scene(
            review=state.document.review,
            axis=self._axis,
            frames=self._frames,
            loop_us=state.playhead.loop,
            chosen_id=None if note is None else note.id,
            hovered=self._pointer.hovered,
            readings=self._plan.readings,
            colours=look.palette(),
            font=look.font(),
            em=self._em,
            preview_near=state.feed.preview_near,
            frozen_lanes=self._hand.frozen_lanes,
            proposals=self._proposals,
            curves=self._curves,
            has_several=are_several((*state.document.review.moments, *self._proposals)),
        )

    def renew(self) -> None:
        """Paint all of it anew."""
        self._kept.drop()
        self.update()

    def note_box(self, note_id: str) -> QRectF | None:
        """Where a note's bar lies in this widget; None if it has none."""
        scene = self.scene()
        if scene is None or self.bands.is_photo:
            return None
        return self.bands.notes.box_of(scene, self.bands.notes_box, note_id)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        height = (self.bands.height_em + 0.6) * self._em + self._bar.sizeHint().height()
        return QSize(round(60 * self._em), round(height))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        height = (self.bands.least_height_em + 0.8) * self._em + self._bar.sizeHint().height()
        return QSize(round(16 * self._em), round(height))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        scene = self.scene()
        if scene is None:
            painter.fillRect(self.rect(), look.palette().colour("ground"))
            return
        self._kept.paint(painter, scene, self.bands, self._strip, self.size().toSizeF())
        if not self.bands.is_photo:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            mark = self._mark(scene)
            mark.paint(painter)
            self.bands.paint_now(painter, scene, self.shown_us)
            self._painted = [mark.box, *self.bands.live_boxes(scene, self.shown_us)]

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        height = self._bar.sizeHint().height()
        strip = self._strip
        self._bar.setGeometry(
            round(strip.left()), self.height() - height, round(strip.width()), height
        )
        self.set_axis(self._axis.laid(strip.left(), strip.width()))
        self.bands.lay(strip, self._em)
        self.renew()

    def changeEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and event.type() in (
            QEvent.Type.PaletteChange,
            QEvent.Type.FontChange,
            QEvent.Type.StyleChange,
        ):
            self.updateGeometry()
            self.resizeEvent(None)
        super().changeEvent(event)

    @property
    def _em(self) -> float:
        return float(look.space())

    @property
    def _strip(self) -> QRectF:
        """Where the lanes lie."""
        margin, bar = _MARGIN * self._em, self._bar.sizeHint().height()
        return QRectF(
            margin, 0.3 * self._em, self.width() - 2 * margin, self.height() - 0.6 * self._em - bar
        )

    def _listen(self) -> None:
        state = self._state
        state.opened.connect(self._open)
        state.reviewed.connect(self._reviewed)
        state.chosen.connect(self._chosen)
        state.followed.connect(self._followed)
        state.shown_curves.changed.connect(self._followed)
        state.playhead.moved.connect(self._moved)
        state.playhead.playing_changed.connect(self._describe)
        state.playhead.loop_changed.connect(self.renew)
        self.scrub.moved.connect(self._show_playhead)
        self._plan.planned.connect(self.renew)

    def _mark(self, scene: Scene) -> PlayheadMark:
        labels = self.bands.label_boxes(scene)
        return PlayheadMark(scene, self._strip, self.shown_index, labels)

    def _open(self) -> None:
        clip, feed = self._state.clip, self._state.feed
        if clip is not None and feed is not None:
            feed.previewed.connect(self.renew)
            self._frames = FrameTimes(clip.times_us, clip.duration_us)
            self._axis = TimeAxis(clip.duration_us)
        self._hand.cancel()
        self._reviewed()
        self.resizeEvent(None)

    def _reviewed(self) -> None:
        self._pointer.forget()
        self._followed()

    def _followed(self) -> None:
        """Show the curves and proposals of what is known of the movement."""
        clip, document, following = (
            self._state.clip,
            self._state.document,
            self._state.following,
        )
        if clip is not None and document is not None:
            review, report = document.review, following.report if following else None
            self._proposals = open_proposals(review, report)
            angles = report.angles if report is not None else {}
            names = self._state.shown_curves.names(review.movement, angles)
            self._curves = tuple(angles[name] for name in names)
            if self.bands.choose(
                is_photo=clip.info.is_photo,
                has_moments=bool(MOMENTS_OF[review.movement]),
                has_curves=bool(self._curves),
            ):
                self.bands.lay(self._strip, self._em)
                self.updateGeometry()
                self.lanes_changed.emit()
        self._describe()
        self.renew()

    def _chosen(self) -> None:
        note = self._state.chosen_note
        if note is not None and not self._hand.is_dragging:
            self.set_axis(self._axis.with_seen(note.start_us))
        self.renew()

    def _moved(self, index: int) -> None:
        if self.scrub.index is None:
            self.set_axis(self._axis.with_seen(int(self._frames.times_us[index])))
        self._show_playhead()
        if not self._state.playhead.is_playing:
            self._describe()

    def _show_playhead(self) -> None:
        scene = self.scene()
        if scene is not None:
            now = [self._mark(scene).box, *self.bands.live_boxes(scene, self.shown_us)]
            for box in (*self._painted, *now):
                self.update(box.toAlignedRect())

    def _describe(self) -> None:
        scene = self.scene()
        if scene is None:
            self.setAccessibleDescription("Nothing is open")
            return
        mark = self._mark(scene)
        values = ", ".join(value_words(curve, self.shown_us) for curve in scene.curves)
        self.setAccessibleDescription(
            strip_words(scene.review, mark.words, len(scene.proposals), values)
        )

    def _zoom_centre(self) -> float:
        x = self._axis.x_of(int(self._frames.times_us[self.shown_index]))
        is_seen = self._axis.left <= x <= self._axis.left + self._axis.width
        return x if is_seen else self._axis.left + self._axis.width / 2
