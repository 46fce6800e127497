"""The feed: the right pictures, the newest wish, previews, and a clean end at any time."""

from __future__ import annotations

import threading
import time

import numpy as np
import pytest
from PyQt6.QtGui import QColor, QImage
from support.desk import FRAME_COUNT, small_clip
from support.fake_clip import FakeClip
from support.media import X264, make_clip

from cliptag.clip import ClipError, Frame, open_clip
from cliptag.desk.frames import FrameFeed
from cliptag.desk.images import as_image


def pixels(image: QImage) -> np.ndarray:
    """(H, W, 3) as Qt itself tells each pixel's colour."""
    colours = [
        QColor(image.pixel(x, y)).getRgb()[:3]
        for y in range(image.height())
        for x in range(image.width())
    ]
    return np.array(colours, np.uint8).reshape(image.height(), image.width(), 3)


class SlowClip(FakeClip):
    """Gives a frame only when it is told to; frames in ``damaged`` can't be had."""

    def __init__(self, damaged: frozenset[int] = frozenset()) -> None:
        super().__init__(np.arange(100) * 33_333, 3_333_300)
        self.damaged = damaged
        self.asked: list[int] = []
        self.may_go_on = threading.Semaphore(0)

    def frame(self, index: int) -> Frame:
        self.asked.append(index)
        assert self.may_go_on.acquire(timeout=5)
        if index in self.damaged:
            raise ClipError(f"Frame {index} can't be decoded.")
        return super().frame(index)


class Seen:
    """Everything that a feed sent, in order."""

    def __init__(self, feed: FrameFeed) -> None:
        self.pictures: list[tuple[int, bool]] = []
        self.sentences: list[str] = []
        feed.pictured.connect(lambda index, _, exact: self.pictures.append((index, exact)))
        feed.failed.connect(self.sentences.append)


@pytest.fixture
def slow(qapp):
    clip = SlowClip(frozenset({40, 41, 60}))
    feed = FrameFeed(clip)
    yield clip, feed, Seen(feed)
    for _ in range(20):
        clip.may_go_on.release()
    feed.close()


def begun(qtbot, clip: SlowClip, count: int) -> None:
    qtbot.waitUntil(lambda: len(clip.asked) >= count, timeout=5000)


def test_a_picture_has_the_frames_own_pixels():
    rgb = np.random.default_rng(4).integers(0, 256, (5, 7, 3), np.uint8)
    image = as_image(rgb)
    assert image.format() == QImage.Format.Format_RGB32
    assert np.array_equal(pixels(image), rgb)


def test_a_picture_keeps_its_pixels_when_the_array_changes():
    rgb = np.full((4, 4, 3), 90, np.uint8)
    image = as_image(rgb)
    rgb[:] = 0
    assert (pixels(image) == 90).all()


def test_the_pictured_frame_is_the_clips_frame_pixel_for_pixel(qtbot, tmp_path):
    with open_clip(small_clip(tmp_path)) as clip:
        feed = FrameFeed(clip)
        for index in (0, 31, 30, FRAME_COUNT - 1):
            with qtbot.waitSignal(feed.pictured) as blocker:
                feed.exact(index)
            shown, image, is_exact = blocker.args
            assert (shown, is_exact) == (index, True)
            assert np.array_equal(pixels(image), clip.frame(index).rgb)
        feed.close()


def test_wishes_that_came_too_late_are_left_out(qtbot, slow):
    clip, feed, seen = slow
    feed.exact(1)
    begun(qtbot, clip, 1)
    for index in range(2, 30):
        feed.exact(index)
    clip.may_go_on.release()
    clip.may_go_on.release()
    qtbot.waitUntil(lambda: len(seen.pictures) == 2, timeout=5000)
    assert seen.pictures == [(1, True), (29, True)]
    assert clip.asked == [1, 29]


def test_a_wish_never_waits_for_the_clip(qtbot, slow):
    clip, feed, _ = slow
    feed.add_preview(3, QImage(4, 4, QImage.Format.Format_RGB32))
    feed.exact(1)
    begun(qtbot, clip, 1)
    start = time.perf_counter()
    for index in range(500):
        feed.rough(index % 100)
    assert time.perf_counter() - start < 0.25


def test_rough_shows_the_nearest_preview_at_once_then_the_frame(qtbot, slow):
    clip, feed, seen = slow
    near, far = (QImage(side, side, QImage.Format.Format_RGB32) for side in (4, 8))
    feed.add_preview(10, near)
    feed.add_preview(90, far)
    sizes = []
    feed.pictured.connect(lambda _, image, exact: sizes.append((image.width(), exact)))
    feed.rough(20)
    assert sizes == [(4, False)]
    clip.may_go_on.release()
    qtbot.waitUntil(lambda: len(sizes) == 2, timeout=5000)
    assert seen.pictures == [(20, False), (20, True)]


def test_a_late_frame_does_not_push_a_newer_preview_away(qtbot, slow):
    clip, feed, seen = slow
    feed.add_preview(10, QImage(4, 4, QImage.Format.Format_RGB32))
    feed.rough(20)
    begun(qtbot, clip, 1)
    feed.rough(30)
    clip.may_go_on.release()
    clip.may_go_on.release()
    qtbot.waitUntil(lambda: (30, True) in seen.pictures, timeout=5000)
    assert seen.pictures == [(20, False), (30, False), (30, True)]


def test_while_playing_late_frames_are_shown_for_want_of_better_ones(qtbot, slow):
    clip, feed, seen = slow
    feed.exact(5)
    begun(qtbot, clip, 1)
    feed.exact(6)
    clip.may_go_on.release()
    qtbot.waitUntil(lambda: seen.pictures == [(5, True)], timeout=5000)


def test_a_damaged_frame_is_one_sentence_and_no_stop(qtbot, slow):
    clip, feed, seen = slow
    for _ in range(9):
        clip.may_go_on.release()
    for count, index in enumerate((39, 40, 41, 42, 60, 61), start=1):
        feed.exact(index)
        begun(qtbot, clip, count)
        qtbot.waitUntil(lambda: not feed._worker.is_busy, timeout=5000)
        qtbot.wait(1)
    assert [index for index, _ in seen.pictures] == [39, 42, 61]
    assert seen.sentences == ["Frame 40 can't be decoded.", "Frame 60 can't be decoded."]


def test_nothing_comes_after_closing(qtbot):
    clip = SlowClip()
    feed = FrameFeed(clip)
    seen = Seen(feed)
    feed.exact(1)
    begun(qtbot, clip, 1)
    clip.may_go_on.release()
    while feed._worker.is_busy:  # its picture is sent, but no event has been handled yet
        time.sleep(0.005)
    feed.close()
    qtbot.wait(20)
    assert seen.pictures == []
    assert not feed._worker._thread.is_alive()


def test_previews_come_by_themselves_from_all_over_the_clip(qtbot, tmp_path):
    path = make_clip(tmp_path / "long.mp4", *X264, "-g", "60", seconds=12)
    with open_clip(path) as clip:
        feed = FrameFeed(clip)
        assert feed.preview_near(50) is None
        with qtbot.waitSignal(feed.previewed, timeout=10_000):
            feed.exact(0)
        # Two wishes beside one keyframe are served by it.
        qtbot.waitUntil(lambda: len(feed._previews) >= 18, timeout=15_000)
        shown = feed._previews._images
        assert np.diff([0, *sorted(shown), len(clip)]).max() <= 25
        for index in list(shown)[::5]:
            difference = pixels(feed.preview_near(index)).astype(int) - clip.frame(index).rgb
            assert np.abs(difference).mean() < 3
        feed.close()


@pytest.mark.parametrize("wait_ms", [0, 3, 30, 150])
def test_it_can_be_closed_at_any_time(qtbot, tmp_path, wait_ms):
    path = make_clip(tmp_path / "long.mp4", *X264, "-g", "60", size=(640, 480), seconds=6)
    before = threading.active_count()
    with open_clip(path) as clip:
        feed = FrameFeed(clip)
        feed.exact(100)
        qtbot.wait(wait_ms)
        feed.rough(20)
        start = time.perf_counter()
        feed.close()
        assert time.perf_counter() - start < 2
    assert threading.active_count() == before


def test_closing_the_clip_first_is_a_sentence_not_a_crash(qtbot, tmp_path):
    clip = open_clip(small_clip(tmp_path))
    feed = FrameFeed(clip)
    clip.close()
    with qtbot.waitSignal(feed.failed) as blocker:
        feed.exact(44)
    assert "closed" in blocker.args[0]
    feed.close()
