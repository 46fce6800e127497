"""The comparison's video and summary, made in the background while the coach works on."""

from __future__ import annotations

import threading
from functools import partial
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.desk.bar import Bar
from cliptag.desk.export_job import export_options
from cliptag.desk.exporting import ExportProgress, open_folder
from cliptag.desk.pairing.state import PairState
from cliptag.desk.preferences import PreferenceStore
from cliptag.errors import CliptagError, ConsentError, ExportCancelled, TrackingCancelled
from cliptag.export import ExportOptions
from cliptag.pairing import SUFFIX, Pairing, PairingTakeHome, export_pairing


class PairingJob(QObject):
    """Makes the take-home of a pairing as it is at this moment; later changes don't reach it."""

    progressed = pyqtSignal(float, object)
    """The part that is done (0 to 1), and the seconds left (None while unknown)."""
    done = pyqtSignal(object)
    """The PairingTakeHome."""
    refused = pyqtSignal(str)
    """The client has not agreed to it."""
    failed = pyqtSignal(str)
    stopped = pyqtSignal()
    """It was asked to stop, and left nothing behind."""

    def __init__(
        self, pairing: Pairing, folder: Path, options: ExportOptions, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._pairing, self._folder, self._options = pairing, folder, options
        self._is_stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="desk pairing export", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Ask it to stop; ``stopped`` tells when it has."""
        self._is_stopping.set()

    def close(self) -> None:
        """Stop it and wait for it."""
        self.stop()
        self._thread.join()

    def _run(self) -> None:
        try:
            made = export_pairing(
                self._pairing,
                self._folder,
                self.progressed.emit,
                options=self._options,
                is_cancelled=self._is_stopping.is_set,
            )
        except (ExportCancelled, TrackingCancelled):
            self.stopped.emit()
        except ConsentError as error:
            self.refused.emit(str(error))
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self.done.emit(made)


class PairingExporter(QObject):
    """Runs one export at a time, told of in the bar."""

    changed = pyqtSignal()
    """``is_running`` is another."""
    refused = pyqtSignal(str, Path)
    """A sentence: the client has not agreed to it; and the path of the later clip."""

    def __init__(
        self, state: PairState, bar: Bar, preferences: PreferenceStore, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._state, self._bar, self._preferences = state, bar, preferences
        self._job: PairingJob | None = None
        self.progress = ExportProgress(self.stop, "Comparison", "the comparison")
        bar.add_corner(self.progress)

    @property
    def is_running(self) -> bool:
        return self._job is not None

    def usual_folder(self) -> Path | None:
        """Beside the pairing's file, named after it; None when nothing is on the desk."""
        document = self._state.document
        if document is None:
            return None
        return document.path.with_name(f"{document.path.name.removesuffix(SUFFIX)} compared")

    def start(self, folder: Path) -> None:
        """Make the take-home of the pairing as it is now."""
        if self._state.document is None or self.is_running:
            return
        options = export_options(self._preferences.now)
        job = PairingJob(self._state.pairing, folder, options, self)
        job.progressed.connect(self.progress.show_part)
        job.done.connect(self._done)
        job.refused.connect(partial(self._refused, self._later_clip()))
        job.failed.connect(self._failed)
        job.stopped.connect(self._stopped)
        self._job = job
        self.progress.begin()
        self._bar.say("The comparison is being made; you can work on meanwhile.")
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

    def _done(self, made: PairingTakeHome) -> None:
        self._end()
        seconds = made.duration_us // 1_000_000  # whole ones, as a player tells them
        for sentence in reversed(made.advice):
            self._bar.warn(sentence)
        first = " Before you send it, read what is told next here." if made.advice else ""
        self._bar.offer(
            f"The comparison is ready in {made.folder.name}: a video of "
            f"{seconds // 60}:{seconds % 60:02} and its summary.{first}",
            "Open the folder",
            lambda: open_folder(made.folder),
        )

    def _later_clip(self) -> Path:
        assert self._state.comparison is not None
        return self._state.comparison.sides[1].clip.path

    def _refused(self, clip_path: Path, sentence: str) -> None:
        self._end()
        self.refused.emit(sentence, clip_path)

    def _failed(self, sentence: str) -> None:
        self._end()
        self._bar.warn(sentence)

    def _stopped(self) -> None:
        self._end()
        self._bar.say("The comparison was not made; what was there before is untouched.")

    def _end(self) -> None:
        job, self._job = self._job, None
        if job is not None:
            job.close()
            job.deleteLater()
        self.progress.hide()
        self.changed.emit()
