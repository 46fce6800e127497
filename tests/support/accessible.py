"""What a screen reader is told: Qt's own accessibility interface, asked through its C++ face.

PyQt has no QAccessible, so QAccessible::queryAccessibleInterface is called by its exported name and
the interface's virtual functions by their place in the order in which Qt 6's public header
qaccessible.h declares them (after the two entries of the virtual destructor): isValid, object,
window, relations, focusChild, childAt, parent, child, childCount, indexOfChild, text, setText,
rect, role, state. ``test_accessibility`` first checks on plain widgets that this still holds.
"""

from __future__ import annotations

import ctypes
import platform
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from PyQt6 import QtGui, sip
from PyQt6.QtCore import QObject
from PyQt6.QtWidgets import QCheckBox, QPushButton

_CHILD, _CHILD_COUNT, _TEXT, _ROLE, _STATE = 9, 10, 12, 15, 16
_NAME, _DESCRIPTION = 0, 1
_DISABLED, _FOCUSABLE, _CHECKED, _INVISIBLE = 1 << 0, 1 << 2, 1 << 6, 1 << 17

ROLES: Final = {
    0x02: "menu bar",
    0x03: "scroll bar",
    0x04: "grip",
    0x09: "window",
    0x0A: "client",
    0x0B: "menu",
    0x0C: "menu item",
    0x10: "pane",
    0x13: "frame",
    0x15: "separator",
    0x17: "status bar",
    0x21: "list",
    0x22: "list item",
    0x28: "graphic",
    0x29: "text",
    0x2A: "editable text",
    0x2B: "button",
    0x2C: "check box",
    0x2D: "radio button",
    0x2E: "drop-down list",
    0x30: "progress bar",
    0x33: "slider",
    0x34: "spin box",
    0x38: "drop-down button",
    0x39: "menu button",
    0x3A: "menu grid button",
    0x80: "stack",
}
"""The values of QAccessible::Role that the desk has, by Qt 6's documentation."""

CONTROLS: Final = frozenset(
    (
        *("menu item", "editable text", "button", "check box", "radio button", "drop-down list"),
        *("progress bar", "slider", "spin box", "drop-down button", "menu button"),
        "menu grid button",
    )
)


class _String(ctypes.Structure):
    """QString: an owner, UTF-16 units, and how many."""

    _fields_ = (("d", ctypes.c_void_p), ("units", ctypes.c_void_p), ("size", ctypes.c_ssize_t))


@dataclass(frozen=True)
class Told:
    """One thing that a screen reader knows of."""

    role: str
    name: str
    description: str
    depth: int
    is_disabled: bool
    is_focusable: bool
    is_checked: bool
    is_seen: bool


def told_of(widget: QObject) -> Iterator[Told]:
    """Everything that a screen reader is told of a widget and all in it, from the outside in."""
    interface = _query()(sip.unwrapinstance(widget))
    yield from _walk(interface, 0)


def told(widget: QObject) -> Told:
    """What a screen reader is told of one widget."""
    return next(told_of(widget))


def works() -> bool:
    """Whether Qt can be asked on this machine; a QApplication must be there."""
    if platform.system() != "Linux" or platform.machine() not in ("x86_64", "aarch64"):
        return False
    try:
        _query()
    except (OSError, AttributeError):
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


def _walk(interface: int, depth: int) -> Iterator[Told]:
    number = _call(interface, _ROLE, ctypes.c_int)
    role = ROLES.get(number, f"role {number:#x}")
    state = _call(interface, _STATE, ctypes.c_uint64)
    yield Told(
        role,
        _text(interface, _NAME),
        _text(interface, _DESCRIPTION),
        depth,
        is_disabled=bool(state & _DISABLED),
        is_focusable=bool(state & _FOCUSABLE),
        is_checked=bool(state & _CHECKED),
        is_seen=not state & _INVISIBLE,
    )
    for place in range(_call(interface, _CHILD_COUNT, ctypes.c_int)):
        child = _call(interface, _CHILD, ctypes.c_void_p, ctypes.c_int(place))
        if child:
            yield from _walk(child, depth + 1)


def _text(interface: int, which: int) -> str:
    string = _call(interface, _TEXT, _String, ctypes.c_int(which))
    if not string.size:
        return ""
    return ctypes.string_at(string.units, 2 * string.size).decode("utf-16-le")


def _call(interface: int, place: int, result: Any, *arguments: Any) -> Any:
    table = ctypes.cast(interface, ctypes.POINTER(ctypes.c_void_p))[0]
    address = ctypes.cast(table, ctypes.POINTER(ctypes.c_void_p))[place]
    kinds = [type(argument) for argument in arguments]
    function = ctypes.CFUNCTYPE(result, ctypes.c_void_p, *kinds)(address)
    return function(interface, *arguments)


@cache
def _query() -> Any:
    folder = Path(QtGui.__file__).parent / "Qt6" / "lib"
    library = ctypes.CDLL(str(folder / "libQt6Gui.so.6"))
    function = library["_ZN11QAccessible24queryAccessibleInterfaceEP7QObject"]
    function.restype, function.argtypes = ctypes.c_void_p, [ctypes.c_void_p]
    return function
