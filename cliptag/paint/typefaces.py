"""The fonts: those that come with cliptag first, then what the machine has."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Final

from PyQt6.QtGui import QFont, QFontDatabase, QFontMetricsF

from cliptag.errors import CliptagError

FONT_FOLDER: Final = Path(__file__).with_name("fonts")

REGULAR: Final = 400
STRONG: Final = 600

_OWN_FAMILIES: Final = (
    "Noto Sans",
    "Noto Sans Arabic",
    "Noto Sans Hebrew",
    "Noto Sans Devanagari",
    "Noto Sans Bengali",
    "Noto Sans Gurmukhi",
    "Noto Sans Tamil",
    "Noto Sans Thai",
    "Noto Sans Georgian",
    "Noto Sans Armenian",
    "Cliptag Signs",
    "Cliptag Symbols",
)
_CJK_FAMILIES: Final = (
    "Noto Sans CJK SC",
    "Noto Sans SC",
    "Source Han Sans SC",
    "PingFang SC",
    "Microsoft YaHei",
    "Hiragino Sans",
    "Yu Gothic",
    "Apple SD Gothic Neo",
    "Malgun Gothic",
    "WenQuanYi Micro Hei",
    "Cliptag Hangul",
    "Droid Sans Fallback",
)
"""For Chinese, Japanese and Korean; the last two come with cliptag."""
_EMOJI_FAMILIES: Final = (
    "Noto Color Emoji",
    "Apple Color Emoji",
    "Segoe UI Emoji",
    "Noto Emoji",
)
"""In colour where the machine has them; the last one, in one colour, comes with cliptag."""


class _PerThread(threading.local):
    def __init__(self) -> None:
        self.fonts: dict[tuple[int, int], QFont] = {}
        self.metrics: dict[tuple[int, int], QFontMetricsF] = {}


_per_thread = _PerThread()
_families: list[str] = []


def load_fonts() -> None:
    """Make cliptag's own fonts known to Qt; needs a QGuiApplication.

    Raises CliptagError when the font files are not there or can't be loaded.
    """
    # Fonts of the same name that the machine has would take the place of ours if Qt read the
    # machine's list only later.
    QFontDatabase.families()
    files = sorted(FONT_FOLDER.glob("*.ttf"))
    if not files:
        raise CliptagError(
            f"The fonts that come with cliptag are missing from {FONT_FOLDER}: "
            "install cliptag again."
        )
    for file in files:
        if QFontDatabase.addApplicationFont(str(file)) < 0:
            raise CliptagError(
                f"Qt could not load the font {file.name}: "
                "unset QT_QPA_PLATFORM if it is set, else install cliptag again."
            )
    known = set(QFontDatabase.families())
    _families[:] = [
        family for family in (*_OWN_FAMILIES, *_CJK_FAMILIES, *_EMOJI_FAMILIES) if family in known
    ]


def font(px: int, weight: int = REGULAR) -> QFont:
    """A font of ``px`` pixels that falls back from script to script; this thread's own copy."""
    found = _per_thread.fonts.get((px, weight))
    if found is None:
        found = QFont()
        found.setFamilies(_families)
        found.setPixelSize(px)
        found.setWeight(QFont.Weight(weight))
        # Unhinted glyphs keep their widths when the painter is scaled.
        found.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        found.setStyleStrategy(QFont.StyleStrategy.PreferAntialias)
        _per_thread.fonts[px, weight] = found
    return found


def metrics(px: int, weight: int = REGULAR) -> QFontMetricsF:
    """The metrics of ``font(px, weight)``; this thread's own copy."""
    found = _per_thread.metrics.get((px, weight))
    if found is None:
        found = _per_thread.metrics[px, weight] = QFontMetricsF(font(px, weight))
    return found
