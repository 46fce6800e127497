"""The playhead: whole frames, by their times, dropping pictures rather than time."""

from __future__ import annotations

import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.desk import playhead as module
from cliptag.desk.playhead import Playhead

UNEVEN = np.array([0, 33_000, 70_000, 70_000, 400_000, 433_000, 900_000], np.int64)
DURATION_US = 1_000_000


class Clock:
    """Stands for the steady clock: it goes on when it is told to."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def monotonic(self) -> float:
        return self.now_s


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(module, "time", clock)
    return clock


@pytest.fixture
def playhead(qapp, clock: Clock) -> Playhead:
    playhead = Playhead()
    playhead.set_clip(UNEVEN, DURATION_US)
    return playhead


def pass_time(playhead: Playhead, clock: Clock, seconds: float) -> None:
    clock.now_s += seconds
    playhead._tick()


@pytest.mark.parametrize(
    ("time_us", "index"),
    [(0, 0), (32_999, 0), (33_000, 1), (70_000, 3), (399_999, 3), (10**9, 6), (-5, 0)],
)
def test_a_time_shows_the_frame_that_is_on(playhead, time_us, index):
    playhead.go_to_time(time_us)
    assert playhead.index == index


@given(st.lists(st.integers(-3, 3), max_size=30))
def test_steps_count_frames_and_stop_at_the_ends(qapp, steps):
    playhead = Playhead()
    playhead.set_clip(UNEVEN, DURATION_US)
    expected = 0
    for step in steps:
        playhead.step(step)
        expected = min(max(expected + step, 0), len(UNEVEN) - 1)
        assert playhead.index == expected
        assert playhead.time_us == UNEVEN[expected]


def test_playing_follows_the_frame_times_and_leaves_late_pictures_out(playhead, clock):
    shown = []
    playhead.moved.connect(shown.append)
    playhead.play()
    for seconds in (0.02, 0.02, 0.02, 0.4, 0.3):
        pass_time(playhead, clock, seconds)
    assert shown == [1, 5]
    assert playhead.clock_us == 760_000


def test_speed_changes_keep_the_place(playhead, clock):
    playhead.play()
    pass_time(playhead, clock, 0.4)
    playhead.set_speed(0.1)
    pass_time(playhead, clock, 0.4)
    assert playhead.clock_us == pytest.approx(440_000, abs=1)
    playhead.set_speed(2.0)
    pass_time(playhead, clock, 0.2)
    assert playhead.clock_us == pytest.approx(840_000, abs=1)


@pytest.mark.parametrize(("asked", "got"), [(0.01, 0.1), (3.0, 2.0), (0.5, 0.5)])
def test_speed_stays_between_a_tenth_and_double(playhead, asked, got):
    playhead.set_speed(asked)
    assert playhead.speed == got


def test_the_clip_stops_on_its_last_frame_and_starts_anew(playhead, clock):
    playhead.go_to(5)
    playhead.play()
    pass_time(playhead, clock, 5.0)
    assert (playhead.index, playhead.is_playing) == (6, False)
    playhead.play()
    assert playhead.index == 0


def test_a_loop_is_played_again_and_again(playhead, clock):
    playhead.set_loop(70_000, 420_000)
    playhead.go_to_time(900_000)
    playhead.play()
    assert playhead.index == 3
    pass_time(playhead, clock, 0.34)
    assert playhead.index == 4
    pass_time(playhead, clock, 0.02)
    assert playhead.index == 3
    playhead.clear_loop()
    pass_time(playhead, clock, 0.85)
    assert playhead.index == 6


def test_a_photo_does_not_play(qapp, clock):
    playhead = Playhead()
    playhead.set_clip(np.zeros(1, np.int64), 0)
    playhead.play()
    assert not playhead.is_playing
    playhead.step(1)
    assert playhead.index == 0


def test_standing_still_it_never_wakes(playhead):
    playhead.go_to(3)
    playhead.set_speed(0.5)
    playhead.set_loop(0, 500_000)
    assert not playhead._timer.isActive()
    playhead.play()
    assert playhead._timer.isActive()
    playhead.pause()
    assert not playhead._timer.isActive()


@pytest.mark.parametrize(("speed", "wait_ms"), [(1.0, 37), (0.5, 74), (2.0, 19)])
def test_it_sleeps_until_the_next_frame_is_due(playhead, speed, wait_ms):
    playhead.go_to(1)
    playhead.set_speed(speed)
    playhead.play()
    assert playhead._timer.interval() == pytest.approx(wait_ms, abs=1)


def test_it_wakes_at_the_end_of_a_loop_and_of_the_clip(playhead):
    playhead.go_to(3)
    playhead.set_loop(0, 150_000)
    playhead.play()
    assert playhead._timer.interval() == pytest.approx(80, abs=1)
    playhead.clear_loop()
    playhead.go_to(6)
    assert playhead._timer.interval() == pytest.approx(100, abs=1)


def test_a_clock_moved_back_shows_no_frame_again(playhead, clock):
    shown = []
    playhead.moved.connect(shown.append)
    playhead.play()
    pass_time(playhead, clock, 0.034)
    playhead.shift_clock(-10_000)
    assert playhead.clock_us == pytest.approx(24_000, abs=1)
    pass_time(playhead, clock, 0.001)
    pass_time(playhead, clock, 0.05)
    assert shown == [1, 3]


def test_a_clock_moved_while_standing_still_changes_nothing(playhead):
    playhead.go_to(2)
    playhead.shift_clock(50_000)
    assert playhead.clock_us == 70_000


def test_pictures_come_in_time_by_the_real_clock(qtbot):
    playhead = Playhead()
    times_us = np.arange(60, dtype=np.int64) * 16_667
    playhead.set_clip(times_us, 1_000_000)
    late_ms: list[float] = []
    start = time.monotonic()
    playhead.moved.connect(
        lambda index: late_ms.append((time.monotonic() - start) * 1e3 - times_us[index] / 1e3)
    )
    playhead.play()
    qtbot.waitUntil(lambda: not playhead.is_playing, timeout=5000)
    assert len(late_ms) >= 30  # the others were left out on a busy machine
    assert np.median(late_ms) < 8
    assert min(late_ms) > -1
