"""Fields that a turn of the wheel does not change by accident."""

from __future__ import annotations

from typing import TypeVar

from PyQt6.QtCore import QEvent, QObject
from PyQt6.QtWidgets import QWidget

_FieldT = TypeVar("_FieldT", bound=QWidget)


class _QuietWheel(QObject):
    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if event is None or event.type() != QEvent.Type.Wheel:
            return False
        # The card scrolls instead.
        event.ignore()
        return True


def without_wheel(field: _FieldT) -> _FieldT:
    """Let the wheel scroll what the field lies on, and leave its value alone."""
    field.installEventFilter(_QuietWheel(field))
    return field
