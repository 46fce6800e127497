"""The moments of the movement: what is proposed and why, and what the coach has confirmed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.movement.line_row import GoButton
from cliptag.desk.proposals import are_several, confidence_words, moment_title
from cliptag.review import Moment

if TYPE_CHECKING:
    from cliptag.measure import Proposal


def moment_rows(
    moments: Sequence[Moment],
    proposals: Sequence[Proposal],
    go: Callable[[int], object],
    confirm: Callable[[Proposal], object],
    confirm_all: Callable[[], object],
) -> list[QWidget]:
    """A row for each moment in order of time, and a button for all that are proposed."""
    both: list[Moment | Proposal] = [*moments, *proposals]
    is_several = are_several(both)
    rows: list[QWidget] = []
    if len(proposals) > 1:
        every = QPushButton(f"Confirm all {len(proposals)}")
        every.setToolTip("Set all proposed moments; each can still be dragged on the strip")
        every.clicked.connect(lambda: confirm_all())
        rows.append(every)
    for moment in sorted(both, key=lambda moment: moment.at_us):
        title = moment_title(moment.name, moment.repetition, is_one_of_several=is_several)
        if isinstance(moment, Moment):
            rows.append(_row(f"{title} – set", moment.at_us, go, None))
        else:
            rows.append(_proposed(moment, title, go, confirm))
    return rows


def _proposed(
    proposal: Proposal,
    title: str,
    go: Callable[[int], object],
    confirm: Callable[[Proposal], object],
) -> QWidget:
    button = QPushButton("Confirm")
    button.setProperty("role", "choice")
    button.setAccessibleName(f"Confirm {title}")
    button.setToolTip("Set it where it is proposed; it can still be dragged on the strip")
    button.clicked.connect(lambda: confirm(proposal))
    holder = QWidget()
    layout = QVBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, look.space(0.2))
    layout.setSpacing(0)
    layout.addWidget(_row(f"{title}?", proposal.at_us, go, button))
    layout.addWidget(quiet(f"{proposal.reason} {confidence_words(proposal)}."))
    return holder


def _row(
    words: str, at_us: int, go: Callable[[int], object], button: QPushButton | None
) -> QWidget:
    holder = QWidget()
    layout = QHBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.space(0.3))
    label = QLabel(words)
    label.setProperty("role", "strong")
    layout.addWidget(label, 1)
    time = GoButton(go)
    time.show_time(at_us, words)
    layout.addWidget(time, 0, Qt.AlignmentFlag.AlignVCenter)
    if button is not None:
        layout.addWidget(button)
    return holder
