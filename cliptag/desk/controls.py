"""The slim row between the picture and the strip, and the row of tools above the picture."""

from __future__ import annotations

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtGui import QAction, QResizeEvent
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMenu,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.actions import TOOL_WORDS
from cliptag.desk.commands import Commands
from cliptag.desk.icons import icon
from cliptag.desk.moving import SPEEDS
from cliptag.desk.state import TOOLS, DeskState, Tool
from cliptag.desk.strip import time_words
from cliptag.desk.time_field import TimeField


def button_for(action: QAction, sign: str, words: str = "") -> QToolButton:
    """A button for a command: its sign, its words if there are any, its tooltip with the key."""
    button = QToolButton()
    button.setToolTip(action.toolTip())
    button.setAccessibleName(action.text())
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setAutoRaise(True)
    button.setText(words)
    style = Qt.ToolButtonStyle
    button.setToolButtonStyle(style.ToolButtonTextBesideIcon if words else style.ToolButtonIconOnly)
    button.setProperty("sign", sign)
    button.clicked.connect(lambda: action.trigger())
    button.setEnabled(action.isEnabled())
    action.changed.connect(lambda: button.setEnabled(action.isEnabled()))
    dress(button)
    return button


def dress(button: QToolButton, token: str = "ink") -> None:
    """Draw the button's sign in the colours and size of now."""
    size = look.space(1.1)
    button.setIconSize(QSize(size, size))
    button.setIcon(icon(button.property("sign"), token))


class Controls(QWidget):
    """Playing: play, step, the time, the speed."""

    def __init__(self, state: DeskState, commands: Commands) -> None:
        super().__init__()
        self._state = state
        self.setAccessibleName("Playing")
        self.time = TimeField(state)
        self.time.setToolTip(commands.action("go_to").toolTip())
        self._of = QLabel()
        self._play = button_for(commands.action("play"), "play")
        self._loop = button_for(commands.action("loop"), "loop")
        self._loop.setCheckable(True)
        self._sound = button_for(commands.action("sound"), "sound")
        self._buttons = [
            button_for(commands.action("frame_back"), "frame_back"),
            self._play,
            button_for(commands.action("frame_on"), "frame_on"),
            self._loop,
            self._sound,
        ]
        self._speed = QToolButton()
        self._fill_speed(commands)
        self._lay_out()
        self._listen()

    def show_sound(self, is_on: bool) -> None:
        """Show whether the clip's sound is played."""
        self._sound.setProperty("sign", "sound" if is_on else "mute")
        dress(self._sound)

    def _fill_speed(self, commands: Commands) -> None:
        menu = QMenu(self._speed)
        for speed in reversed(SPEEDS):
            action = QAction(speed_words(speed), menu)
            action.triggered.connect(
                lambda _checked, speed=speed: self._state.playhead.set_speed(speed)
            )
            menu.addAction(action)
        self._speed.setMenu(menu)
        self._speed.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._speed.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        faster, slower = commands.action("faster").toolTip(), commands.action("slower").toolTip()
        self._speed.setToolTip(f"Speed: {faster}, {slower}")

    def _lay_out(self) -> None:
        layout = QHBoxLayout(self)
        layout.setContentsMargins(look.space(0.5), look.space(0.2), look.space(0.5), 0)
        layout.setSpacing(look.space(0.25))
        for button in self._buttons[:3]:
            layout.addWidget(button)
        for widget in (self.time, self._of, self._speed, self._loop, self._sound):
            layout.addWidget(widget)
        layout.addStretch(1)

    def _listen(self) -> None:
        state, playhead = self._state, self._state.playhead
        state.opened.connect(self._show)
        playhead.moved.connect(self._show_place)
        playhead.playing_changed.connect(self._show)
        playhead.speed_changed.connect(self._show)
        playhead.loop_changed.connect(self._show)
        look.look().changed.connect(self._restyle)
        self._show()

    def _show(self) -> None:
        playhead, is_open = self._state.playhead, self._state.clip is not None
        self._play.setProperty("sign", "pause" if playhead.is_playing else "play")
        self._play.setAccessibleName("Stand still" if playhead.is_playing else "Play")
        dress(self._play)
        self._loop.setChecked(playhead.loop is not None)
        self._speed.setText(speed_words(playhead.speed))
        self._speed.setAccessibleName(f"Speed: {speed_words(playhead.speed)}")
        self._speed.setEnabled(is_open and playhead.last_index > 0)
        self._show_place()

    def _show_place(self) -> None:
        playhead = self._state.playhead
        if self._state.clip is None:
            self._of.setText("")
        elif playhead.last_index == 0:
            self._of.setText("photo")
        else:
            total = time_words(playhead.duration_us, 1)
            self._of.setText(f"of {total}   frame {playhead.index} of {playhead.last_index}")

    def _restyle(self) -> None:
        for button in self._buttons:
            dress(button)


class ToolRow(QWidget):
    """What the hand can hold, each with its sign, and its word where there is room."""

    def __init__(self, state: DeskState, commands: Commands) -> None:
        super().__init__()
        self._state, self._commands = state, commands
        self.setAccessibleName("Tools")
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self._new = QPushButton("New note")
        self._new.setProperty("role", "main")
        self._new.setToolTip(commands.action("new_note").toolTip())
        self._new.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._new.clicked.connect(commands.action("new_note").trigger)
        self._tools: dict[Tool, QToolButton] = {}
        self._covered = 0
        self._more, self._rest = QToolButton(), QMenu(self)
        self._more.setText("\u22ef")
        self._more.setToolTip("More tools")
        self._more.setAccessibleName("More tools")
        self._more.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._more.setProperty("role", "tool")
        self._more.setMenu(self._rest)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(
            look.space(0.4), look.space(0.2), look.space(0.4), look.space(0.2)
        )
        layout.setSpacing(look.space(0.1))
        layout.addWidget(self._new)
        layout.addSpacing(look.space(0.2))
        for tool in TOOLS:
            words = TOOL_WORDS[tool][0]
            button = button_for(commands.action(f"tool_{tool}"), tool, words)
            button.setCheckable(True)
            button.setProperty("role", "tool")
            self._tools[tool] = button
            layout.addWidget(button)
        layout.addWidget(self._more)
        layout.addStretch(1)
        state.tool_changed.connect(self._show)
        look.look().changed.connect(self._show)
        self._show()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._fit()

    def keep_off(self, covered: int) -> None:
        """Do with less room: a page lies over so much of the row at its right."""
        self._covered = covered
        self._fit()

    def _fit(self) -> None:
        """Leave the words out where there is no room for them, and the last tools to a menu."""
        buttons, style = list(self._tools.values()), Qt.ToolButtonStyle
        ways = [(style.ToolButtonTextBesideIcon, len(buttons))]
        ways += [(style.ToolButtonIconOnly, count) for count in range(len(buttons), -1, -1)]
        for way, count in ways:
            for place, button in enumerate(buttons):
                button.setToolButtonStyle(way)
                button.setVisible(place < count)
            self._more.setVisible(count < len(buttons))
            layout = self.layout()
            assert layout is not None
            layout.invalidate()
            if layout.sizeHint().width() <= self.width() - self._covered:
                break
        self._rest.clear()
        for tool in list(self._tools)[count:]:
            self._rest.addAction(self._commands.action(f"tool_{tool}"))

    def _show(self) -> None:
        for tool, button in self._tools.items():
            is_held = tool == self._state.tool
            button.setChecked(is_held)
            dress(button, "accent" if is_held else "ink")
        self._fit()


def speed_words(speed: float) -> str:
    """A speed as people say it, such as '0.5x'."""
    return f"{speed:g}\u00d7"
