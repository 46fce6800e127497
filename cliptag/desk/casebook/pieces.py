"""Small pieces of the casebook's pages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from itertools import pairwise

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look


def button(
    words: str,
    run: Callable[[], object],
    *,
    role: str = "",
    name: str = "",
    tip: str = "",
    key: str = "",
) -> QPushButton:
    """A button; ``name`` is what a screen reader says, ``key`` tells it from others of its page."""
    made = QPushButton(words.replace("&", "&&"))
    made.setProperty("role", role)
    made.setAccessibleName(name or words)
    made.setToolTip(tip or name or words)
    made.setObjectName(key or words)
    made.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    made.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    made.clicked.connect(lambda _checked: run())
    return made


def words_label(words: str, role: str = "") -> QLabel:
    """Words over as many lines as they need; the pointer can choose them."""
    label = QLabel(words)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setProperty("role", role)
    label.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
    return label


def empty_out(layout: QLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        widget, inner = item.widget(), item.layout()
        if widget is not None:
            widget.hide()
            widget.setParent(None)
            widget.deleteLater()
        elif inner is not None:
            empty_out(inner)


def takers_in(part: QWidget) -> list[QWidget]:
    """What takes the keyboard in a part, in the order in which it is laid out."""
    # What was never shown counts as hidden too, until its page is.
    if part.isHidden() and part.testAttribute(Qt.WidgetAttribute.WA_WState_ExplicitShowHide):
        return []
    if part.focusPolicy() & Qt.FocusPolicy.TabFocus and part.focusProxy() is None:
        return [part]
    if isinstance(part, QScrollArea):
        inside = part.widget()
        return takers_in(inside) if inside is not None else []
    layout = part.layout()
    return _takers_of(layout) if layout is not None else []


def let_tab_follow(part: QWidget) -> None:
    """Let Tab lead through a part in the order in which it is laid out."""
    for one, other in pairwise(takers_in(part)):
        QWidget.setTabOrder(one, other)


def _takers_of(layout: QLayout) -> list[QWidget]:
    found: list[QWidget] = []
    for number in range(layout.count()):
        item = layout.itemAt(number)
        widget, inner = (item.widget(), item.layout()) if item is not None else (None, None)
        if widget is not None:
            found += takers_in(widget)
        elif inner is not None:
            found += _takers_of(inner)
    return found


def has_keyboard(part: QWidget) -> bool:
    """Whether the keyboard speaks to a part, or to something in it."""
    window = part.window()
    focus = window.focusWidget() if window is not None else None
    return focus is not None and (focus is part or part.isAncestorOf(focus))


@contextmanager
def keyboard_kept(page: QWidget) -> Iterator[None]:
    """Fill a page anew: the keyboard goes to the button that took the old one's place."""
    window = page.window()
    focus = window.focusWidget() if window is not None else None
    had_it = focus is not None and page.isAncestorOf(focus)
    key = focus.objectName() if focus is not None else ""
    before = takers_in(page)
    place = before.index(focus) if had_it and focus in before else 0
    yield
    let_tab_follow(page)
    if not had_it or (focus is not None and page.isAncestorOf(focus)):
        return
    takers = [taker for taker in takers_in(page) if taker.isEnabled()]
    same = [taker for taker in takers if key and taker.objectName() == key]
    if takers:
        (same[0] if same else takers[min(place, len(takers) - 1)]).setFocus()


class Page(QScrollArea):
    """A page of the casebook: a column that is never wider than lines can be read."""

    def __init__(self, name: str, *, widest: float = 52.0, is_centred: bool = False) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._widest = widest
        inside = QWidget()
        self._inner = QWidget()
        self.body = QVBoxLayout(self._inner)
        outer = QVBoxLayout(inside)
        outer.setContentsMargins(0, 0, 0, 0)
        line = QHBoxLayout()
        if is_centred:
            outer.addStretch(1)
            line.addStretch(1)
        line.addWidget(self._inner, 100)
        line.addStretch(1 if is_centred else 0)
        outer.addLayout(line)
        outer.addStretch(2 if is_centred else 1)
        self.setWidget(inside)
        self._space_out()
        look.look().changed.connect(self._space_out)

    def to_top(self) -> None:
        """Show the page's beginning."""
        bar = self.verticalScrollBar()
        if bar is not None:
            bar.setValue(0)

    def _space_out(self) -> None:
        wide = look.space(1.4)
        self.body.setContentsMargins(wide, look.space(1.0), wide, look.space(1.0))
        self.body.setSpacing(look.space(0.35))
        self._inner.setMaximumWidth(look.space(self._widest))
