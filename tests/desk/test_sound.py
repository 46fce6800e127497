"""The sound: the clip's own, together with the pictures, and never in the way."""

from __future__ import annotations

import sys
import threading
import time

import numpy as np
import pytest
from support.desk import small_clip
from support.fake_sound import PERIOD, RATE, Clock, FakeOutput, NumberedSound, ToneSound
from support.media import make_clip

from cliptag.clip import ClipError
from cliptag.desk import playhead as playhead_module
from cliptag.desk import sound as sound_module
from cliptag.desk.playhead import Playhead
from cliptag.desk.sound import ClipSound, SoundPlayer
from cliptag.desk.sound_output import open_output
from cliptag.desk.state import DeskState

LIP_SYNC_MS = 40
"""Sound 45 ms early or 125 ms late is just noticed (ITU-R BT.1359-1, from memory)."""


class Room:
    """A playhead and its sound on a clock of their own, moved on step by step."""

    def __init__(self, source: NumberedSound, *outputs: FakeOutput, clock: Clock) -> None:
        self.clock = clock
        self.source = source
        self.outputs = list(outputs)
        self.opened = 0
        self.playhead = Playhead()
        self.playhead.set_clip(np.arange(1800, dtype=np.int64) * 33_333, 60_000_000)
        self.sound = SoundPlayer(self.playhead, open_output=self._open)
        self.sound.set_source(lambda: source)

    def _open(self) -> FakeOutput | None:
        self.opened += 1
        return self.outputs[self.opened - 1] if self.opened <= len(self.outputs) else None

    @property
    def output(self) -> FakeOutput:
        return self.outputs[self.opened - 1]

    def pass_time(self, seconds: float, step_s: float = 0.015) -> list[float]:
        """Go on; gives after each step how far the heard sound is behind the pictures, in ms."""
        behind = []
        for _ in range(round(seconds / step_s)):
            self.clock.now_s += step_s
            self._let_the_thread_read()
            if self.playhead.is_playing:
                self.playhead._tick()
            if self.sound._timer.isActive():
                self.sound._pump()
            if self.sound.is_heard:
                behind.append(self.behind_ms())
        return behind

    def behind_ms(self) -> float:
        """By the numbers that the samples hold themselves."""
        number = int(self.output.written[self.output.truly_heard - 1, 0])
        shown = self.playhead.clock_us * RATE / 1e6
        away = (number - shown + PERIOD / 2) % PERIOD - PERIOD / 2
        return -away / RATE * 1e3

    def _let_the_thread_read(self) -> None:
        ahead, until_s = self.sound._ahead, time.monotonic() + 5
        while ahead is not None and ahead._run_on is not None and ahead.ready < RATE * 0.4:
            assert time.monotonic() < until_s, "the sound is not read"
            time.sleep(0.0005)


@pytest.fixture
def clock(qapp, monkeypatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(playhead_module, "time", clock)
    monkeypatch.setattr(sound_module, "time", clock)
    return clock


@pytest.fixture
def furnish(clock):
    rooms: list[Room] = []

    def make(*outputs: FakeOutput, source: NumberedSound | None = None) -> Room:
        rooms.append(Room(source or NumberedSound(), *outputs, clock=clock))
        return rooms[-1]

    yield make
    for room in rooms:
        room.sound.close()


def test_what_is_written_is_the_clips_sound_sample_by_sample(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.go_to_time(4_000_000)
    room.playhead.play()
    room.pass_time(3.0)
    numbers = room.output.written[:, 0].astype(int)
    assert len(numbers) > 2.9 * RATE
    assert set(np.diff(numbers)) <= {1, 1 - PERIOD}


@pytest.mark.parametrize("skew", [-0.004, 0.0, 0.004])
@pytest.mark.parametrize("delay_s", [0.01, 0.12])
@pytest.mark.parametrize("period", [48, 1200])
def test_pictures_keep_to_the_sound_that_is_heard(furnish, clock, skew, delay_s, period):
    room = furnish(FakeOutput(clock, delay_s=delay_s, skew=skew, period=period))
    room.playhead.go_to_time(2_000_000)
    room.playhead.play()
    behind = room.pass_time(20.0)
    assert len(behind) > 1000
    assert np.abs(behind[10:]).max() < LIP_SYNC_MS


@pytest.mark.parametrize("delay_s", [0.25, 0.7, 2.5])
def test_a_device_that_is_slow_to_start_does_not_hold_the_pictures_up(furnish, clock, delay_s):
    room = furnish(FakeOutput(clock, delay_s=delay_s))
    room.playhead.go_to_time(2_000_000)
    room.playhead.play()
    behind = room.pass_time(delay_s + 3.0)
    assert np.abs(behind[-100:]).max() < LIP_SYNC_MS
    assert room.playhead.clock_us - 2_000_000 > (delay_s + 3.0) * 1e6 - 350_000


def test_frames_never_go_back_while_the_clock_follows_the_sound(furnish, clock):
    room = furnish(FakeOutput(clock, delay_s=0.12, skew=-0.004, period=1200))
    shown = []
    room.playhead.moved.connect(shown.append)
    room.playhead.play()
    room.pass_time(5.0)
    assert shown == sorted(set(shown))
    assert len(shown) > 140


def test_after_the_window_was_busy_sound_and_pictures_are_together_again(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(2.0)
    clock.now_s += 0.7  # longer than the device's buffer lasts
    before_us = room.playhead.clock_us
    behind = room.pass_time(2.0)
    assert np.abs(behind[-60:]).max() < LIP_SYNC_MS
    assert room.playhead.clock_us - before_us == pytest.approx(2_000_000, abs=60_000)


def test_a_jump_takes_the_sound_along(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(1.0)
    room.playhead.go_to_time(30_000_000)
    behind = room.pass_time(1.0)
    assert np.abs(behind[10:]).max() < LIP_SYNC_MS
    assert room.output.ended == 1


def test_a_loop_starts_the_sound_anew_each_time(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.set_loop(1_000_000, 1_700_000)
    room.playhead.go_to_time(1_000_000)
    room.playhead.play()
    behind = room.pass_time(3.0)
    assert room.output.begun in (4, 5)
    assert np.percentile(np.abs(behind), 90) < LIP_SYNC_MS


def test_pausing_falls_silent_at_once(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(1.0)
    room.playhead.pause()
    assert room.output.ended == 1
    assert not room.sound.is_heard
    assert not room.sound._timer.isActive()


@pytest.mark.parametrize("speed", [0.5, 0.75, 1.5, 2.0])
def test_other_speeds_keep_the_pitch(furnish, clock, speed):
    room = furnish(FakeOutput(clock), source=ToneSound())
    room.playhead.set_speed(speed)
    room.playhead.play()
    room.pass_time(3.0)
    heard = room.output.written[RATE // 2 : RATE // 2 + RATE, 0].astype(float)
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(RATE)))
    assert np.argmax(spectrum) == pytest.approx(1000, abs=10)


@pytest.mark.parametrize("speed", [0.1, 0.25, 0.49])
def test_slow_motion_is_silent(furnish, clock, speed):
    room = furnish(FakeOutput(clock))
    room.playhead.set_speed(speed)
    room.playhead.play()
    room.pass_time(1.0)
    assert not room.sound.is_heard
    assert room.playhead.clock_us == pytest.approx(1_000_000 * speed, abs=6000)
    room.playhead.set_speed(1.0)
    room.pass_time(0.5)
    assert room.sound.is_heard


def test_without_a_device_the_pictures_play_in_time(furnish):
    room = furnish()
    room.playhead.play()
    room.pass_time(2.0)
    assert room.playhead.clock_us == pytest.approx(1_995_000, abs=6_000)
    assert not room.sound.is_heard
    assert not room.sound._timer.isActive()


def test_a_device_that_refuses_is_as_good_as_none(furnish, clock):
    output = FakeOutput(clock)
    output.is_refusing = True
    room = furnish(output)
    room.playhead.play()
    room.pass_time(1.0)
    assert not room.sound.is_heard
    assert room.playhead.clock_us == pytest.approx(1_000_000, abs=20_000)


def test_when_a_device_is_unplugged_the_next_one_takes_over(furnish, clock):
    first, second = FakeOutput(clock), FakeOutput(clock)
    room = furnish(first, second)
    room.playhead.play()
    room.pass_time(1.0)
    first.is_unplugged = True
    behind = room.pass_time(1.5)
    assert room.output is second
    assert np.abs(behind[-50:]).max() < LIP_SYNC_MS


def test_when_the_last_device_is_unplugged_the_pictures_go_on(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(1.0)
    room.output.is_unplugged = True
    before_us = room.playhead.clock_us
    room.pass_time(2.0)
    assert not room.sound.is_heard
    assert room.playhead.is_playing
    assert room.playhead.clock_us - before_us == pytest.approx(2_000_000, abs=20_000)


def test_a_device_that_stands_still_is_given_up_and_not_started_again(furnish, clock):
    room = furnish(FakeOutput(clock), FakeOutput(clock))
    room.playhead.play()
    room.pass_time(1.0)
    room.output.is_stuck = True
    before_us = room.playhead.clock_us
    room.pass_time(6.0)
    assert room.playhead.clock_us - before_us == pytest.approx(6_000_000, abs=20_000)
    room.playhead.pause()
    room.playhead.play()
    room.pass_time(1.0)
    assert not room.sound.is_heard
    assert room.opened == 1 and room.outputs[0].begun == 1


def test_off_and_on_while_playing(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(0.5)
    room.sound.set_on(False)
    assert not room.sound.is_on and not room.sound.is_heard
    room.pass_time(0.5)
    assert not room.sound.is_heard
    room.sound.set_on(True)
    behind = room.pass_time(0.5)
    assert np.abs(behind[10:]).max() < LIP_SYNC_MS


def test_the_volume_reaches_the_device_and_stays_between_0_and_1(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.sound.set_volume(0.3)
    room.playhead.play()
    room.pass_time(0.3)
    assert room.output.volume == 0.3
    room.sound.set_volume(7.0)
    assert room.output.volume == room.sound.volume == 1.0
    room.sound.set_volume(-1.0)
    assert room.output.volume == 0.0


def test_sound_that_cannot_be_read_is_silence(furnish, clock):
    class Broken(NumberedSound):
        def read(self, start_us: int, stop_us: int) -> np.ndarray:
            raise ClipError("The sound is damaged.")

    room = furnish(FakeOutput(clock), source=Broken())
    room.playhead.play()
    room.sound._ahead._thread.join(5)
    room.clock.now_s += 1.0
    room.sound._pump()
    assert not room.sound.is_heard
    assert room.source.is_closed


def test_closing_ends_the_thread_and_the_source(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.play()
    room.pass_time(0.3)
    thread = room.sound._ahead._thread
    room.sound.close()
    assert room.source.is_closed and not thread.is_alive()
    room.pass_time(0.3)
    assert room.output.ended == 1


def test_standing_still_nothing_is_pumped(furnish, clock):
    room = furnish(FakeOutput(clock))
    room.playhead.go_to(50)
    room.playhead.set_speed(0.7)
    assert not room.sound._timer.isActive()
    assert room.sound._ahead.ready == 0


def test_a_missing_library_is_no_device(monkeypatch):
    monkeypatch.setitem(sys.modules, "PyQt6.QtMultimedia", None)
    monkeypatch.delattr("PyQt6.QtMultimedia", raising=False)
    assert open_output() is None


def test_the_clip_on_the_desk_is_heard(qtbot, tmp_path):
    made: list[FakeOutput] = []

    class Now:
        now_s = property(lambda self: time.monotonic())

    def open_fake() -> FakeOutput:
        made.append(FakeOutput(Now()))
        return made[-1]

    path = make_clip(tmp_path / "tone.mp4", size=(160, 90), seconds=3, sound=True)
    state = DeskState()
    sound = ClipSound(state, open_output=open_fake)
    assert state.open(path)
    state.playhead.play()
    qtbot.waitUntil(lambda: sound.is_heard, timeout=5000)
    qtbot.waitUntil(lambda: len(made[0].written) > RATE, timeout=5000)
    spectrum = np.abs(np.fft.rfft(made[0].written[:RATE, 0].astype(float)))
    assert np.argmax(spectrum) == pytest.approx(440, abs=2)
    state.close()
    assert "desk sound" not in {thread.name for thread in threading.enumerate()}
    sound.close()


def test_a_clip_without_sound_has_no_thread_for_it(qtbot, tmp_path):
    state = DeskState()
    sound = ClipSound(state, open_output=lambda: None)
    assert state.open(small_clip(tmp_path))
    assert "desk sound" not in {thread.name for thread in threading.enumerate()}
    state.playhead.play()
    qtbot.wait(50)
    assert not sound.is_heard
    state.close()
