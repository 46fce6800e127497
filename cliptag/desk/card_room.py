"""The stage and, where the picture leaves it free, the room beside it in which the card opens."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QPoint, QRect, QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PyQt6.QtWidgets import QApplication, QLabel, QSizePolicy, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card import NoteCard
from cliptag.desk.commands import Commands, key_words
from cliptag.desk.parts import holds
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState

_LEAST_PART: Final = 0.8
"""The picture may become so much smaller for the card to lie beside it rather than over it."""
_LEAST_CARD: Final = 18.0
"""Where the stage is lower than that, in text heights, the card may cover what lies under it."""
_ROOMY: Final = 1.6
"""Beside a page there must be so many widths of the card: else it would hide all the picture."""

_HINTS: Final = (
    ("about_clip", "is for the client's name, the movement and the day."),
    ("impression", "is for the general impression: what strikes you first."),
    ("new_note", "writes a note about this frame, on the place of the climb that is chosen."),
    ("open_rung", "goes up to the next place that you did not look at."),
    ("fine", "tells that a place was looked at and is fine."),
    ("next_moment", "sets the next moment of the movement here."),
    ("tool_joint", "measures a joint angle; the other tools are above the picture."),
    ("tool_point", "places points to follow, for numbers of the whole movement."),
    ("movement", "tells of the followed movement in numbers."),
)


class CardRoom(QWidget):
    """Lays out stage and card.

    A picture that is higher than wide leaves room at its right. That room is kept for the card
    whether it is open or not, so that the picture never jumps.
    """

    def __init__(
        self,
        state: DeskState,
        stage: StageView,
        card: NoteCard,
        commands: Commands,
        body: QWidget,
    ) -> None:
        super().__init__()
        self._state, self._stage, self._card, self._body = state, stage, card, body
        self._hints = _Hints(commands, self)
        self._is_hinting = True
        self._covered = 0
        stage.setParent(self)
        card.setParent(body)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        stage.view_changed.connect(self._place_card)
        state.chosen.connect(self._show)
        state.opened.connect(self._lay_out)
        look.look().changed.connect(self._lay_out)
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        self._lay_out()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter, foot = QPainter(self), self._stage.foot.height()
        painter.fillRect(self.rect(), look.palette().colour("well"))
        painter.fillRect(
            0, self.height() - foot, self.width(), foot, look.palette().colour("ground")
        )
        painter.setPen(look.palette().colour("hairline"))
        painter.drawLine(0, self.height() - foot, self.width(), self.height() - foot)

    def room_beside(self) -> int:
        """The width that is kept free for the card; 0 where it has to lie over the picture."""
        clip = self._state.clip
        card = self._card.sizeHint().width()
        width, height = self.width(), self.height() - self._stage.foot.height()
        if clip is None or width <= card or height <= 0:
            return 0
        shape = clip.info.width / clip.info.height
        whole = min(height * shape, width)
        beside = min(height * shape, width - card)
        return card if beside >= _LEAST_PART * whole else 0

    def show_hints(self, is_on: bool) -> None:
        """Show what to do next, or not: while the client's video plays, nothing is to be done."""
        self._is_hinting = is_on
        self._show()

    def keep_off(self, covered: int) -> None:
        """Open the card off a page that covers so much at the right, if it leaves enough room."""
        self._covered = covered
        self._place_card()

    def _lay_out(self) -> None:
        beside = self.room_beside()
        self._stage.setGeometry(0, 0, self.width() - beside, self.height())
        self._hints.setGeometry(self.width() - beside, 0, beside, self.height())
        self._show()

    def _show(self) -> None:
        is_free = self.room_beside() > 0 and self._state.chosen_note is None
        self._hints.setVisible(is_free and self._is_hinting)
        self._place_card()
        focus = QApplication.focusWidget()
        if focus is None or not holds(self._card, focus):
            self._keep_pages_in_front()

    def _keep_pages_in_front(self) -> None:
        """A number that a page puts into a note must not hide the next one."""
        direct = Qt.FindChildOption.FindDirectChildrenOnly
        for page in self._body.findChildren(SidePanel, options=direct):
            if page.isVisible():
                page.raise_()

    def _place_card(self) -> None:
        if self._state.chosen_note is not None:
            corner = self.mapTo(self._body, QPoint(0, 0))
            height = self.height() - self._stage.foot.height()
            if height < look.space(_LEAST_CARD):
                height = self._body.height() - corner.y()
            free = self.width() - self._covered
            width = free if free >= _ROOMY * self._card.sizeHint().width() else self.width()
            avoid = self._stage.chosen_box().toRect()
            if avoid.isEmpty() and width < self.width():
                avoid = self._picture()
            avoid.translate(corner)
            self._card.place_in(QRect(corner, QSize(width, height)), avoid)

    def _picture(self) -> QRect:
        """Where the picture lies."""
        view = self._stage.viewport
        if view is None:
            return QRect()
        left, top = view.to_area(0.0, 0.0)
        right, bottom = view.to_area(*map(float, view.picture))
        return QRectF(left, top, right - left, bottom - top).toRect()


class _Hints(QWidget):
    """What to do next, where the card will open."""

    def __init__(self, commands: Commands, parent: QWidget) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.addStretch(1)
        self._lines: list[QLabel] = []
        for name, does in _HINTS:
            key = key_words(commands.action(name).shortcut().toString())
            line = QLabel(f"<b>{key}</b>&nbsp; {does}")
            line.setProperty("role", "quiet")
            line.setWordWrap(True)
            layout.addWidget(line)
            self._lines.append(line)
        layout.addStretch(2)
        margin = look.space(2)
        layout.setContentsMargins(margin, margin, margin, margin)
        layout.setSpacing(look.space(0.6))

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        """Leave out the last lines where there is no room for all."""
        layout = self.layout()
        assert layout is not None
        for line in self._lines:
            line.show()
        for line in reversed(self._lines):
            if layout.totalHeightForWidth(self.width()) <= self.height():
                break
            line.hide()
