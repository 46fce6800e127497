"""The row under the stage: the controls at its left, the bar beside them or, if need be, below."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QSize
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QBoxLayout, QWidget


class FootRow(QWidget):
    """Never asks the window to be wider than the widest of its parts is.

    A sentence that would have too little room beside the controls goes under them.
    """

    def __init__(self, controls: tuple[QWidget, ...], bar: QWidget) -> None:
        super().__init__()
        self._controls, self._bar = controls, bar
        self._layout = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(0)
        for widget in controls:
            self._layout.addWidget(widget)
        self._layout.addWidget(bar, 1)

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        parts = [part for part in (*self._controls, self._bar) if not part.isHidden()]
        width = max((part.minimumSizeHint().width() for part in parts), default=0)
        return QSize(width, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._arrange()

    def event(self, event: QEvent | None) -> bool:
        if event is not None and event.type() == QEvent.Type.LayoutRequest:
            self._arrange()
        return super().event(event)

    def _arrange(self) -> None:
        beside = sum(
            part.minimumSizeHint().width()
            for part in (*self._controls, self._bar)
            if not part.isHidden()
        )
        fits = beside <= self.width()
        self._layout.setDirection(
            QBoxLayout.Direction.LeftToRight if fits else QBoxLayout.Direction.TopToBottom
        )
