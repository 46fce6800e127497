"""What Qt itself tells a screen reader about a widget, asked of Qt's own accessibility interface.

PyQt6 has no binding for QAccessible, so its C++ functions are called by their binary interface
(Itanium C++ ABI: the order of the virtual functions in Qt 6's qaccessible.h, from memory; checked
against plain widgets in ``works``).
"""

from __future__ import annotations

import ctypes
import functools
import platform
from dataclasses import dataclass
from pathlib import Path

import PyQt6
from PyQt6 import sip
from PyQt6.QtWidgets import QCheckBox, QPushButton, QWidget

ROLES = {
    0x0A: "window",
    0x29: "text",
    0x2A: "field",
    0x2B: "button",
    0x2C: "check box",
    0x2D: "radio button",
    0x2E: "combo box",
    0x34: "spin box",
}
_TEXT, _ROLE, _STATE = 12, 15, 16


class _QString(ctypes.Structure):
    _fields_ = [("d", ctypes.c_void_p), ("data", ctypes.c_void_p), ("size", ctypes.c_ssize_t)]


@dataclass(frozen=True)
class Told:
    """What is read out."""

    name: str
    description: str
    role: str
    is_disabled: bool
    is_focusable: bool
    is_checkable: bool
    is_checked: bool


def told(widget: QWidget) -> Told:
    """Everything that Qt tells a screen reader about a widget."""
    face = _library()._ZN11QAccessible24queryAccessibleInterfaceEP7QObject(
        ctypes.c_void_p(sip.unwrapinstance(widget))
    )
    assert face, f"{widget} has no accessibility interface"
    state = _call(face, _STATE, ctypes.c_uint64)
    role = _call(face, _ROLE, ctypes.c_int)
    return Told(
        name=_text(face, 0),
        description=_text(face, 1),
        role=ROLES.get(role, hex(role)),
        is_disabled=bool(state & 1),
        is_focusable=bool(state & 4),
        is_checkable=bool(state & 32),
        is_checked=bool(state & 64),
    )


def works() -> bool:
    """Whether Qt can be asked on this machine; a QApplication must be there."""
    if platform.system() != "Linux" or platform.machine() not in ("x86_64", "aarch64"):
        return False
    try:
        _library()
    except (OSError, AttributeError, IndexError):
        return False
    box = QCheckBox("Sit tall")
    box.setChecked(True)
    button = QPushButton("Heels back")
    button.setEnabled(False)
    a, b = told(box), told(button)
    return (a.name, a.role, a.is_checked, b.name, b.role, b.is_disabled, a.is_disabled) == (
        *("Sit tall", "check box", True),
        *("Heels back", "button", True, False),
    )


@functools.cache
def _library() -> ctypes.CDLL:
    folder = Path(PyQt6.__file__).parent
    found = sorted(folder.glob("Qt6/lib/libQt6Gui.so.6"))
    library = ctypes.CDLL(str(found[0]))
    query = library._ZN11QAccessible24queryAccessibleInterfaceEP7QObject
    query.restype = ctypes.c_void_p
    query.argtypes = [ctypes.c_void_p]
    return library


def _call(face: int, place: int, result: type, *arguments: object) -> object:
    table = ctypes.cast(face, ctypes.POINTER(ctypes.c_void_p))[0]
    address = ctypes.cast(table, ctypes.POINTER(ctypes.c_void_p))[place]
    kinds = [ctypes.c_int] * len(arguments)
    return ctypes.CFUNCTYPE(result, ctypes.c_void_p, *kinds)(address)(face, *arguments)


def _text(face: int, which: int) -> str:
    # The few bytes of each string are never freed: Qt's own count of them can't be reached.
    found = _call(face, _TEXT, _QString, which)
    return ctypes.string_at(found.data, 2 * found.size).decode("utf-16-le") if found.data else ""
