"""A level meter that is read at a glance: how loud, and whether it is too loud."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QRectF, QSize, Qt, QTimer
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.voice import Level

_QUIET_DB: Final = -54.0
"""Below this is a quiet room; here the meter begins."""
_GOOD_DB: Final = (-24.0, -6.0)
"""Where the peaks of a voice should be, with room for a louder word."""
_FALL_DB: Final = 1.5
_FALL_MS: Final = 40
_TOO_LOUD_MS: Final = 2500


class LevelMeter(QWidget):
    """Shows the latest level; it falls slowly, and a flattened peak is told of for a while."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._level_db = _QUIET_DB
        self._is_too_loud = False
        self.setAccessibleName("Level of your voice")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._falling = QTimer(self)
        self._falling.setInterval(_FALL_MS)
        self._falling.timeout.connect(self._fall)
        self._calming = QTimer(self)
        self._calming.setSingleShot(True)
        self._calming.setInterval(_TOO_LOUD_MS)
        self._calming.timeout.connect(self._calm)

    @property
    def words(self) -> str:
        """What the meter shows, said in words."""
        if self._is_too_loud:
            return "too loud"
        if self._level_db < _GOOD_DB[0]:
            return "quiet"
        return "good" if self._level_db <= _GOOD_DB[1] else "loud"

    def show_level(self, level: Level) -> None:
        """Show a level that was just heard."""
        self._level_db = max(self._level_db, level.peak_db)
        if level.is_clipped:
            self._is_too_loud = True
            self._calming.start()
        self._falling.start()
        self._tell()

    def clear(self) -> None:
        """Nothing is heard any more."""
        self._falling.stop()
        self._calming.stop()
        self._level_db, self._is_too_loud = _QUIET_DB, False
        self._tell()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(8), look.space(0.7))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(4), look.space(0.7))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = look.palette()
        body = QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5)
        radius = body.height() / 2
        painter.setPen(colours.colour("edge"))
        painter.setBrush(colours.colour("well"))
        painter.drawRoundedRect(body, radius, radius)
        filled = QRectF(body)
        filled.setWidth(max(body.height(), body.width() * _share(self._level_db)))
        if self._level_db > _QUIET_DB:
            painter.setPen(Qt.PenStyle.NoPen)
            is_high = self._is_too_loud or self._level_db > _GOOD_DB[1]
            painter.setBrush(colours.colour("danger" if is_high else "accent"))
            painter.drawRoundedRect(filled, radius, radius)
        painter.setPen(colours.colour("ink"))
        for edge in _GOOD_DB:
            x = body.left() + body.width() * _share(edge)
            painter.drawLine(round(x), round(body.top()), round(x), round(body.bottom()))

    def _fall(self) -> None:
        self._level_db = max(_QUIET_DB, self._level_db - _FALL_DB)
        if self._level_db <= _QUIET_DB:
            self._falling.stop()
        self._tell()

    def _calm(self) -> None:
        self._is_too_loud = False
        self._tell()

    def _tell(self) -> None:
        self.setAccessibleDescription(self.words)
        self.update()


def _share(level_db: float) -> float:
    return min(1.0, max(0.0, (level_db - _QUIET_DB) / -_QUIET_DB))
