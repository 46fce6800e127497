"""What the client will see, played on the desk: right pictures, in time, and a clean end."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from pathlib import Path

import msgspec
import numpy as np
import pytest
from PyQt6.QtCore import QThread
from PyQt6.QtGui import QImage
from support.desk import note, saved_review
from support.fake_sound import FakeOutput
from support.media import make_clip

from cliptag.desk.client_player import ClientPlayer
from cliptag.desk.images import as_image
from cliptag.desk.state import DeskState
from cliptag.export import ClientView, ExportOptions, Hold
from cliptag.review import Arrow, Part, Point


class RealNow:
    now_s = property(lambda self: time.monotonic())


@pytest.fixture(scope="module")
def review_path(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("client-player")
    clip = make_clip(folder / "ines.mp4", size=(160, 120), seconds=2, sound=True)
    arrow = Arrow(id="a1", tail=Point(20, 20), head=Point(80, 60))
    return saved_review(clip, note(1, 500_000, 900_000, text="Feet flat.", marks=(arrow,)))


@pytest.fixture
def state(qapp, review_path) -> Iterator[DeskState]:
    state = DeskState()
    assert state.open(review_path)
    yield state
    state.close()


class Seen:
    """What a player sent, in order."""

    def __init__(self, player: ClientPlayer) -> None:
        self.images: list[QImage] = []
        self.positions: list[int] = []
        self.threads: set[object] = set()
        player.pictured.connect(self._picture)
        player.position_changed.connect(self.positions.append)

    def _picture(self, image: QImage) -> None:
        self.images.append(image)
        self.threads.add(QThread.currentThread())


@pytest.fixture
def player(state) -> Iterator[ClientPlayer]:
    player = ClientPlayer(state, open_output=lambda: FakeOutput(RealNow()))
    yield player
    player.close()


def started(qtbot, player: ClientPlayer, **how: object) -> None:
    with qtbot.waitSignal(player.laid_out, timeout=10_000):
        player.start(**how)


def wanted_image(state: DeskState, time_us: int) -> QImage:
    view = ClientView(state.clip, state.document.review)
    index = int(np.searchsorted(view.times_us, time_us, side="right")) - 1
    image = as_image(view.picture(index))
    view.close()
    return image


def test_it_lays_out_the_video_and_begins_to_play(qtbot, state, player):
    seen = Seen(player)
    assert player.duration_us == 0
    started(qtbot, player)
    view = ClientView(state.clip, state.document.review)
    assert player.duration_us == view.duration_us
    assert player.is_started and player.is_playing
    qtbot.waitUntil(lambda: player.position_us > 300_000, timeout=5000)
    assert seen.positions == sorted(seen.positions)
    assert len(seen.images) == 1  # the title card stands still
    view.close()


def test_at_every_time_it_shows_the_videos_picture(qtbot, state, player):
    seen = Seen(player)
    started(qtbot, player)
    player.toggle()
    for time_us in (0, 3_600_000, 4_100_000, 5_000_000, player.duration_us - 1, 3_900_000):
        player.seek_us(time_us)
        wanted = wanted_image(state, time_us)
        qtbot.waitUntil(lambda wanted=wanted: seen.images[-1:] == [wanted], timeout=5000)
        assert 0 <= time_us - player.position_us <= 100_001
    assert seen.threads == {QThread.currentThread()}


def test_its_clock_is_the_steady_one(qtbot, state, player):
    started(qtbot, player)
    player.seek_us(3_500_000)
    start = time.monotonic()
    qtbot.wait(700)
    assert (player.position_us - 3_500_000) / 1e6 == pytest.approx(
        time.monotonic() - start, abs=0.25
    )


def test_it_pauses_and_goes_on(qtbot, player):
    started(qtbot, player)
    player.toggle()
    here_us = player.position_us
    qtbot.wait(200)
    assert not player.is_playing and player.position_us == here_us
    player.toggle()
    qtbot.waitUntil(lambda: player.position_us > here_us, timeout=5000)


def test_at_the_end_it_says_so_and_can_be_played_again(qtbot, player):
    started(qtbot, player)
    player.seek_us(player.duration_us - 150_000)
    with qtbot.waitSignal(player.finished, timeout=5000):
        pass
    assert player.is_started and not player.is_playing
    player.toggle()
    assert player.is_playing and player.position_us == 0


def test_it_can_begin_where_the_coach_is(qtbot, state, player):
    view = ClientView(state.clip, state.document.review)
    hold = next(span for span in view.plan.timeline.spans if isinstance(span, Hold))
    started(qtbot, player, from_us=hold.source_us)
    assert hold.out_start_us <= player.position_us <= hold.out_start_us + 100_000
    view.close()


def test_nothing_is_pictured_after_it_was_stopped(qtbot, player):
    seen = Seen(player)
    started(qtbot, player)
    player.seek_us(3_600_000)
    with qtbot.waitSignal(player.stopped):
        player.stop()
    count = len(seen.images), len(seen.positions)
    qtbot.wait(150)
    assert (len(seen.images), len(seen.positions)) == count
    assert not player.is_started and not player.is_playing
    assert player.duration_us == player.position_us == 0
    player.toggle()
    player.seek_us(1_000_000)
    assert (len(seen.images), len(seen.positions)) == count


def test_stopping_does_not_wait_for_what_is_being_made(qtbot, player):
    for _ in range(5):
        player.start()
        start = time.perf_counter()
        player.stop()
        assert time.perf_counter() - start < 0.1
    player.close()
    assert "client view" not in {thread.name for thread in threading.enumerate()}


@pytest.mark.parametrize("wait_ms", [0, 20, 120, 500])
def test_it_can_be_closed_at_any_time(qtbot, state, player, wait_ms):
    player.start()
    qtbot.wait(wait_ms)
    player.close()
    names = {thread.name for thread in threading.enumerate()}
    assert not names & {"client view", "desk sound"}


def test_another_clip_on_the_desk_ends_it(qtbot, state, player, review_path):
    started(qtbot, player)
    assert state.open(review_path)
    assert not player.is_started


def test_the_clips_own_playing_is_stopped(qtbot, state, player):
    state.playhead.play()
    player.start()
    assert not state.playhead.is_playing


def test_what_cannot_be_exported_is_a_sentence(qtbot, state, player):
    review = state.document.review
    beyond = Part(start_us=9_000_000, end_us=9_900_000)
    state.document.do(msgspec.structs.replace(review, part=beyond), "set the part")
    with qtbot.waitSignal(player.failed, timeout=5000) as blocker:
        player.start()
    assert "earlier part" in blocker.args[0]
    assert not player.is_started


def test_an_empty_desk_has_nothing_to_play(qtbot, qapp):
    player = ClientPlayer(DeskState())
    player.start()
    assert not player.is_started
    player.close()


def test_later_edits_wait_for_the_next_start(qtbot, state, player):
    started(qtbot, player)
    before_us = player.duration_us
    longer = msgspec.structs.replace(state.document.review, impression="Steady. " * 40)
    state.document.do(longer, "write the impression")
    assert player.duration_us == before_us
    started(qtbot, player)
    assert player.duration_us > before_us


def test_options_reach_the_pictures(qtbot, state, player):
    seen = Seen(player)
    started(qtbot, player, options=ExportOptions(caption_scale=1.4))
    player.toggle()
    player.seek_us(4_200_000)
    view = ClientView(state.clip, state.document.review, ExportOptions(caption_scale=1.4))
    index = int(np.searchsorted(view.times_us, 4_200_000, side="right")) - 1
    wanted = as_image(view.picture(index))
    qtbot.waitUntil(lambda: seen.images[-1:] == [wanted], timeout=5000)
    view.close()


def test_the_sound_is_that_of_the_video(qtbot, state):
    made: list[FakeOutput] = []

    def open_fake() -> FakeOutput:
        made.append(FakeOutput(RealNow()))
        return made[-1]

    player = ClientPlayer(state, open_output=open_fake)
    started(qtbot, player)
    player.seek_us(3_000_000)  # half a second of the title card is left: silence, then the clip
    qtbot.waitUntil(lambda: bool(made) and len(made[0].written) > 40_000, timeout=8000)
    player.toggle()
    loud = np.abs(made[0].written[:, 0].astype(int)) > 200
    first_s = int(np.argmax(loud)) / 48_000
    assert 0.1 < first_s < 0.55
    player.close()
