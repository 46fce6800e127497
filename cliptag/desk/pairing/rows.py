"""The rows over and under both pictures: how they are set together, and playing them."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QSignalBlocker, Qt
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QMenu,
    QSizePolicy,
    QSlider,
    QToolButton,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.commands import Commands
from cliptag.desk.controls import button_for, dress, speed_words
from cliptag.desk.fields import show_in
from cliptag.desk.moving import SPEEDS
from cliptag.desk.pairing.arranging import (
    BY_MOMENTS,
    FROM_START,
    LAYOUT_WORDS,
    MIRROR_WORDS,
    Arranging,
)
from cliptag.desk.pairing.eliding import ShortDropDown, ShortLabel
from cliptag.desk.pairing.state import PairState
from cliptag.desk.strip import time_words
from cliptag.review import MOMENT_WORDS

_LEAST_LETTERS: Final = 6
_MOST_BOX_EM: Final = 15.0


class ArrangeRow(QWidget):
    """Layout, match, mirror, and how much the second shows through the first."""

    def __init__(self, state: PairState, arranging: Arranging, commands: Commands) -> None:
        super().__init__()
        self._state, self._arranging = state, arranging
        self.setAccessibleName("How both are set together")
        self._layout = ShortDropDown().on_choice(arranging.set_layout)
        self._layout.fill(list(LAYOUT_WORDS.items()))
        self._match = ShortDropDown()
        self._match.activated.connect(self._set_match)
        self._mirror = ShortDropDown().on_choice(arranging.set_mirror)
        self._mirror.fill(list(MIRROR_WORDS.items()))
        for box, name, command in (
            (self._layout, "Layout", "layout"),
            (self._match, "Match", "match"),
            (self._mirror, "Mirror", "mirror"),
        ):
            _name(box, name, commands.action(command))
        self._see = QSlider(Qt.Orientation.Horizontal)
        self._see.setRange(0, 100)
        self._see.setFixedWidth(look.space(7))
        self._see.setAccessibleName("How much of the second picture is seen")
        self._see.setToolTip(
            f"First picture at the left, second at the right: "
            f"{commands.action('see_less').toolTip()}, {commands.action('see_more').toolTip()}"
        )
        self._see.valueChanged.connect(lambda value: state.see(value / 100))
        self._ends = QLabel(), QLabel()
        layout = QHBoxLayout(self)
        layout.setContentsMargins(*(look.space(m) for m in (0.4, 0.2, 0.4, 0.2)))
        layout.setSpacing(look.space(0.4))
        for box in (self._layout, self._match, self._mirror):
            layout.addWidget(box, 1)
        layout.addStretch(0)
        for widget in (self._ends[0], self._see, self._ends[1]):
            layout.addWidget(widget)
        state.compared.connect(self._show)
        state.noted.connect(self._show)
        state.looked.connect(self._show_see)

    def _set_match(self, place: int) -> None:
        if place == 0:
            self._arranging.match_by_moments()
        else:
            self._arranging.true_speed_from(self._match.itemData(place))

    def _show(self) -> None:
        if not self._state.is_open:
            return
        pairing, moments = self._state.pairing, self._arranging.shared_moments
        show_in(self._layout, pairing.layout)
        show_in(self._mirror, pairing.mirror)
        blocker = QSignalBlocker(self._match)
        known = [(name, f"True speed from {MOMENT_WORDS[name].lower()}") for name in moments]
        self._match.fill([(None, BY_MOMENTS if moments else FROM_START), *known])
        is_true = pairing.match == "true_speed"
        from_moment = pairing.from_moment or next(iter(moments), None)
        self._match.setCurrentIndex(self._match.findData(from_moment) if is_true else 0)
        blocker.unblock()
        comparison = self._state.comparison
        for which, label in enumerate(self._ends):
            label.setText(comparison.sides[which].words if comparison else "")
        for widget in (*self._ends, self._see):
            widget.setVisible(pairing.layout == "over")
        self._show_see()

    def _show_see(self) -> None:
        blocker = QSignalBlocker(self._see)
        self._see.setValue(round(100 * self._state.see_through))
        blocker.unblock()


class PlayRow(QWidget):
    """Play, step, speed; where both are; the curve on the strip."""

    def __init__(self, state: PairState, commands: Commands) -> None:
        super().__init__()
        self._state = state
        self.setAccessibleName("Playing both")
        self._play = button_for(commands.action("play"), "play")
        self._buttons = [
            button_for(commands.action("frame_back"), "frame_back"),
            self._play,
            button_for(commands.action("frame_on"), "frame_on"),
        ]
        self._speed = QToolButton()
        self._fill_speed(commands)
        self._place = ShortLabel()
        self._curve = ShortDropDown().on_choice(state.show_curve)

        _name(self._curve, "Curve on the strip", commands.action("curve"))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(look.space(0.5), look.space(0.2), look.space(0.5), 0)
        layout.setSpacing(look.space(0.25))
        for widget in (*self._buttons, self._speed):
            layout.addWidget(widget)
        layout.addWidget(self._place, 2)
        layout.addWidget(self._curve, 1)
        state.compared.connect(self._show)
        state.chosen.connect(self._show)
        playhead = state.playhead
        playhead.moved.connect(self._show_place)
        playhead.playing_changed.connect(self._show_playing)
        playhead.speed_changed.connect(self._show_playing)
        look.look().changed.connect(self._restyle)
        self._show_playing()

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

    def _show(self) -> None:
        comparison = self._state.comparison
        blocker = QSignalBlocker(self._curve)
        curves = comparison.curves if comparison else ()
        self._curve.fill([(pair.first.name, pair.first.words) for pair in curves])
        self._curve.setCurrentIndex(self._curve.findData(self._state.curve))
        self._curve.setVisible(self._curve.count() > 0)
        blocker.unblock()
        self._show_place()

    def _show_place(self) -> None:
        comparison, axis = self._state.comparison, self._state.axis
        if comparison is None or axis is None:
            self._place.say("")
            return
        frames = comparison.pair.indices(self._state.playhead.index)
        told = [f"{axis.place_words(self._state.percent)}"]
        for side, frame in zip(comparison.sides, frames, strict=True):
            told.append(f"{side.words} {time_words(int(side.clip.times_us[frame]), 2)}")
        self._place.say("   ".join(told))

    def _show_playing(self) -> None:
        playhead = self._state.playhead
        self._play.setProperty("sign", "pause" if playhead.is_playing else "play")
        self._play.setAccessibleName("Stand still" if playhead.is_playing else "Play")
        dress(self._play)
        self._speed.setText(speed_words(playhead.speed))
        self._speed.setAccessibleName(f"Speed: {speed_words(playhead.speed)}")

    def _restyle(self) -> None:
        for button in self._buttons:
            dress(button)


def _name(box: QComboBox, name: str, action: QAction) -> None:
    box.setAccessibleName(name)
    box.setToolTip(action.toolTip())
    # A click must not take the arrow keys away from stepping.
    box.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    box.setMinimumContentsLength(_LEAST_LETTERS)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    box.setMaximumWidth(look.space(_MOST_BOX_EM))
