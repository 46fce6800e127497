"""Which curves of the followed movement the strip shows: up to three, chosen for each movement."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.review import Movement

MOST: Final = 3
_USUAL_COUNT: Final = 2
_USUAL: Final[dict[Movement, tuple[str, ...]]] = {
    "sit_to_stand": ("knee_flexion", "trunk_tilt", "hip_flexion"),
    "bend": ("hip_flexion", "trunk_tilt", "knee_flexion"),
    "lift": ("trunk_tilt", "low_back_rounding", "hip_flexion"),
}
_OTHERWISE: Final = ("trunk_tilt", "knee_flexion", "hip_flexion", "craniovertebral")


class ShownCurves(QObject):
    """What the coach chose, else the curves that tell most of a movement."""

    changed = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._chosen: dict[Movement, tuple[str, ...]] = {}

    def names(self, movement: Movement, known: Collection[str]) -> tuple[str, ...]:
        """The names of the curves to show, out of those that are known."""
        wished = self._chosen.get(movement)
        if wished is None:
            wished = _usual(movement, known)
        return tuple(name for name in wished if name in known)

    def show(self, movement: Movement, known: Collection[str], name: str, is_on: bool) -> None:
        """Show a curve, in place of the first chosen one if there are three, or don't."""
        names = [other for other in self.names(movement, known) if other != name]
        if is_on:
            names = [*names[-(MOST - 1) :], name]
        self._chosen[movement] = tuple(names)
        self.changed.emit()


def _usual(movement: Movement, known: Collection[str]) -> tuple[str, ...]:
    usual = [name for name in _USUAL.get(movement, _OTHERWISE) if name in known]
    return tuple(usual or known)[:_USUAL_COUNT]
