"""All angles on the shown frame: which of them the strip shows, and the way into a note."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QGridLayout, QLabel, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.fields import TickBox
from cliptag.desk.movement.line_row import sign_button
from cliptag.desk.movement.marking import sign_of
from cliptag.desk.movement.telling import angle_words
from cliptag.measure import number_at
from cliptag.review import Number

if TYPE_CHECKING:
    from cliptag.measure import Curve


class AngleTable(QWidget):
    """A row for each curve; the values follow the playhead."""

    def __init__(
        self,
        curves: tuple[Curve, ...],
        show: Callable[[str, bool], object],
        draw: Callable[[Curve], object],
        put: Callable[[Number], object],
    ) -> None:
        super().__init__()
        self._curves, self._put = curves, put
        self._at_us = 0
        self.boxes: dict[str, TickBox] = {}
        self.values: dict[str, QLabel] = {}
        self.draws: dict[str, QToolButton] = {}
        self.puts: dict[str, QToolButton] = {}
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setHorizontalSpacing(look.space(0.2))
        layout.setVerticalSpacing(0)
        layout.setColumnStretch(0, 1)
        for row, curve in enumerate(curves):
            self._add(layout, row, curve, show, draw)

    def show_ticks(self, names: tuple[str, ...]) -> None:
        """Tick the curves that the strip shows."""
        for name, box in self.boxes.items():
            box.setChecked(name in names)

    def show_time(self, at_us: int) -> None:
        """Show the values on the frame at a time."""
        self._at_us = at_us
        for curve in self._curves:
            number = number_at(curve, at_us)
            words = angle_words(number)
            self.values[curve.name].setText(words)
            self.values[curve.name].setAccessibleName(f"{curve.words}: {words}")
            self.puts[curve.name].setEnabled(number is not None)
            if curve.name in self.draws:
                self.draws[curve.name].setEnabled(number is not None)

    def _add(
        self,
        layout: QGridLayout,
        row: int,
        curve: Curve,
        show: Callable[[str, bool], object],
        draw: Callable[[Curve], object],
    ) -> None:
        box = self.boxes[curve.name] = TickBox(curve.words)
        box.setAccessibleName(f"{curve.words}: show its curve in the strip")
        box.setToolTip(f"Show its curve in the strip (up to three). {curve.convention}")
        box.clicked.connect(lambda is_on: show(curve.name, is_on))
        value = self.values[curve.name] = QLabel()
        value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        value.setMinimumWidth(value.fontMetrics().horizontalAdvance("−100.0° ± 10.0°"))
        value.setToolTip(curve.convention)
        layout.addWidget(box, row, 0)
        layout.addWidget(value, row, 1)
        sign = sign_of(curve.name)
        if sign is not None:
            self.draws[curve.name] = sign_button(
                sign,
                f"Show {curve.words.lower()} on the picture",
                "Show it on the picture: a mark in the note that goes with the points",
                lambda: draw(curve),
            )
            layout.addWidget(self.draws[curve.name], row, 2)
        self.puts[curve.name] = sign_button(
            "note",
            f"Put {curve.words.lower()} on this frame into the note",
            "Put this number into the chosen note, or into a new one on this frame",
            lambda: self._put_now(curve),
        )
        layout.addWidget(self.puts[curve.name], row, 3)

    def _put_now(self, curve: Curve) -> None:
        number = number_at(curve, self._at_us)
        if number is not None:
            self._put(number)
