"""The lever-arm lesson as it would be sent, and the button that saves it."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QRectF, QSize
from PyQt6.QtGui import QImage, QPainter, QPaintEvent
from PyQt6.QtWidgets import QPushButton, QSizePolicy, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.lesson import drawn
from cliptag.measure import CloserLoad
from cliptag.paint import WIDE, lever_arm


class LessonView(QWidget):
    """Shows a lesson, drawn anew when it is another."""

    def __init__(self, save: Callable[[], object]) -> None:
        super().__init__()
        self._picture = _Picture()
        button = QPushButton("Save the picture for a phone")
        button.setToolTip("Write it beside the review as a PNG, tall, to send to the client")
        button.setAccessibleName(button.text())
        button.clicked.connect(lambda: save())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.3))
        layout.addWidget(self._picture)
        layout.addWidget(button)

    def show_lesson(self, lesson: CloserLoad | None) -> None:
        """Show a lesson, or nothing."""
        self.setVisible(lesson is not None)
        if lesson is not None:
            self._picture.show_image(lever_arm(WIDE, drawn(lesson)), lesson.sentence)


class _Picture(QWidget):
    def __init__(self) -> None:
        super().__init__()
        self._image = QImage()
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_image(self, image: QImage, words: str) -> None:
        self._image = image
        self.setAccessibleName(f"Picture: {words}")
        self.setToolTip(words)
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        width = look.space(20)
        return QSize(width, self.heightForWidth(width))

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        return round(width * WIDE[1] / WIDE[0])

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        if self._image.isNull():
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(QRectF(self.rect()), self._image)
