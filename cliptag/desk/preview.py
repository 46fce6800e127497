"""What the client will see, on the stage: started, paused, searched and left without exporting."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt6.QtCore import QObject, QSignalBlocker, Qt, pyqtSignal
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSlider, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.bar import Bar
from cliptag.desk.client_player import ClientPlayer
from cliptag.desk.commands import Commands
from cliptag.desk.controls import button_for, dress
from cliptag.desk.export_job import export_options
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState
from cliptag.desk.strip import time_words

_MS: Final = 1000


class Preview(QObject):
    """Shows the client's video in place of the clip, until the coach goes on with the review."""

    changed = pyqtSignal()
    """``is_on`` is another."""

    def __init__(
        self,
        state: DeskState,
        stage: StageView,
        commands: Commands,
        preferences: PreferenceStore,
        bar: Bar,
    ) -> None:
        super().__init__(state)
        self._state, self._stage, self._preferences = state, stage, preferences
        self._chosen: str | None = None
        self.player = ClientPlayer(state)
        self.row = PreviewRow(self.player, commands, self.stop)
        self.row.hide()
        self.player.pictured.connect(self._show)
        self.player.stopped.connect(self._stopped)
        self.player.failed.connect(bar.warn)
        for goes_on in (
            state.playhead.moved,
            state.playhead.playing_changed,
            state.reviewed,
            state.chosen,
            state.tool_changed,
        ):
            goes_on.connect(self._go_on)

    @property
    def is_on(self) -> bool:
        """Whether the client's video is on the stage."""
        return self.player.is_started

    def toggle(self) -> None:
        """Start at the shown frame, or stop."""
        if self.is_on:
            self.stop()
        else:
            self._start()

    def stop(self) -> None:
        """Go on with the review, where it was left."""
        chosen = self._chosen
        self.player.stop()
        if chosen is not None:
            self._state.choose(chosen)

    def _start(self) -> None:
        note = self._state.chosen_note
        self._state.take_tool(None)
        self._state.choose(None)
        self._chosen = note.id if note is not None else None
        playhead = self._state.playhead
        from_us = playhead.time_us if playhead.index > 0 else None
        self.player.start(export_options(self._preferences.now), from_us=from_us)
        self.row.begin()
        self.changed.emit()

    def _show(self, image: QImage) -> None:
        self._stage.preview_image(image)

    def _go_on(self) -> None:
        if self.is_on:
            self.player.stop()

    def _stopped(self) -> None:
        self._chosen = None
        self._stage.preview_image(None)
        self.row.hide()
        self.changed.emit()


class PreviewRow(QWidget):
    """Play, the place in the video, and the way back; it stands where the clip's controls stand."""

    def __init__(self, player: ClientPlayer, commands: Commands, stop: Callable[[], None]) -> None:
        super().__init__()
        self._player = player
        self.setAccessibleName("What the client will see")
        self._play = button_for(commands.action("play"), "pause")
        self._place = QSlider(Qt.Orientation.Horizontal)
        self._place.setAccessibleName("Place in the client's video")
        self._place.setToolTip("Place in the client's video (Left, Right)")
        self._place.setMinimumWidth(look.space(8))
        self._place.setSingleStep(_MS)
        self._place.setPageStep(5 * _MS)
        self._place.valueChanged.connect(lambda ms: player.seek_us(ms * _MS))
        self._words = QLabel()
        self._back = QPushButton("Back to the review")
        self._back.setToolTip("Go on with the review (Esc)")
        self._back.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._back.setProperty("role", "main")
        self._back.clicked.connect(lambda: stop())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(look.space(0.5), look.space(0.2), look.space(0.5), 0)
        layout.setSpacing(look.space(0.5))
        for widget in (self._play, self._place, self._words, self._back):
            layout.addWidget(widget)
        player.laid_out.connect(self._laid_out)
        player.position_changed.connect(self._show_place)
        player.playing_changed.connect(self._show_playing)
        look.look().changed.connect(self._restyle)

    @property
    def play_button(self) -> QToolButton:
        """Plays, or stands still."""
        return self._play

    def begin(self) -> None:
        """The video is being planned."""
        self._words.setText("Laying out the client's video\u2026")
        self._place.setEnabled(False)
        self.show()

    def _laid_out(self) -> None:
        blocker = QSignalBlocker(self._place)
        self._place.setRange(0, self._player.duration_us // _MS)
        blocker.unblock()
        self._place.setEnabled(True)
        self._place.setFocus(Qt.FocusReason.OtherFocusReason)
        self._show_place(self._player.position_us)

    def _show_place(self, time_us: int) -> None:
        if not self._place.isSliderDown():
            blocker = QSignalBlocker(self._place)
            self._place.setValue(time_us // _MS)
            blocker.unblock()
        total = time_words(self._player.duration_us, 0)
        self._words.setText(f"{time_words(time_us, 0)} of {total}: what the client will see")

    def _restyle(self) -> None:
        dress(self._play)

    def _show_playing(self, is_playing: bool) -> None:
        self._play.setProperty("sign", "pause" if is_playing else "play")
        self._play.setAccessibleName("Stand still" if is_playing else "Play")
        dress(self._play)
