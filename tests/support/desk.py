"""A small clip, its review, and a desk that is closed in good order."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec
from PyQt6.QtCore import QCoreApplication, QEvent
from PyQt6.QtGui import QKeySequence
from PyQt6.QtTest import QTest
from support.media import make_clip

from cliptag.clip import open_clip
from cliptag.desk.window import DeskWindow
from cliptag.opening import review_path_of, start_review
from cliptag.review import Note, Review, save_review

SECONDS = 2.0
FRAME_COUNT = 60


def small_clip(folder: Path, name: str = "ines.mp4") -> Path:
    """A clip of 60 frames of 128 x 96 pixels."""
    return make_clip(folder / name, seconds=SECONDS)


def small_review(clip_path: Path) -> Review:
    """An empty review of a clip."""
    with open_clip(clip_path) as clip:
        return start_review(clip)


def note(number: int, start_us: int, end_us: int, **fields: object) -> Note:
    """A plain note on the knees."""
    usual = {"region": "knees", "kind": "seen", "text": f"Note {number}."}
    return Note(id=f"n{number}", start_us=start_us, end_us=end_us, **{**usual, **fields})


def saved_review(clip_path: Path, *notes: Note, **fields: object) -> Path:
    """A review with notes, in its file beside the clip."""
    review = msgspec.structs.replace(small_review(clip_path), notes=notes, **fields)
    return save_review(review, review_path_of(clip_path))


@contextmanager
def opened_desk(path: Path | None = None) -> Iterator[DeskWindow]:
    """A shown desk with a clip or review on it, closed in good order."""
    window = DeskWindow()
    window.resize(1280, 800)
    window.show()
    QTest.qWaitForWindowExposed(window)
    window.activateWindow()
    try:
        if path is not None:
            assert window.open_path(path), window.bar.sentence
        yield window
    finally:
        window.exporter.close()
        window.preview.player.close()
        window.sound.close()
        window.state.close()
        window.keeper.end()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def press(window: DeskWindow, keys: str) -> None:
    """Press keys such as 'Ctrl+Z' where the keyboard is, as the system would deliver them."""
    stroke = QKeySequence(keys)[0]
    modifiers = stroke.keyboardModifiers()
    QTest.keyClick(window.focusWidget() or window, stroke.key(), modifiers)
