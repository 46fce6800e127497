"""The program: one window, open until it is closed."""

from __future__ import annotations

import gc
import os
import signal
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from types import TracebackType
from typing import Final

from cliptag.bug_log import Caught, log_bug
from cliptag.desk.screen import require_screen

_SIGNAL_MS: Final = 250


def run_desk(path: Path | None = None, other: Path | None = None) -> int:
    """Open the desk, with a clip, photo or review on it if one is named; gives the exit code.

    With two reviews they are compared, in this order.

    Raises CliptagError when this machine has no screen.
    """
    require_screen()
    # QtMultimedia tells the terminal of each optional library that it doesn't find.
    os.environ.setdefault("QT_LOGGING_RULES", "qt.multimedia.*=false")
    from PyQt6.QtWidgets import QApplication

    from cliptag.desk.icons import window_icon
    from cliptag.desk.window import DeskWindow

    application = QApplication([sys.argv[0]])
    application.setApplicationName("cliptag")
    application.setDesktopFileName("cliptag")
    application.setWindowIcon(window_icon())
    window = DeskWindow()
    _catch_bugs(window.state.warned.emit)
    _end_on_signals(application, window.leave)
    window.show()
    # What is loaded by now stays: looking through it for garbage takes some hundredths of a second,
    # in which the window would not answer.
    gc.freeze()
    if path is not None and other is not None:
        window.pairing.open_two(path, other)
    elif path is not None:
        window.open_path(path)
    elif window.remembered.uses_casebook and window.casebook.model.exists:
        window.show_casebook()
    window.keeper.offer_what_was_left()
    return application.exec()


def _catch_bugs(tell: Callable[[str], object]) -> None:
    """A bug costs one step, not the work: it is logged, told in a sentence, and the desk goes on.

    Without a hook of its own PyQt6 ends the process at an exception in a slot.
    """

    def caught(
        kind: type[BaseException], error: BaseException, trace: TracebackType | None
    ) -> None:
        tell(log_bug((kind, error, trace)))

    def caught_in_thread(told: threading.ExceptHookArgs) -> None:
        if told.exc_value is not None:
            found: Caught = (told.exc_type, told.exc_value, told.exc_traceback)
            tell(log_bug(found))

    sys.excepthook = caught
    threading.excepthook = caught_in_thread


def _end_on_signals(application: object, leave: Callable[[], object]) -> None:
    """Ctrl+C in the terminal, or the session's end, closes the window in good order."""
    from PyQt6.QtCore import QObject, QTimer

    assert isinstance(application, QObject)
    for which in (signal.SIGINT, signal.SIGTERM):
        signal.signal(which, lambda *_: leave())
    # Python only looks for signals while it runs its own code.
    waker = QTimer(application)
    waker.timeout.connect(lambda: None)
    waker.start(_SIGNAL_MS)
