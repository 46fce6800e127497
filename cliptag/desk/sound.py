"""The sound to what is played, kept together with the pictures."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Final

from PyQt6.QtCore import QObject, Qt, QTimer

from cliptag.clip import Tempo
from cliptag.desk.playhead import Playhead
from cliptag.desk.sound_ahead import RATE, OpenSource, SoundAhead
from cliptag.desk.sound_output import SoundOutput, open_output
from cliptag.desk.state import DeskState

_PREPARE_MS: Final = 400
_PUMP_MS: Final = 15
_ENOUGH: Final = RATE * 6 // 100
"""So many samples are ready before the sound starts, so that it doesn't break off at once."""
_GAIN: Final = 0.06
_MOST_SHIFT_US: Final = 750
"""In each ``_PUMP_MS``: a twentieth of the speed, which is not seen."""
_LATE_US: Final = 80_000
"""Sound later than this leaves some out: it broke off because the computer was too busy."""
_WAITED_US: Final = 300_000
"""The pictures wait no longer than this for a device that is slow to start."""
_SILENT_S: Final = 5.0
"""A device that has played nothing for so long is taken for dead; some start within seconds."""


class SoundPlayer(QObject):
    """Plays a source's sound while a playhead plays.

    While something is heard, the pictures follow it: the playhead's clock waits for the first
    sample, and is then moved by a hair every few milliseconds, since a gap in the sound is heard
    but a picture a few milliseconds early is not seen. Nothing is heard at speeds below
    ``Tempo.SLOWEST``, and nothing breaks where there is no device, or when it is unplugged.
    """

    def __init__(
        self,
        playhead: Playhead,
        parent: QObject | None = None,
        *,
        open_output: Callable[[], SoundOutput | None] = open_output,
    ) -> None:
        super().__init__(parent)
        self._playhead = playhead
        self._open_output = open_output
        self._output: SoundOutput | None = None
        self._ahead: SoundAhead | None = None
        self._is_on = True
        self._volume = 1.0
        self._is_dead = False
        self._is_started = False
        self._from_us = 0
        self._left_out = 0
        self._heard = 0
        self._heard_at_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_PUMP_MS)
        self._timer.timeout.connect(self._pump)
        self._preparing = QTimer(self)
        self._preparing.setSingleShot(True)
        self._preparing.setInterval(_PREPARE_MS)
        self._preparing.timeout.connect(self._prepare)
        playhead.playing_changed.connect(self._restart)
        playhead.jumped.connect(self._restart)
        playhead.speed_changed.connect(self._restart)

    @property
    def is_on(self) -> bool:
        """Whether the sound is wanted."""
        return self._is_on

    @property
    def volume(self) -> float:
        """From 0 to 1, in even steps to the ear."""
        return self._volume

    @property
    def is_heard(self) -> bool:
        """Whether something is being played on a device just now."""
        return self._heard > 0

    def set_source(self, open_source: OpenSource | None) -> None:
        """Play another sound from now on; None for none. It is opened in a thread."""
        self._halt()
        if self._ahead is not None:
            self._ahead.close()
        self._ahead = None if open_source is None else SoundAhead(open_source)
        if self._ahead is not None:
            self._preparing.start()
        self._restart()

    def set_on(self, is_on: bool) -> None:
        """Play the sound, or don't."""
        if is_on != self._is_on:
            self._is_on = is_on
            self._restart()

    def set_volume(self, volume: float) -> None:
        """How loud, from 0 to 1."""
        self._volume = min(max(volume, 0.0), 1.0)
        if self._output is not None:
            self._output.set_volume(self._volume)

    def close(self) -> None:
        """Fall silent and end the thread."""
        self.set_source(None)
        self._output = None

    def _prepare(self) -> None:
        """Find the device before it is needed: the first time takes some hundredths of a second."""
        if self._output is None and self._ahead is not None and not self._is_dead:
            self._output = self._open_output()

    def _restart(self) -> None:
        self._halt()
        playhead = self._playhead
        is_wanted = self._is_on and playhead.is_playing and playhead.speed >= Tempo.SLOWEST
        if self._ahead is not None and is_wanted and not self._is_dead:
            self._from_us, self._left_out = playhead.clock_us, 0
            self._ahead.begin(self._from_us, playhead.speed)
            self._timer.start()

    def _halt(self) -> None:
        self._timer.stop()
        if self._ahead is not None:
            self._ahead.end()
        if self._output is not None and self._is_started:
            self._output.end()
        self._is_started, self._heard = False, 0

    def _give_up(self) -> None:
        """Be silent until the next start."""
        self._halt()
        self._output = None

    def _pump(self) -> None:
        ahead = self._ahead
        if ahead is None:
            return
        if not self._is_started and self._is_enough_ready(ahead):
            self._start()
        output = self._output
        if not self._is_started or output is None:
            return
        if output.is_alive():
            output.write(ahead.take(output.free()))
            self._keep_together(output, ahead)
        elif self._heard:
            self._give_up()
            self._restart()  # on the device that takes its place, if any
        else:
            self._give_up()

    def _is_enough_ready(self, ahead: SoundAhead) -> bool:
        """Leaves out what is late by now; whether there is enough behind that."""
        since_us = (self._playhead.clock_us - self._from_us) / self._playhead.speed
        self._leave_out(ahead, since_us - self._left_out / RATE * 1e6)
        return ahead.ready >= _ENOUGH

    def _leave_out(self, ahead: SoundAhead, length_us: float) -> None:
        self._left_out += len(ahead.take(max(0, round(length_us * RATE / 1e6))))

    def _start(self) -> None:
        if self._output is None:
            self._output = self._open_output()
        if self._output is None or not self._output.begin():
            self._give_up()
            return
        self._output.set_volume(self._volume)
        self._heard_at_s = time.monotonic()
        self._is_started = True

    def _keep_together(self, output: SoundOutput, ahead: SoundAhead) -> None:
        before, self._heard = self._heard, output.heard()
        if self._heard == before:
            self._wait_for_device()
            return
        self._heard_at_s = time.monotonic()
        played_us = (self._left_out + self._heard) / RATE * 1e6 * self._playhead.speed
        astray_us = round(self._from_us + played_us - self._playhead.clock_us)
        if not before and astray_us > -_WAITED_US:
            self._playhead.shift_clock(astray_us)
        elif astray_us < -_LATE_US:
            self._leave_out(ahead, -astray_us / self._playhead.speed)
        else:
            shift_us = round(astray_us * _GAIN)
            self._playhead.shift_clock(min(max(shift_us, -_MOST_SHIFT_US), _MOST_SHIFT_US))

    def _wait_for_device(self) -> None:
        if time.monotonic() - self._heard_at_s > _SILENT_S:
            # Seen when PulseAudio's server ends: the device still calls itself alive, and Qt 6.11
            # aborts the whole process when another one is started.
            self._is_dead = True
            self._give_up()


class ClipSound(SoundPlayer):
    """The sound of the clip on the desk."""

    def __init__(
        self,
        state: DeskState,
        *,
        open_output: Callable[[], SoundOutput | None] = open_output,
    ) -> None:
        super().__init__(state.playhead, state, open_output=open_output)
        self._state = state
        state.opened.connect(self._open)
        self._open()

    def _open(self) -> None:
        clip = self._state.clip
        has_sound = clip is not None and clip.info.has_sound
        self.set_source(clip.sound if clip is not None and has_sound else None)
