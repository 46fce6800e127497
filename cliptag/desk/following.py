"""The tracked points, followed in the background, and what they tell of the movement."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.clip import open_clip
from cliptag.desk.document import Document
from cliptag.errors import CliptagError, MeasureError, TrackingCancelled
from cliptag.review import Review

if TYPE_CHECKING:
    from cliptag.measure import MovementReport, Tracks

_SETTLE_MS: Final = 250
"""A point that is being dragged is followed when the hand rests."""
_LEAST_PROGRESS: Final = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Followed:
    """What came of one review; ``trouble`` says in a sentence why there is no report."""

    review: Review
    tracks: Tracks
    report: MovementReport | None
    trouble: str


class Following(QObject):
    """Follows the points of a document's review anew whenever what they depend on changes.

    It works on the clip by itself, in a thread of its own; the newest review wins.
    """

    changed = pyqtSignal()
    """There is another result, or it began or ended to work."""
    progressed = pyqtSignal(float)
    """The part of the work that is done, 0 to 1."""
    failed = pyqtSignal(str)

    _came = pyqtSignal(int, object)

    def __init__(self, document: Document, clip_path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._clip_path = clip_path
        self._followed: Followed | None = None
        self._asked: Review | None = None
        self._turn = 0
        self._is_stopped = False
        self._cancel = threading.Event()
        self._thread: threading.Thread | None = None
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.setInterval(_SETTLE_MS)
        self._settling.timeout.connect(self._start)
        self._came.connect(self._take)
        document.changed.connect(self._review_changed)
        self._review_changed()

    @property
    def followed(self) -> Followed | None:
        """The newest result, which may be that of an earlier review while it works; else None."""
        return self._followed

    @property
    def tracks(self) -> Tracks | None:
        """Where the points are, if that is known."""
        return self._followed.tracks if self._followed else None

    @property
    def report(self) -> MovementReport | None:
        """The movement, if it could be measured."""
        return self._followed.report if self._followed else None

    @property
    def is_running(self) -> bool:
        """Whether a newer result is on its way."""
        return self._thread is not None or self._settling.isActive()

    @property
    def is_stopped(self) -> bool:
        """Whether the coach asked it to stop; ``resume`` goes on."""
        return self._is_stopped

    def stop(self) -> None:
        """Stop working until ``resume`` or until a point is placed."""
        self._is_stopped = True
        self._settling.stop()
        self._cancel.set()
        self.changed.emit()

    def resume(self) -> None:
        """Work on what is asked for now."""
        self._is_stopped, self._asked = False, None
        self._review_changed()

    def close(self) -> None:
        """Stop, and wait for the thread."""
        self._settling.stop()
        self._cancel.set()
        if self._thread is not None:
            self._thread.join()
            self._thread = None

    def _review_changed(self) -> None:
        review, asked = self._document.review, self._asked
        if asked is not None and _depends_on(review) == _depends_on(asked):
            return
        if asked is None or review.tracked != asked.tracked:
            self._is_stopped = False
        if self._is_stopped:
            return
        self._asked = review
        self._cancel.set()
        if not review.tracked:
            self._settling.stop()
            self._turn += 1
            self._followed = None
            self.changed.emit()
            return
        was_running = self.is_running
        self._settling.start()
        if not was_running:  # a drag asks for something else at each of its steps
            self.changed.emit()

    def _start(self) -> None:
        if self._thread is not None:  # still ending its last work, which starts this one
            return
        self._turn += 1
        self._cancel = threading.Event()
        work = (self._turn, self._document.review, self._followed, self._cancel)
        self._thread = threading.Thread(
            target=self._run, args=work, name="desk following", daemon=True
        )
        self._thread.start()

    def _run(
        self, turn: int, review: Review, before: Followed | None, cancel: threading.Event
    ) -> None:
        result: Followed | str | None
        try:
            result = _follow(review, self._clip_path, before, self.progressed.emit, cancel)
        except TrackingCancelled:
            result = None
        except CliptagError as error:
            result = str(error)
        except Exception:
            result = log_bug()
        self._came.emit(turn, result)

    def _take(self, turn: int, result: Followed | str | None) -> None:
        if self._thread is None:  # closed meanwhile
            return
        self._thread.join()
        self._thread = None
        if turn == self._turn and isinstance(result, Followed):
            self._followed = result
        elif turn == self._turn and isinstance(result, str):
            self.failed.emit(result)
        asked = self._asked
        if asked is not None and asked.tracked and self._cancel.is_set() and not self._is_stopped:
            self._settling.start(0)
        self.changed.emit()


def _depends_on(review: Review) -> tuple[object, ...]:
    """All of a review that the points' ways and the movement come from."""
    return (
        review.tracked,
        review.movement,
        review.moments,
        review.facing,
        review.plumb,
        review.scale,
        review.cutoff_hz,
    )


def _follow(
    review: Review,
    clip_path: Path,
    before: Followed | None,
    progressed: Callable[[float], None],
    cancel: threading.Event,
) -> Followed:
    # Loaded here, in the thread, because the filters take a second to load.
    from cliptag.measure import TrackStore, follow_points, movement_of

    told = 0.0

    def progress(part: float, _: float) -> None:
        nonlocal told
        if part - told >= _LEAST_PROGRESS:
            told = part
            progressed(part)

    with open_clip(clip_path) as clip:
        tracks = follow_points(
            review,
            clip,
            previous=before.tracks if before else None,
            store=TrackStore(),
            progress=progress,
            is_cancelled=cancel.is_set,
        )
    try:
        return Followed(review, tracks, movement_of(review, tracks), "")
    except MeasureError as error:
        return Followed(review, tracks, None, str(error))
