"""The page that tells of the followed movement: the most telling first, the rest folded away."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QWidget

from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.movement.angles import AngleTable
from cliptag.desk.movement.fold import Fold
from cliptag.desk.movement.line_row import LineRow
from cliptag.desk.movement.proposed import moment_rows
from cliptag.desk.movement.smoothing import SmoothingField
from cliptag.desk.movement.status import StatusBox
from cliptag.desk.movement.steps import MovementSteps
from cliptag.desk.movement.telling import (
    Line,
    compared,
    described,
    each_point,
    reached,
    smoothly,
    timed,
)
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.state import DeskState

if TYPE_CHECKING:
    from cliptag.measure import MovementReport

_WIDTH_EM = 28.0


class MovementPage(SidePanel):
    """Everything comes ready from ``state.following``; what is folded away is not even written."""

    def __init__(
        self, state: DeskState, reviewing: Reviewing, host: QWidget, above: QWidget
    ) -> None:
        super().__init__("The movement", host, width=_WIDTH_EM, above=above)
        self._state, self._steps = state, MovementSteps(state, reviewing)
        self._angles: AngleTable | None = None
        self._filled: dict[Fold, object] = {}
        self._rows: dict[Fold, list[LineRow]] = {}
        self.status = StatusBox(state, reviewing)
        self.told = Fold("What it shows", is_open=True)
        self.moments = Fold("Moments", is_open=True)
        self.now = Fold("Angles on this frame", is_open=False)
        self.times = Fold("Repetitions and times", is_open=False)
        self.ranges = Fold("Ranges and peaks", is_open=False)
        self.sides = Fold("Left and right", is_open=False)
        self.how = Fold("How it was measured", is_open=False)
        self.smoothing = SmoothingField(self._steps)
        self.caution = quiet("")
        self.body.addWidget(self.status)
        for fold in self._folds:
            self.body.addWidget(fold)
            fold.opened.connect(self._show)
        self.how.lead.addWidget(self.smoothing)
        self.body.addWidget(self.caution)
        self.body.addStretch(1)
        for signal in (state.followed, state.reviewed, state.opened, state.shown_curves.changed):
            signal.connect(self._show)
        look.look().changed.connect(self._forget)
        state.playhead.moved.connect(self._show_time)

    def bring(self) -> None:
        """Show the page, unless there is no clip that it could speak of."""
        if self._state.document is not None:
            super().bring()
            self._show()

    @property
    def _folds(self) -> tuple[Fold, ...]:
        return (
            *(self.told, self.moments, self.now, self.times),
            *(self.ranges, self.sides, self.how),
        )

    def _forget(self) -> None:
        """Sizes and colours are others: fill everything anew."""
        self._filled.clear()
        self._rows.clear()
        self._show()

    def _show(self) -> None:
        document = self._state.document
        if document is None:
            self.put_away()
            return
        if not self.isVisible():
            return
        review, report = document.review, self._steps.report
        self.status.show_state()
        self.caution.setText(review.caution)
        for fold in self._folds:
            fold.setVisible(report is not None)
        # A smoothing that can't be must be taken back here.
        self.how.setVisible(report is not None or bool(review.tracked))
        self.smoothing.show_cutoff(review.cutoff_hz)
        if report is not None:
            self._fill_all(report)
        else:
            self._fill(self.how, None, self._fill_how)

    def _fill_all(self, report: MovementReport) -> None:
        document = self._state.document
        assert document is not None
        proposals, names = self._steps.proposals, self._shown_names(report)
        count = len(proposals)
        self.moments.say(f"{count} to confirm" if count else "")
        self.moments.setVisible(bool(proposals or document.review.moments))
        self.sides.setVisible(bool(report.sides))
        self.times.setVisible(bool(report.repetitions))
        several = len(report.repetitions)
        self.times.say(f"{several} times" if several > 1 else "")
        self._fill(self.told, report, self._lines(self.told, lambda: _told(report)))
        moments = (document.review.moments, proposals)
        self._fill(self.moments, moments, self._fill_moments)
        self._fill(self.now, report, self._fill_now)
        self._fill(self.times, report, self._lines(self.times, lambda: timed(report)))
        key = (report, names)
        self._fill(self.ranges, key, self._lines(self.ranges, lambda: reached(report, names)))
        self._fill(self.sides, report, self._lines(self.sides, lambda: compared(report)))
        self._fill(self.how, report, self._fill_how)
        if self._angles is not None and self.now.is_open:
            self._angles.show_ticks(names)

    def _fill(self, fold: Fold, key: object, fill: Callable[[], None]) -> None:
        """Fill an open fold, unless it says so already."""
        if fold.is_open and (fold not in self._filled or self._filled[fold] != key):
            self._filled[fold] = key
            fill()

    def _lines(self, fold: Fold, tell: Callable[[], Iterable[Line]]) -> Callable[[], None]:
        """Rows that are there take the new lines, if these are of the same shapes."""

        def fill() -> None:
            lines, rows = list(tell()), self._rows.get(fold, [])
            if len(lines) == len(rows) and all(map(LineRow.takes, rows, lines)):
                for row, line in zip(rows, lines, strict=True):
                    row.show_line(line)
            else:
                self._rows[fold] = rows = [LineRow(n, self._go, self._steps.put) for n in lines]
                fold.refill(rows)

        return fill

    def _fill_moments(self) -> None:
        document = self._state.document
        assert document is not None
        rows = moment_rows(
            document.review.moments,
            self._steps.proposals,
            self._go,
            self._steps.confirm,
            self._steps.confirm_all,
        )
        self.moments.refill(rows)

    def _fill_now(self) -> None:
        report = self._steps.report
        assert report is not None
        first = self._shown_names(report)
        names = [*first, *(name for name in report.angles if name not in first)]
        self._angles = AngleTable(
            tuple(report.angles[name] for name in names),
            self._show_curve,
            self._steps.show_on_picture,
            self._steps.put,
        )
        remark = quiet("Ticked ones are drawn in the strip, up to three of them.")
        self.now.refill([remark, self._angles])
        self._show_time()

    def _fill_how(self) -> None:
        report, following = self._steps.report, self._state.following
        lines: list[Line] = []
        if report is not None:
            lines += [Line(words) for words in report.turned]
            lines += smoothly(report)
            if report.missing:
                lines.append(Line("What could not be told", is_heading=True))
                lines += [Line(words) for words in report.missing]
        if following is not None and following.tracks is not None:
            lines.append(Line("The points", is_heading=True))
            lines += each_point(following.tracks)
        self._lines(self.how, lambda: lines)()

    def _shown_names(self, report: MovementReport) -> tuple[str, ...]:
        return self._state.shown_curves.names(report.movement, report.angles)

    def _show_curve(self, name: str, is_on: bool) -> None:
        report = self._steps.report
        if report is not None:
            self._state.shown_curves.show(report.movement, report.angles, name, is_on)

    def _go(self, at_us: int) -> None:
        self._state.playhead.pause()
        self._state.playhead.go_to_time(at_us)

    def _show_time(self) -> None:
        if self._angles is not None and self.isVisible() and self.now.is_open:
            self._angles.show_time(self._state.playhead.time_us)


def _told(report: MovementReport) -> list[Line]:
    lines = described(report)
    if lines:
        return lines
    return [Line("Nothing can be told of this movement yet: see 'How it was measured'.")]
