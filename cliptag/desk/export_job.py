"""The take-home, made in the background while the coach works on."""

from __future__ import annotations

import tempfile
import threading
from pathlib import Path

import msgspec
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.desk.preferences import CAPTION_SCALES, Preferences
from cliptag.errors import CliptagError, ConsentError, ExportCancelled
from cliptag.export import CaptionRules, ExportOptions, TakeHome, export_take_home
from cliptag.review import SUFFIX, Review, edit, save_review
from cliptag.voice import take_file


class ExportJob(QObject):
    """Makes the take-home of a review as it is at this moment; later changes don't reach it.

    It spends its time in ffmpeg and numpy, which leave the window's thread alone.
    """

    progressed = pyqtSignal(float, object)
    """The part that is done (0 to 1), and the seconds left (None while unknown)."""
    predicted = pyqtSignal(object)
    """How large the video will be, a Prediction; sent only where its purpose is chosen."""
    done = pyqtSignal(object)
    """The TakeHome."""
    failed = pyqtSignal(str)
    refused = pyqtSignal(str)
    """The client has not agreed to it."""
    stopped = pyqtSignal()
    """It was asked to stop, and left nothing behind."""

    def __init__(
        self,
        review: Review,
        clip_path: Path,
        home: Path,
        folder: Path,
        options: ExportOptions,
        parent: QObject | None = None,
    ) -> None:
        """``home`` is the folder of the review's file; ``folder`` that of the take-home."""
        super().__init__(parent)
        self.folder = folder
        self._home = home
        self._review = review
        self._clip_path = clip_path.absolute()
        self._options = options
        self._is_stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name="desk export", daemon=True)
        self._thread.start()

    @property
    def is_running(self) -> bool:
        return self._thread.is_alive()

    def stop(self) -> None:
        """Ask it to stop; ``stopped`` tells when it has."""
        self._is_stopping.set()

    def close(self) -> None:
        """Stop it and wait for it."""
        self.stop()
        self._thread.join()

    def _run(self) -> None:
        try:
            made = self._export()
        except ExportCancelled:
            self.stopped.emit()
        except ConsentError as error:
            self.refused.emit(str(error))
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self.done.emit(made)

    def _export(self) -> TakeHome:
        clip = msgspec.structs.replace(self._review.clip, path=self._clip_path.as_posix())
        with tempfile.TemporaryDirectory(prefix="cliptag-") as folder:
            snapshot = Path(folder) / f"snapshot{SUFFIX}"
            review = edit.with_voice_paths(
                msgspec.structs.replace(self._review, clip=clip),
                lambda path: take_file(path, self._home).as_posix(),
            )
            save_review(review, snapshot)
            return export_take_home(
                snapshot,
                self.folder,
                self.progressed.emit,
                options=self._options,
                is_cancelled=self._is_stopping.is_set,
                on_predicted=self.predicted.emit,
            )


def export_options(preferences: Preferences) -> ExportOptions:
    """What the coach prefers, as the export takes it."""
    return ExportOptions(
        rules=CaptionRules(max_cps=preferences.reading_cps),
        caption_scale=CAPTION_SCALES[preferences.caption_size],
        usual_language=preferences.language,
        purpose=preferences.purpose,
        most_mb=preferences.most_mb,
        clean=preferences.clean,
    )
