"""One take-home at a time: started, watched, stopped and shown from the bar."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from PyQt6.QtCore import QObject, Qt, QUrl, pyqtSignal
from PyQt6.QtGui import QDesktopServices
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.bar import Bar
from cliptag.desk.export_job import ExportJob, export_options
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.state import DeskState
from cliptag.export import TakeHome, prediction_words
from cliptag.review import ConsentPurpose


class Exporter(QObject):
    """Runs the export of what is on the desk, while the coach works on."""

    changed = pyqtSignal()
    """``is_running`` is another."""
    refused = pyqtSignal(str, object)
    """A sentence: the client has not agreed to it; and the path of the clip."""

    def __init__(
        self, state: DeskState, bar: Bar, preferences: PreferenceStore, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._state = state
        self._bar = bar
        self._preferences = preferences
        self._job: ExportJob | None = None
        self.progress = ExportProgress(self.stop, "Take-home", "the take-home")
        bar.add_corner(self.progress)

    @property
    def is_running(self) -> bool:
        return self._job is not None

    def usual_folder(self) -> Path | None:
        """Beside the clip, named after it; None when nothing is on the desk."""
        clip = self._state.clip
        return None if clip is None else clip.path.parent / f"{clip.path.stem} take-home"

    def start(self, folder: Path, shown_for: ConsentPurpose = "private_feedback") -> None:
        """Make the take-home of the review as it is now, for whom it may be shown to."""
        document, clip = self._state.document, self._state.clip
        if document is None or clip is None or self.is_running:
            return
        options = replace(export_options(self._preferences.now), shown_for=shown_for)
        job = ExportJob(document.review, clip.path, document.path.parent, folder, options, self)
        job.progressed.connect(self.progress.show_part)
        job.predicted.connect(lambda size: self._bar.say(f"{prediction_words(size)}."))
        job.done.connect(self._done)
        job.failed.connect(self._failed)
        job.refused.connect(partial(self._refused, clip.path))
        job.stopped.connect(self._stopped)
        self._job = job
        self.progress.begin()
        self._bar.say("The take-home is being made; you can work on meanwhile.")
        self.changed.emit()

    def stop(self) -> None:
        """Ask the export to stop; what was there before stays."""
        if self._job is not None:
            self._job.stop()
            self.progress.tell("Stopping\u2026")

    def close(self) -> None:
        """Stop the export and wait for it."""
        if self._job is not None:
            self._job.close()
            self._end()

    def _done(self, made: TakeHome) -> None:
        self._end()
        seconds = made.duration_us // 1_000_000  # whole ones, as a player tells them
        length = f"{seconds // 60}:{seconds % 60:02}"
        for sentence in reversed(made.advice):
            self._bar.warn(sentence)
        first = " Before you send it, read what is told next here." if made.advice else ""
        self._bar.offer(
            f"The take-home is ready in {made.folder.name}: a video of {length} and its texts."
            + first,
            "Open the folder",
            lambda: open_folder(made.folder),
        )

    def _failed(self, sentence: str) -> None:
        self._end()
        self._bar.warn(sentence)

    def _refused(self, clip_path: Path, sentence: str) -> None:
        self._end()
        self.refused.emit(sentence, clip_path)

    def _stopped(self) -> None:
        self._end()
        self._bar.say("The take-home was not made; what was there before is untouched.")

    def _end(self) -> None:
        job, self._job = self._job, None
        if job is not None:
            job.close()
            job.deleteLater()
        self.progress.hide()
        self.changed.emit()


class ExportProgress(QWidget):
    """How far it is, how long it takes yet, and a way to stop it."""

    def __init__(self, stop: Callable[[], None], title: str, name: str) -> None:
        """``title`` and ``name``: what is made, at a line's start and inside a sentence."""
        super().__init__()
        self._title = title
        self._words = QLabel()
        self._gauge = QProgressBar()
        self._gauge.setRange(0, 1000)
        self._gauge.setTextVisible(False)
        self._gauge.setAccessibleName(f"Making {name}")
        self._gauge.setFixedSize(look.space(6), look.space(0.6))
        button = QToolButton()
        button.setText("Stop")
        button.setToolTip(f"Stop making {name} (Ctrl+.)")
        button.setAccessibleName(f"Stop making {name}")
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(stop)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for widget in (self._words, self._gauge, button):
            layout.addWidget(widget)
        self.hide()

    def begin(self) -> None:
        self._gauge.setValue(0)
        self.tell(f"{self._title}\u2026")
        self.show()

    def tell(self, words: str) -> None:
        self._words.setText(words)

    def show_part(self, done: float, left_s: float | None) -> None:
        self._gauge.setValue(round(1000 * done))
        self.tell(f"{self._title} {done:.0%}{_left_words(left_s)}")


def _left_words(left_s: float | None) -> str:
    if left_s is None:
        return ""
    if left_s < 60:
        return f", {max(1, round(left_s))} s left"
    return f", {round(left_s / 60)} min left"


def open_folder(folder: Path) -> None:
    """Show a folder in the system's own file window."""
    QDesktopServices.openUrl(QUrl.fromLocalFile(str(folder)))
