"""Two reviews in the desk's window: how they come there and how they go.

Made when first asked for: comparing needs libraries that the window's start need not wait for.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtWidgets import QFileDialog

from cliptag.errors import CliptagError
from cliptag.review import SUFFIX as REVIEW_SUFFIX

if TYPE_CHECKING:
    from cliptag.desk.exporting import ExportProgress
    from cliptag.desk.pairing.measuring import Measuring
    from cliptag.desk.pairing.view import PairingView
    from cliptag.desk.window import DeskWindow
    from cliptag.pairing import Pairing
    from cliptag.review import Review

SUFFIX: Final = ".pairing.json"


class PairRoom(QObject):
    """Opens pairings for one window; the review that was open stays until both are measured."""

    made = pyqtSignal()
    """The view is there for the first time."""
    changed = pyqtSignal()
    """``is_on`` is another."""
    settled = pyqtSignal()
    """Whether all is in a file may be otherwise."""

    def __init__(self, window: DeskWindow) -> None:
        super().__init__(window)
        self._window = window
        self._view: PairingView | None = None
        self._measuring: Measuring | None = None
        self._progress: ExportProgress | None = None
        self._reviewed: Review | None = None
        self._kept_at: Path | None = None
        window.state.opened.connect(self._make_room)

    @property
    def view(self) -> PairingView | None:
        """None as long as nothing was compared."""
        return self._view

    @property
    def is_on(self) -> bool:
        """Whether two reviews are on the desk."""
        return self._view is not None and self._view.state.is_open

    @property
    def is_exporting(self) -> bool:
        return self._view is not None and self._view.exporter.is_running

    # -- opening --------------------------------------------------------------------------------

    def choose_other(self) -> None:
        """Ask for the review that the open one is compared with."""
        document = self._window.state.document
        if document is None:
            return
        if not self._window.keeper.flush() or not document.path.exists():
            self._window.bar.warn(
                "There is nothing to compare in this review yet: note or measure something first."
            )
            return
        name, _ = QFileDialog.getOpenFileName(
            self._window,
            "Compare with which review?",
            str(document.path.parent),
            f"Reviews (*{REVIEW_SUFFIX})",
        )
        if name:
            self.compare(document.path, Path(name))

    def compare(self, one: Path, other: Path) -> None:
        """Compare two reviews, the earlier one first."""
        from cliptag.pairing import pairing_in_order

        try:
            pairing = pairing_in_order(one, other)
        except CliptagError as error:
            self._window.bar.warn(str(error))
            return
        self._open_new(pairing)

    def open_two(self, first: Path, second: Path) -> None:
        """Compare two reviews in the given order."""
        from cliptag.pairing import pairing_of

        self._open_new(pairing_of(first, second))

    def open_file(self, path: Path) -> bool:
        """Open a pairing that was kept; gives whether it could be read."""
        from cliptag.pairing import load_pairing

        try:
            pairing = load_pairing(path)
        except CliptagError as error:
            self._window.bar.warn(str(error))
            return False
        self._measure(pairing, path.absolute())
        return True

    def _open_new(self, pairing: Pairing) -> None:
        """With what was kept of the same two before, if anything was."""
        from cliptag.pairing import load_pairing, pairing_path_of

        path = pairing_path_of(pairing)
        if path.exists():
            try:
                kept = load_pairing(path)
            except CliptagError as error:
                self._window.bar.warn(str(error))
                return
            ends = kept.reviews[0], kept.reviews[-1]
            if ends == (pairing.reviews[0], pairing.reviews[-1]):
                pairing = kept
        self._measure(pairing, path)

    def _measure(self, pairing: Pairing, path: Path) -> None:
        from cliptag.desk.pairing.measuring import Measuring

        self._end_measuring()
        self._window.keeper.flush()
        document = self._window.state.document
        self._reviewed = document.review if document else None
        self._measuring = Measuring(pairing, path, self)
        self._measuring.progressed.connect(lambda done: self._tell_progress(done))
        self._measuring.done.connect(self._measured)
        self._measuring.failed.connect(self._failed)
        self._measuring.stopped.connect(self._end_measuring)
        self._tell_progress(0.0)

    def _measured(self) -> None:
        measuring, window = self._measuring, self._window
        laid = measuring.take() if measuring is not None else None
        if measuring is None or laid is None:
            return
        self._end_measuring()
        document = window.state.document
        if document is not None and document.review is not self._reviewed:
            # It was worked on meanwhile: what is compared is what is kept.
            laid.comparison.close()
            self._measure(measuring.pairing, measuring.path)
            return
        view = self.make_view()
        window.state.close()
        view.state.open(laid, measuring.path)
        self._kept_at = None
        self._settled()
        self.changed.emit()
        view.to_stage()

    def _failed(self, sentence: str) -> None:
        self._end_measuring()
        self._window.bar.warn(sentence)

    def _tell_progress(self, done: float) -> None:
        from cliptag.desk.exporting import ExportProgress

        if self._measuring is None:
            return
        if self._progress is None:
            self._progress = ExportProgress(self._stop_measuring, "Comparing", "the comparison")
            self._window.bar.add_corner(self._progress)
        if self._progress.isHidden():
            self._progress.begin()
        self._progress.show_part(done, None)

    def _stop_measuring(self) -> None:
        if self._measuring is not None:
            self._measuring.stop()

    def _end_measuring(self) -> None:
        if self._measuring is not None:
            self._measuring.close()
            self._measuring.deleteLater()
            self._measuring = None
        if self._progress is not None:
            self._progress.hide()

    # -- closing --------------------------------------------------------------------------------

    def clear(self) -> None:
        """Take both off the desk; all is saved."""
        if self._view is not None and self._view.state.is_open:
            self._view.state.close()
            self.changed.emit()

    def close(self) -> bool:
        """End all that runs; gives whether all is in a file."""
        self._end_measuring()
        return self._view is None or self._view.close_threads()

    def make_view(self) -> PairingView:
        """The view, made when it isn't there yet."""
        if self._view is None:
            from cliptag.desk.pairing.view import PairingView

            window = self._window
            self._view = PairingView(window.bar, window.preferences, window.commands)
            self._view.review_asked.connect(window.open_path)
            self._view.close_asked.connect(self.clear)
            self._view.state.settled.connect(self._settled)
            self.made.emit()
        return self._view

    def _settled(self) -> None:
        view = self._view
        document = view.state.document if view else None
        if document is not None and document.path != self._kept_at and document.path.exists():
            self._kept_at = document.path
            self._window.remembered.add_recent(document.path)
        self.settled.emit()

    def _make_room(self) -> None:
        """Another review came onto the desk."""
        if self._window.state.document is not None:
            self.clear()
