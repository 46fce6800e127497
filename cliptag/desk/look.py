"""How the desk looks: colours by what they are for, sizes in font heights, light and dark.

A widget asks ``palette()`` and ``space()`` each time it paints or lays out: Qt repaints every
widget when the colours change, and sends FontChange when the text size does.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final, Literal, TypeAlias

from PyQt6.QtCore import QObject, Qt, pyqtSignal
from PyQt6.QtGui import QColor, QFont, QFontMetricsF, QPalette
from PyQt6.QtWidgets import QApplication

from cliptag.desk.look_sheet import sheet_of

Scheme: TypeAlias = Literal["system", "light", "dark"]
Contrast: TypeAlias = Literal["normal", "strong"]


@dataclass(frozen=True, slots=True)
class Palette:
    """Colours as ``#RRGGBB``, named for what they are for.

    ``ink``, ``quiet_ink``, ``accent`` and ``danger`` are readable on every ground (``ground``,
    ``plate``, ``well``, ``chosen``); ``edge`` and ``focus`` stand out from every ground.
    """

    ground: str
    """The desk itself."""
    plate: str
    """What lies on it: cards, fields, menus."""
    well: str
    """What is let into it: round the picture, under the strip's bars."""
    chosen: str
    """Behind what is chosen or pointed at."""
    ink: str
    quiet_ink: str
    accent: str
    """The one colour: what is active, what to press next."""
    on_accent: str
    """Ink on the accent."""
    edge: str
    """The outline of whatever can be used."""
    hairline: str
    """Parts one thing from another and says no more."""
    danger: str
    focus: str
    """The ring round what the keyboard speaks to."""

    def colour(self, token: str) -> QColor:
        """A token for a painter: ``palette().colour("accent")``."""
        return QColor(getattr(self, token))


LIGHT: Final = Palette(
    ground="#F4F1EA",
    plate="#FFFDF9",
    well="#DFDBD1",
    chosen="#D5E6E0",
    ink="#1F2C35",
    quiet_ink="#4A565F",
    accent="#1F5C54",
    on_accent="#FFFFFF",
    edge="#6E7675",
    hairline="#DAD4C7",
    danger="#A3301B",
    focus="#1F5C54",
)
DARK: Final = Palette(
    ground="#1B2023",
    plate="#262D31",
    well="#101416",
    chosen="#274640",
    ink="#ECE9E1",
    quiet_ink="#B3BAB9",
    accent="#6FC4B1",
    on_accent="#0C1F1B",
    edge="#8B969A",
    hairline="#363F43",
    danger="#FF9F8A",
    focus="#8EDCCB",
)
STRONG_LIGHT: Final = Palette(
    ground="#FFFFFF",
    plate="#FFFFFF",
    well="#E6E6E6",
    chosen="#C9E4DB",
    ink="#000000",
    quiet_ink="#2B3238",
    accent="#0B4A42",
    on_accent="#FFFFFF",
    edge="#3E4649",
    hairline="#9BA1A3",
    danger="#8A1600",
    focus="#0B4A42",
)
STRONG_DARK: Final = Palette(
    ground="#000000",
    plate="#101315",
    well="#000000",
    chosen="#163F37",
    ink="#FFFFFF",
    quiet_ink="#DADFDE",
    accent="#8FE3CF",
    on_accent="#00110D",
    edge="#B7C0C2",
    hairline="#596265",
    danger="#FFC2B3",
    focus="#A8F0DE",
)

PALETTES: Final[dict[tuple[bool, Contrast], Palette]] = {
    (False, "normal"): LIGHT,
    (True, "normal"): DARK,
    (False, "strong"): STRONG_LIGHT,
    (True, "strong"): STRONG_DARK,
}
"""By whether it is dark, and by contrast."""

_LEAST_POINTS: Final = 10.0
_GENERIC_FAMILIES: Final = ("", "Sans", "Sans Serif", "Sans-Serif", "MS Shell Dlg 2")


class Look(QObject):
    """The application's colours and text size; follows the system unless told otherwise."""

    changed = pyqtSignal()

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        self._application = application
        self._scheme: Scheme = "system"
        self._contrast: Contrast = "normal"
        self._text_size = 1.0
        self._system_font = QFont(application.font())
        self.palette = LIGHT
        self.text_height = 0.0
        self._is_system_dark = False
        hints = application.styleHints()
        if hints is not None:
            self._is_system_dark = hints.colorScheme() == Qt.ColorScheme.Dark
            hints.colorSchemeChanged.connect(self._follow)
        application.setStyle("Fusion")
        self._apply()

    def set(self, scheme: Scheme, contrast: Contrast, text_size: float) -> None:
        """Choose light or dark (or the system's), contrast, and how many times larger text is."""
        wished = (scheme, contrast, text_size)
        if wished != (self._scheme, self._contrast, self._text_size):
            self._scheme, self._contrast, self._text_size = wished
            self._apply()

    def _apply(self) -> None:
        self.palette = PALETTES[self._is_dark(), self._contrast]
        font = _base_font(self._system_font)
        font.setPointSizeF(font.pointSizeF() * self._text_size)
        self._application.setFont(font)
        self._application.setPalette(_qt_palette(self.palette))
        self.text_height = QFontMetricsF(font).height()
        tokens = {field.name: getattr(self.palette, field.name) for field in fields(self.palette)}
        self._application.setStyleSheet(sheet_of(tokens, font.pointSizeF(), self.text_height))
        self.changed.emit()

    def _follow(self, scheme: Qt.ColorScheme) -> None:
        self._is_system_dark = scheme == Qt.ColorScheme.Dark
        self._apply()

    def _is_dark(self) -> bool:
        return self._is_system_dark if self._scheme == "system" else self._scheme == "dark"


_look: Look | None = None


def look() -> Look:
    """The application's look; needs a QApplication."""
    global _look
    application = QApplication.instance()
    assert isinstance(application, QApplication)
    if _look is None or _look.parent() is not application:
        _look = Look(application)
    return _look


def palette() -> Palette:
    """The colours of now."""
    return look().palette


def space(heights: float = 1.0) -> int:
    """A length in multiples of the text's height, in device-independent pixels."""
    return max(1, round(heights * look().text_height))


def font(size: float = 1.0, *, strong: bool = False) -> QFont:
    """The application's font, so many times as large."""
    made = QFont(QApplication.font())
    made.setPointSizeF(made.pointSizeF() * size)
    made.setWeight(QFont.Weight.DemiBold if strong else QFont.Weight.Normal)
    return made


def _base_font(system: QFont) -> QFont:
    base = QFont(system)
    if base.family() in _GENERIC_FAMILIES:
        base.setFamilies(["Noto Sans", base.family()])
    points = base.pointSizeF() if base.pointSizeF() > 0 else _LEAST_POINTS
    base.setPointSizeF(max(points, _LEAST_POINTS))
    return base


def _qt_palette(colours: Palette) -> QPalette:
    made = QPalette()
    role = QPalette.ColorRole
    for which, token in (
        (role.Window, "ground"),
        (role.WindowText, "ink"),
        (role.Base, "plate"),
        (role.AlternateBase, "ground"),
        (role.Text, "ink"),
        (role.Button, "plate"),
        (role.ButtonText, "ink"),
        (role.BrightText, "danger"),
        (role.ToolTipBase, "plate"),
        (role.ToolTipText, "ink"),
        (role.PlaceholderText, "quiet_ink"),
        (role.Highlight, "accent"),
        (role.HighlightedText, "on_accent"),
        (role.Link, "accent"),
        (role.LinkVisited, "accent"),
        (role.Light, "plate"),
        (role.Midlight, "hairline"),
        (role.Mid, "edge"),
        (role.Dark, "edge"),
        (role.Shadow, "edge"),
    ):
        made.setColor(which, colours.colour(token))
    for which in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, which, colours.colour("quiet_ink"))
    return made
