"""What the two reviews themselves say where both are now."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.desk.pairing.curve_plot import colours_of
from cliptag.desk.pairing.state import PairState
from cliptag.export import one_line
from cliptag.review import KIND_WORDS, REGION_WORDS, Note

_LINES: Final = 2
_SMALL: Final = 0.88


class SaidRow(QWidget):
    """The words of the first at the left, of the second at the right; empty where none is said."""

    def __init__(self, state: PairState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._said: tuple[str, str] = ("", "")
        self.setAccessibleName("What both reviews say here")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        state.compared.connect(self._show)
        state.opened.connect(self._show)
        state.playhead.moved.connect(self._show)
        look.look().changed.connect(self._restyle)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        line = QFontMetricsF(look.font(_SMALL)).height()
        return QSize(look.space(10), round(_LINES * line + 0.5 * look.space()))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter, colours = QPainter(self), look.palette()
        painter.fillRect(self.rect(), colours.colour("ground"))
        painter.setFont(look.font(_SMALL))
        metrics, pad = QFontMetricsF(painter.font()), 0.5 * look.space()
        half = self.width() / 2
        for which, (words, colour) in enumerate(zip(self._said, colours_of(colours), strict=True)):
            if not words:
                continue
            box = QRectF(which * half, 0.0, half, float(self.height()))
            inner = box.adjusted(2 * pad, 0.5 * pad, -pad, -0.5 * pad)
            painter.fillRect(QRectF(box.left() + pad, inner.top(), 3.0, inner.height()), colour)
            painter.setPen(colours.colour("ink"))
            flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop
            painter.drawText(
                inner, flags | Qt.TextFlag.TextWordWrap, _cut(words, metrics, inner.width())
            )

    def _restyle(self) -> None:
        # A method of our own: Qt's updateGeometry is no slot and would outlive this widget.
        self.updateGeometry()

    def _show(self) -> None:
        comparison, seen = self._state.comparison, self._state.seen
        said = ["", ""]
        if comparison is not None and seen is not None:
            frames = comparison.pair.indices(self._state.playhead.index)
            for which, notes in enumerate(seen.notes(frames)):
                said[which] = "  ".join(map(_words, notes))
        if said != list(self._said):
            self._said = said[0], said[1]
            self.setToolTip("\n".join(filter(None, self._said)))
            self.setAccessibleDescription(" ".join(filter(None, self._said)))
            self.update()


def _words(note: Note) -> str:
    where = REGION_WORDS[note.region].lower()
    return f"{KIND_WORDS[note.kind]}, {where}: {one_line(note.text)}"


def _cut(words: str, metrics: QFontMetricsF, width: float) -> str:
    """What fits onto the lines, cut at a word."""
    flags = Qt.TextFlag.TextWordWrap
    room = QRectF(0.0, 0.0, width, 1e6)
    most = _LINES * metrics.height() + 2.0
    if metrics.boundingRect(room, flags, words).height() <= most:
        return words
    parts = words.split(" ")
    while parts and metrics.boundingRect(room, flags, f"{' '.join(parts)} …").height() > most:
        parts.pop()
    return f"{' '.join(parts)} …"
