"""How far a job of the casebook is, at the bar's right end, with a way to stop it."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.casebook.job import BookJob
from cliptag.desk.casebook.model import BookModel


class JobProgress(QWidget):
    """Of the export of all that is due, or of any other job; away while there is none."""

    def __init__(self, model: BookModel, *, of_export: bool) -> None:
        super().__init__()
        self._model, self._of_export = model, of_export
        self._job: BookJob | None = None
        self._words = QLabel()
        self._gauge = QProgressBar()
        self._gauge.setTextVisible(False)
        self._gauge.setFixedSize(look.space(5), look.space(0.6))
        self.stop = QToolButton()
        self.stop.setText("Stop")
        self.stop.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.stop.clicked.connect(self._stop)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for part in (self._words, self._gauge, self.stop):
            layout.addWidget(part)
        model.working.connect(self._show)
        self._show()

    def _show(self) -> None:
        job = self._model.making if self._of_export else self._model.job
        if job is not None and job is not self._job:
            job.progressed.connect(self._tell)
            self._gauge.setRange(0, 0)
            self._words.setText(f"{job.words}\u2026")
            self._gauge.setAccessibleName(job.words)
            self.stop.setAccessibleName(f"Stop: {job.words.lower()}")
            keys = " (Ctrl+.)" if self._of_export else ""
            self.stop.setToolTip(f"Stop; what is finished stays{keys}")
        elif job is not None and job.is_stopping:
            self._words.setText(f"{job.words}: stopping\u2026")
        self._job = job
        self.setVisible(job is not None)
        self.stop.setVisible(job is not None and job.can_stop)

    def _tell(self, done: int, total: int) -> None:
        if self._job is None or self._job.is_stopping or not total:
            return
        self._gauge.setRange(0, total)
        self._gauge.setValue(done)
        self._words.setText(f"{self._job.words}: {done} of {total}")

    def _stop(self) -> None:
        if self._job is not None:
            self._job.stop()
            self._show()
