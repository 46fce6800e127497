"""Whether Qt can be used at all on this machine, told in a sentence instead of a crash."""

from __future__ import annotations

import ctypes
import importlib.util
import sys
from pathlib import Path
from typing import Final

from cliptag.errors import CliptagError

DEBIAN_PACKAGES: Final = (
    "libgl1 libegl1 libfontconfig1 libxkbcommon0 libdbus-1-3 libglib2.0-0 libx11-6"
)


def missing_library_error(cause: object) -> CliptagError:
    """The error to raise when a library that Qt needs is not on this machine."""
    return CliptagError(
        f"Painting needs a system library that is missing ({cause}): "
        f"install it with 'sudo apt-get install {DEBIAN_PACKAGES}', then try again."
    )


def require_qt() -> None:
    """Raise CliptagError unless PyQt6's painting classes can be imported."""
    try:
        import PyQt6.QtGui  # noqa: F401
    except ImportError as error:
        raise missing_library_error(error) from error


def require_offscreen_plugin() -> None:
    """Raise CliptagError when Qt's windowless platform could not load.

    Qt aborts the whole process when a platform plugin does not load, so the libraries it is
    linked with are tried before Qt does.
    """
    if sys.platform != "linux":
        return
    package = importlib.util.find_spec("PyQt6")
    if package is None or package.origin is None:
        return
    folder = Path(package.origin).parent / "Qt6" / "plugins" / "platforms"
    plugin = folder / "libqoffscreen.so"
    if not plugin.exists():
        return  # a distribution's own PyQt6 keeps its plugins elsewhere, with their dependencies
    try:
        ctypes.CDLL(str(plugin))
    except OSError as error:
        raise missing_library_error(error) from error
