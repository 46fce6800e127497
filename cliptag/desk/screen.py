"""Whether there is a screen to open a window on, told in a sentence instead of an abort."""

from __future__ import annotations

import ctypes
import importlib.util
import os
import sys
from pathlib import Path
from typing import Final

from cliptag.errors import CliptagError

X11_PACKAGES: Final = (
    "libxcb-cursor0 libxcb-icccm4 libxcb-image0 libxcb-keysyms1 libxcb-randr0 "
    "libxcb-render-util0 libxcb-shape0 libxcb-sync1 libxcb-xfixes0 libxcb-xkb1 "
    "libxkbcommon-x11-0 libx11-xcb1"
)
"""Debian's and Ubuntu's packages that Qt's window plug-in for X11 is linked with."""


def require_screen() -> None:
    """Raise CliptagError unless a window can be opened.

    Qt ends the whole process when it can't, so what it would fail at is tried before.
    """
    if sys.platform != "linux":
        return
    chosen = os.environ.get("QT_QPA_PLATFORM", "").split(":")[0].split(";")[0]
    if chosen not in ("", "xcb") or (not chosen and os.environ.get("WAYLAND_DISPLAY")):
        return
    if not os.environ.get("DISPLAY"):
        raise CliptagError(
            "The desk needs a screen, and there is none here: start it in a desktop session. "
            "'cliptag export' and the other verbs work without one."
        )
    _require_plugin()
    _require_server()


def _require_plugin() -> None:
    package = importlib.util.find_spec("PyQt6")
    if package is None or package.origin is None:
        return
    plugin = Path(package.origin).parent / "Qt6" / "plugins" / "platforms" / "libqxcb.so"
    if not plugin.exists():
        return  # a distribution's own PyQt6 comes with what it needs
    try:
        ctypes.CDLL(str(plugin))
    except OSError as error:
        raise CliptagError(
            f"The desk's window needs a system library that is missing ({error}): install it with "
            f"'sudo apt-get install {X11_PACKAGES}', then try again."
        ) from error


def _require_server() -> None:
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return
    xcb.xcb_connect.restype = ctypes.c_void_p
    connection = ctypes.c_void_p(xcb.xcb_connect(None, None))
    trouble = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    if trouble:
        raise CliptagError(
            f"The screen {os.environ['DISPLAY']} can't be reached: start the desk in the session "
            "that it belongs to. 'cliptag export' and the other verbs work without a screen."
        )
