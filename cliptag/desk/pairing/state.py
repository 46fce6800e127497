"""What is known of two reviews that lie on the desk together; the widgets only show it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.newest import NewestWish
from cliptag.desk.pairing.document import PairingDocument
from cliptag.desk.pairing.laid import Laid, arrangement, lay
from cliptag.desk.pairing.pictures import PairPictures
from cliptag.desk.pairing.saving import PairingSaver
from cliptag.desk.playhead import Playhead
from cliptag.errors import CliptagError
from cliptag.pairing import (
    CommonAxis,
    Comparison,
    Difference,
    PairClip,
    Pairing,
    SeenMarks,
    Side,
    compare_sides,
)


class PairState(QObject):
    """The model of the pairing view: document, comparison, playhead, pictures, what is chosen."""

    opened = pyqtSignal()
    """Two reviews are on the desk, or none any more."""
    compared = pyqtSignal()
    """``comparison`` and all that follows from it are others."""
    pictured = pyqtSignal()
    """A picture of either is another one."""
    noted = pyqtSignal()
    """The document is another one."""
    chosen = pyqtSignal()
    """Another note, curve or quantity is chosen."""
    looked = pyqtSignal()
    """Marks are shown or hidden, or one picture shows through the other more or less."""
    settled = pyqtSignal()
    """Whether all is in a file may be otherwise."""
    said = pyqtSignal(str)
    warned = pyqtSignal(str)

    # Sent by the thread, and received where this lives.
    _made = pyqtSignal(object)
    _could_not = pyqtSignal(str)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.playhead = Playhead(self)
        self.document: PairingDocument | None = None
        self._laid: Laid | None = None
        self.pictures: PairPictures | None = None
        self.see_through = 0.5
        """How much of the second picture is seen where it lies over the first, 0 to 1."""
        self.shows_marks = True
        self.chosen_note: int | None = None
        self.chosen_quantity: str | None = None
        self._curve = ""
        self._saver: PairingSaver | None = None
        self._worker: NewestWish[Pairing] | None = None
        self._sides: tuple[Side, Side] | None = None
        self._wished: tuple[object, ...] = ()
        self._made.connect(self._take)
        self._could_not.connect(self._refuse)
        self.playhead.moved.connect(self._ask)

    @property
    def is_open(self) -> bool:
        return self._laid is not None

    @property
    def comparison(self) -> Comparison | None:
        """The two as they are laid out now."""
        return self._laid.comparison if self._laid else None

    @property
    def axis(self) -> CommonAxis | None:
        """Their common axis."""
        return self._laid.axis if self._laid else None

    @property
    def seen(self) -> SeenMarks | None:
        """Their marks."""
        return self._laid.seen if self._laid else None

    @property
    def pairing(self) -> Pairing:
        """The document as it is now; something is open."""
        assert self.document is not None
        return self.document.pairing

    @property
    def save_words(self) -> str:
        """Whether the work is in a file, as a word for the window's title."""
        if self._saver is None:
            return ""
        if not self._saver.is_saved:
            return "saving"
        return "saved" if self._saver.path.exists() else "unchanged"

    @property
    def percent(self) -> float:
        """Where the shown pair of frames is on the common axis."""
        return 0.0 if self.axis is None else self.axis.percent_at(self.playhead.time_us)

    @property
    def curve(self) -> str:
        """The name of the curve on the strip; empty where there is none."""
        names = [pair.first.name for pair in self.comparison.curves] if self.comparison else []
        return self._curve if self._curve in names else next(iter(names), "")

    @property
    def difference(self) -> Difference | None:
        """The quantity that is chosen."""
        found = self.comparison.differences if self.comparison else ()
        return next((d for d in found if d.name == self.chosen_quantity), None)

    # -- opening and closing --------------------------------------------------------------------

    def open(self, laid: Laid, path: Path) -> None:
        """Put a comparison on the desk, which is closed with it; its pairing is kept at a path."""
        self.close()
        comparison = laid.comparison
        self.document = PairingDocument(comparison.pairing, path, self)
        self.document.changed.connect(self._changed)
        self._saver = PairingSaver(path, self)
        self._saver.trouble.connect(self.warned)
        self._saver.settled.connect(self.settled)
        self._sides = comparison.sides
        first, second = (side.clip for side in comparison.sides)
        self.pictures = PairPictures((first, second), self)
        self.pictures.pictured.connect(self.pictured)
        self.pictures.failed.connect(self.warned)
        self._worker = NewestWish[Pairing]("desk comparing", self._compare)
        self._laid, self._wished = laid, arrangement(comparison.pairing)
        pair = comparison.pair
        self.playhead.set_clip(pair.times_us, pair.duration_us)
        self._ask()
        self.opened.emit()
        self.compared.emit()
        self.noted.emit()

    def close(self) -> bool:
        """Clear the desk; gives whether all was in a file."""
        if self._laid is None:
            return True
        self.playhead.pause()
        is_saved = self._saver is None or self._saver.close()
        if self._worker is not None:
            self._worker.end()
        if self.pictures is not None:
            self.pictures.end()
            self._laid.comparison.close()  # gives up the frames that the feeds may be waiting for
            self.pictures.close()
            self.pictures.deleteLater()
        if self._worker is not None:
            self._worker.close()
        if self._saver is not None:
            self._saver.deleteLater()
        if self.document is not None:
            self.document.deleteLater()
        self.document = self.pictures = self._laid = None
        self._saver = self._worker = self._sides = None
        self.chosen_note = self.chosen_quantity = None
        self.opened.emit()
        return is_saved

    # -- changing -------------------------------------------------------------------------------

    def do(self, pairing: Pairing, words: str, *, run: str | None = None) -> None:
        """Take a step in the document."""
        if self.document is not None:
            self.document.do(pairing, words, run=run)

    def do_to_note(
        self, pairing: Pairing, place: int | None, words: str, *, run: str | None = None
    ) -> None:
        """Take a step after which another note is the chosen one."""
        before, self.chosen_note = self.chosen_note, place
        self.do(pairing, words, run=run)
        if place != before:
            self.chosen.emit()

    def choose_note(self, place: int | None) -> None:
        """Choose a note by its number."""
        if place != self.chosen_note:
            self.chosen_note = place
            self.chosen.emit()

    def go_to_note(self, place: int) -> None:
        """Choose a note and show its pair of frames."""
        if self.document is not None and self._laid is not None:
            self.playhead.pause()
            percent = self.document.pairing.notes[place].percent
            self.playhead.go_to_time(self._laid.comparison.alignment.out_at_percent(percent))
            self.choose_note(place)

    def choose_quantity(self, name: str | None) -> None:
        """Choose a line of the table."""
        if name != self.chosen_quantity:
            self.chosen_quantity = name
            self.chosen.emit()

    def show_curve(self, name: str) -> None:
        """Show a curve on the strip."""
        if name != self._curve:
            self._curve = name
            self.chosen.emit()

    def see(self, part: float) -> None:
        """See so much of the second picture where it lies over the first."""
        self.see_through = min(max(part, 0.0), 1.0)
        self.looked.emit()

    def show_marks(self, is_on: bool) -> None:
        """Show the marks, or the pictures alone."""
        self.shows_marks = is_on
        self.looked.emit()

    # -- moving ---------------------------------------------------------------------------------

    def drag_to(self, out_us: int) -> None:
        """While a hand drags: small pictures at once, then the frames themselves."""
        self.playhead.pause()
        index = self.playhead.index_at(out_us)
        if self.comparison is not None and self.pictures is not None:
            self.pictures.rough(self.comparison.pair.indices(index))
        self.playhead.go_to(index)

    def _ask(self) -> None:
        if self.comparison is not None and self.pictures is not None:
            self.pictures.exact(self.comparison.pair.indices(self.playhead.index))

    # -- comparing ------------------------------------------------------------------------------

    def _changed(self) -> None:
        pairing = self.pairing
        if self._saver is not None:
            self._saver.take(pairing)
        if self.chosen_note is not None and self.chosen_note >= len(pairing.notes):
            self.chosen_note = None
        if self._worker is not None and arrangement(pairing) != self._wished:
            self._wished = arrangement(pairing)
            self._worker.ask(pairing)
        self.noted.emit()

    def _compare(self, pairing: Pairing) -> None:
        """In the worker's thread."""
        laid, sides = self._laid, self._sides
        if laid is None or sides is None:
            return
        if arrangement(pairing) == arrangement(laid.comparison.pairing):
            return
        first, second = sides
        if Path(pairing.reviews[0]) != first.path:
            first, second = second, first
        try:
            words = laid.comparison.words
            self._made.emit(lay(compare_sides(pairing, first, second, words)))
        except CliptagError as error:
            self._could_not.emit(str(error))

    def _take(self, laid: Laid) -> None:
        if self._laid is None or self.pictures is None or self._worker is None:
            return
        if arrangement(laid.comparison.pairing) != arrangement(self.pairing):
            self._worker.ask(self.pairing)
            return
        old, new = self._laid.comparison, laid.comparison
        percent = self.percent
        if new.sides[0].clip is not old.sides[0].clip:
            self.pictures.swap()
        self._laid = laid
        if not _same_clock(old.pair, new.pair):
            self._go_on_at(percent)
        self._ask()
        self.compared.emit()

    def _go_on_at(self, percent: float) -> None:
        """Stay at the same place of the axis while the clock becomes another."""
        assert self._laid is not None
        pair, is_playing = self._laid.comparison.pair, self.playhead.is_playing
        self.playhead.set_clip(pair.times_us, pair.duration_us)
        index = np.abs(pair.times_us - self._laid.axis.out_at(percent)).argmin()
        self.playhead.go_to(int(index))
        if is_playing:
            self.playhead.play()

    def _refuse(self, sentence: str) -> None:
        """What can't be compared so is taken back: the desk never shows what isn't true."""
        self.warned.emit(sentence)
        if self.document is not None and self.document.undo_words is not None:
            self.document.undo()


def _same_clock(one: PairClip, other: PairClip) -> bool:
    return one.duration_us == other.duration_us and np.array_equal(one.times_us, other.times_us)
