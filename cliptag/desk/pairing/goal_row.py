"""Under the list: which way the chosen quantity should go, and what the verdicts mean."""

from __future__ import annotations

from PyQt6.QtWidgets import QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import Choice, quiet
from cliptag.desk.pairing.arranging import GOAL_WORDS, Arranging
from cliptag.desk.pairing.state import PairState

_CHOOSE_FIRST = "Choose a line to set which way its number should go."


class GoalRow(QWidget):
    """Without a goal nothing is called better or worse."""

    def __init__(self, state: PairState, arranging: Arranging) -> None:
        super().__init__()
        self._state = state
        self._of = quiet(_CHOOSE_FIRST)
        self._choice = Choice(GOAL_WORDS, arranging.set_goal)
        self._choice.setAccessibleName("Goal")
        self._choice.setToolTip("Which way this number should go; without a goal nothing is judged")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, look.space(0.2), 0, 0)
        layout.setSpacing(look.space(0.2))
        layout.addWidget(self._of)
        layout.addWidget(self._choice)
        for signal in (state.chosen, state.compared, state.noted):
            signal.connect(self._show)

    def _show(self) -> None:
        difference = self._state.difference
        self._choice.setEnabled(difference is not None)
        if difference is None or not self._state.is_open:
            self._of.setText(_CHOOSE_FIRST)
            self._choice.show_value("nothing")
            return
        self._of.setText(f"Goal for “{difference.words}”")
        self._choice.show_value(self._state.pairing.goals.get(difference.name))
