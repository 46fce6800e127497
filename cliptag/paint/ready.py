"""Qt made ready to paint without a window."""

from __future__ import annotations

import os
import sys
import threading

from PyQt6.QtCore import QLoggingCategory
from PyQt6.QtGui import QGuiApplication

from cliptag.paint._qt import require_offscreen_plugin
from cliptag.paint.typefaces import load_fonts

_lock = threading.Lock()
_application: QGuiApplication | None = None
_is_ready = False


def ensure_painter_ready() -> None:
    """Make painting and text work; cheap to call again.

    Creates a windowless QGuiApplication when there is none (call it first from the main thread)
    and loads the fonts. After that every function of this room may be called from any thread.

    Raises CliptagError, with the command that mends it, when a system library is missing.
    """
    global _application, _is_ready
    with _lock:
        if _is_ready and QGuiApplication.instance() is not None:
            return
        if QGuiApplication.instance() is None:
            _application = _windowless_application()
        # Qt prints a line for every font that it passes over on its way to the one with the script.
        QLoggingCategory.setFilterRules("qt.text.font.db.info=false")
        load_fonts()
        _is_ready = True


def _windowless_application() -> QGuiApplication:
    arguments = [sys.argv[0] if sys.argv else "cliptag"]
    if os.environ.get("QT_QPA_PLATFORM", "offscreen") in ("offscreen", ""):
        require_offscreen_plugin()
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    return QGuiApplication(arguments)
