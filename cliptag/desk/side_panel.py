"""A page that lies over the desk's right side for as long as it is needed; never a dialog."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look


class SidePanel(QFrame):
    """A titled page over the right side of ``host``; Esc or its button closes it.

    Pages put their rows into ``body``. With ``above`` the page ends where that part of the host
    begins, so that it stays in sight.
    """

    brought = pyqtSignal()
    closed = pyqtSignal()

    def __init__(
        self, title: str, host: QWidget, *, width: float = 22.0, above: QWidget | None = None
    ) -> None:
        super().__init__(host)
        self._host = host
        self._width = width
        self._above = above
        self._before: QWidget | None = None
        self.setObjectName("panel")
        self.setAccessibleName(title)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAutoFillBackground(True)
        self._title = QLabel(title)
        self._title.setProperty("role", "page")
        close = QToolButton()
        close.setText("Close")
        close.setToolTip(f"Close '{title}' (Esc)")
        close.setAccessibleName(f"Close {title}")
        close.clicked.connect(self.put_away)
        self.head = QHBoxLayout()
        self.head.addWidget(self._title, 1)
        self.head.addWidget(close)
        inside = QWidget()
        self.body = QVBoxLayout(inside)
        self._area = QScrollArea()
        self._area.setWidget(inside)
        self._area.setWidgetResizable(True)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._outer = QVBoxLayout(self)
        self._outer.addLayout(self.head)
        self._outer.addWidget(self._area, 1)
        self._restyle()
        look.look().changed.connect(self._restyle)
        host.installEventFilter(self)
        if above is not None:
            above.installEventFilter(self)
        self.hide()

    def bring(self) -> None:
        """Show the page and give it the keyboard."""
        if not self.isVisible():
            window = self._host.window()
            self._before = window.focusWidget() if window else None
        self._place()
        self.show()
        self.raise_()
        self.focus_first()
        self.brought.emit()

    def put_away(self) -> None:
        """Close the page; the keyboard goes back to where it was."""
        if not self.isVisible():
            return
        self.hide()
        if self._before is not None:
            self._before.setFocus(Qt.FocusReason.OtherFocusReason)
        self.closed.emit()

    def focus_first(self) -> None:
        """Give the keyboard to the first thing of the page that takes it."""
        inside = self._area.widget()
        assert inside is not None
        for widget in inside.findChildren(QWidget):
            if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisibleTo(self):
                widget.setFocus(Qt.FocusReason.TabFocusReason)
                return

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        moves = (QEvent.Type.Resize, QEvent.Type.Move)
        if event is not None and event.type() in moves and watched in (self._host, self._above):
            self._place()
        return super().eventFilter(watched, event)

    def _place(self) -> None:
        width = min(look.space(self._width), self._host.width())
        height = self._host.height() if self._above is None else self._above.y()
        self.setGeometry(self._host.width() - width, 0, width, height)

    def _restyle(self) -> None:
        colours, margin = look.palette(), look.space(0.9)
        self.setStyleSheet(
            f"#panel {{ background: {colours.plate}; border-left: 1px solid {colours.edge}; }}"
        )
        self._outer.setContentsMargins(margin, margin, round(margin / 2), margin)
        self.body.setContentsMargins(0, round(margin / 2), round(margin / 2), 0)
        self.body.setSpacing(look.space(0.5))
        self._place()
