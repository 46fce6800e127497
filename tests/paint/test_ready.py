"""Painting without a window, from any thread, and a plain sentence when it can't be done."""

from __future__ import annotations

import ctypes
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from paint.canvas import MARKS, painted

import cliptag.paint
from cliptag.errors import CliptagError
from cliptag.paint import (
    CaptionText,
    ShownMark,
    Sizes,
    TitleText,
    ensure_painter_ready,
    paint_caption,
    paint_marks,
    rgba_of,
    title_card,
)
from cliptag.paint._qt import require_offscreen_plugin, require_qt

ROOT = Path(__file__).parents[2]


def run(code: str, **environment: str) -> str:
    clean = {name: value for name, value in os.environ.items() if not name.startswith("QT_")}
    clean.pop("DISPLAY", None)
    clean.pop("WAYLAND_DISPLAY", None)
    done = subprocess.run(
        [sys.executable, "-c", code],
        env={**clean, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


PLATFORM = (
    "from cliptag.paint import ensure_painter_ready; ensure_painter_ready();"
    "from PyQt6.QtGui import QGuiApplication as A; print(A.platformName())"
)


def test_without_a_display_it_paints_offscreen():
    assert run(PLATFORM) == "offscreen"


def test_a_platform_that_was_chosen_is_kept_and_named_when_it_can_not_paint_text():
    """Qt's 'minimal' platform knows no fonts."""
    code = (
        "from cliptag.paint import ensure_painter_ready\n"
        "try: ensure_painter_ready()\n"
        "except Exception as error: print(type(error).__name__, error)"
    )
    said = run(code, QT_QPA_PLATFORM="minimal")
    assert said.startswith("CliptagError") and "unset QT_QPA_PLATFORM" in said


def test_an_application_that_is_there_is_kept():
    code = (
        "from PyQt6.QtGui import QGuiApplication as A; app = A([]);"
        "from cliptag.paint import ensure_painter_ready as ready; ready(); ready();"
        "print(A.instance() is app)"
    )
    assert run(code, QT_QPA_PLATFORM="offscreen") == "True"


def test_the_application_lives_on_when_nobody_holds_it():
    code = (
        "from cliptag.paint import *; import gc; ensure_painter_ready(); gc.collect();"
        "print(title_card((90, 160), TitleText(client='Ines')).width())"
    )
    assert run(code) == "90"


def test_being_ready_twice_loads_nothing_twice():
    code = (
        "from PyQt6.QtGui import QFontDatabase as D; from cliptag.paint import *;"
        "ensure_painter_ready(); before = D.families(); ensure_painter_ready();"
        "print(before == D.families())"
    )
    assert run(code) == "True"


def everything(_: int = 0) -> list[bytes]:
    sizes = Sizes(270, 480)
    marks = [ShownMark(mark, "care", "12° ± 1°") for mark in MARKS]
    caption = CaptionText(("اترك الركبة 👍", "膝を前に"), "Take care · Knees", "care", "top")
    return [
        painted(270, 480, lambda p: paint_marks(p, marks, sizes)).tobytes(),
        painted(270, 480, lambda p: paint_caption(p, caption, sizes)).tobytes(),
        rgba_of(title_card((270, 480), TitleText(client="Ines", caution="Stop."))).tobytes(),
    ]


def test_worker_threads_paint_the_same_as_the_main_thread():
    expected = everything()
    with ThreadPoolExecutor(4) as pool:
        for result in pool.map(everything, range(24)):
            assert result == expected


def test_a_missing_library_is_told_with_the_command_that_mends_it(monkeypatch):
    def fail(_: str):
        raise OSError("libEGL.so.1: cannot open shared object file: No such file or directory")

    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(ctypes, "CDLL", fail)
    with pytest.raises(CliptagError, match=r"libEGL\.so\.1.*apt-get install .*libegl1"):
        require_offscreen_plugin()


def test_a_qt_that_can_not_be_imported_is_told_in_a_sentence(monkeypatch):
    monkeypatch.setitem(sys.modules, "PyQt6.QtGui", None)
    with pytest.raises(CliptagError, match="apt-get install"):
        require_qt()


def test_missing_font_files_are_told_in_a_sentence(monkeypatch, tmp_path):
    monkeypatch.setattr("cliptag.paint.typefaces.FONT_FOLDER", tmp_path)
    monkeypatch.setattr("cliptag.paint.ready._is_ready", False)
    with pytest.raises(CliptagError, match="install cliptag again"):
        ensure_painter_ready()


def test_the_door_lists_what_others_may_use():
    names = {
        name
        for name, value in vars(cliptag.paint).items()
        if not name.startswith("_") and not isinstance(value, ModuleType)
    }
    assert names - {"require_qt"} == set(cliptag.paint.__all__)


def test_painted_pictures_are_premultiplied():
    pixels = painted(
        270, 480, lambda p: paint_caption(p, CaptionText(("x",), "", None, "top"), Sizes(270, 480))
    )
    assert (pixels[..., :3] <= pixels[..., 3:]).all()
    assert np.unique(pixels[..., 3]).size > 2
