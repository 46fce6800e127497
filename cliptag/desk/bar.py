"""The bar at the foot of the desk: one sentence at a time, and at most one thing to do about it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from cliptag.desk import look

_KEPT: Final = 8
_LEAST_EM: Final = 11.0
"""A narrower sentence would stand on too many lines."""
_SHOWN_MS: Final = 12_000
"""A plain sentence goes by itself after this; it stays in the list of earlier ones."""


@dataclass(frozen=True, slots=True)
class Message:
    """A sentence; ``words`` on a button run ``act``. It stays until it is answered or put away."""

    sentence: str
    words: str = ""
    act: Callable[[], object] | None = None
    is_trouble: bool = False

    @property
    def waits(self) -> bool:
        return self.is_trouble or self.act is not None


class Bar(QFrame):
    """Sentences for the person at the desk, never over the picture and never a dialog.

    A screen reader is told of each one by the change of the sentence's accessible name.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("bar")
        self._message: Message | None = None
        self._waiting: list[Message] = []
        self._earlier: deque[Message] = deque(maxlen=_KEPT)
        self._sign = QLabel()
        self._sentence = QLabel()
        self._sentence.setWordWrap(True)
        self._sentence.setTextFormat(Qt.TextFormat.PlainText)
        self._sentence.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._sentence.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._do = QPushButton()
        self._do.clicked.connect(self._act)
        self._away = QToolButton()
        self._away.setText("Put away")
        self._away.setToolTip("Put this sentence away; it stays in the list of earlier ones")
        self._away.clicked.connect(self.put_away)
        self._list = QToolButton()
        self._list.setText("Earlier")
        self._list.setToolTip("The last few sentences")
        self._list.setAccessibleName("Earlier sentences")
        self._list.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._menu = QMenu(self)
        self._menu.aboutToShow.connect(self._fill_menu)
        self._list.setMenu(self._menu)
        self._clock = QTimer(self)
        self._clock.setSingleShot(True)
        self._clock.timeout.connect(self.put_away)
        self._lay_out()
        self._show()

    @property
    def sentence(self) -> str:
        """What is said just now; empty when nothing is."""
        return self._message.sentence if self._message else ""

    @property
    def earlier(self) -> tuple[Message, ...]:
        """The last few messages, the newest first, the present one included."""
        return tuple(self._earlier)

    def say(self, sentence: str) -> None:
        """Say something that needs no answer."""
        self.show_message(Message(sentence))

    def warn(self, sentence: str) -> None:
        """Say that something went wrong; it stays until it is put away."""
        self.show_message(Message(sentence, is_trouble=True))

    def offer(self, sentence: str, words: str, act: Callable[[], object]) -> None:
        """Say something with one button; it stays until it is answered or put away."""
        self.show_message(Message(sentence, words, act))

    def show_message(self, message: Message) -> None:
        """Show a message; one that waits for an answer comes back when this one is gone."""
        self._earlier.appendleft(message)
        if self._message is not None and self._message.waits:
            self._waiting.append(self._message)
        self._message = message
        self._clock.stop()
        if not message.waits:
            self._clock.start(_SHOWN_MS)
        self._show()

    def add_corner(self, widget: QWidget) -> None:
        """Put a widget at the bar's right end."""
        layout = self.layout()
        assert isinstance(layout, QHBoxLayout)
        layout.addWidget(widget)

    def put_away(self) -> None:
        """Clear the bar for what still waits; a button's offer is still in the list."""
        self._message = self._waiting.pop() if self._waiting else None
        self._clock.stop()
        self._show()

    def take_back(self, sentence: str) -> None:
        """Put a sentence away, also while it waits under another: it holds no longer."""
        self._waiting = [message for message in self._waiting if message.sentence != sentence]
        if self.sentence == sentence:
            self.put_away()

    def read_out(self) -> None:
        """Give the keyboard to what can be done about the sentence, else to the list."""
        target = self._do if self._do.isVisible() else self._list
        target.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _lay_out(self) -> None:
        layout = QHBoxLayout(self)
        gap = look.space(0.5)
        layout.setContentsMargins(gap, look.space(0.15), gap, look.space(0.15))
        layout.setSpacing(gap)
        for widget in (self._sign, self._sentence, self._do, self._away, self._list):
            layout.addWidget(widget)
            if isinstance(widget, QPushButton | QToolButton):
                widget.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        layout.setStretchFactor(self._sentence, 1)

    def _show(self) -> None:
        message = self._message
        colours = look.palette()
        sign, token = ("", "quiet_ink")
        if message is not None:
            sign, token = ("\u25b2", "danger") if message.is_trouble else ("\u25cf", "accent")
        self._sign.setText(sign)
        self._sign.setStyleSheet(f"color: {getattr(colours, token)};")
        self._sign.setAccessibleName("Trouble" if message and message.is_trouble else "Message")
        self._sentence.setText(self.sentence)
        self._sentence.setMinimumWidth(look.space(_LEAST_EM) if self.sentence else 0)
        self._sentence.setAccessibleName(self.sentence or "No message")
        self._do.setText(message.words if message else "")
        self._do.setVisible(bool(message and message.act))
        self._away.setVisible(message is not None)
        self._list.setVisible(bool(self._earlier))

    def _act(self) -> None:
        message = self._message
        self.put_away()
        if message is not None and message.act is not None:
            message.act()

    def _fill_menu(self) -> None:
        self._menu.clear()
        for message in self._earlier:
            action = QAction(_menu_words(message), self._menu)
            action.triggered.connect(lambda _checked, again=message: self._again(again))
            self._menu.addAction(action)

    def _again(self, message: Message) -> None:
        if message.act is not None:
            message.act()
        else:
            self.show_message(message)


def _menu_words(message: Message) -> str:
    words = f"{message.sentence}  \u2192 {message.words}" if message.act else message.sentence
    return words.replace("&", "&&")
