"""Small pictures of the whole clip: how many, how large, how much memory, when."""

from __future__ import annotations

import threading
import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtGui import QImage
from support.fake_clip import FakeClip

from cliptag.desk.previews import HEIGHT, MOST, PreviewMaker, Previews


def fake(seconds: float, fps: int = 30) -> FakeClip:
    count = max(1, round(seconds * fps))
    return FakeClip(np.arange(count) * 1_000_000 // fps, round(seconds * 1e6))


def made_of(qtbot, clip: FakeClip) -> list[tuple[int, QImage]]:
    maker = PreviewMaker(clip, lambda: False)
    batches: list[list[tuple[int, QImage]]] = []
    maker.made.connect(batches.append)
    maker.start()
    maker._thread.join(10)
    qtbot.wait(1)
    maker.close()
    return [preview for batch in batches for preview in batch]


@pytest.mark.parametrize(
    ("seconds", "count"), [(0.2, 1), (1, 2), (10, 20), (100, MOST), (3600, MOST)]
)
def test_there_is_one_for_every_half_second_up_to_a_limit(qtbot, seconds, count):
    previews = made_of(qtbot, fake(seconds, fps=5 if seconds > 100 else 30))
    assert len(previews) == count
    assert all(image.height() == HEIGHT for _, image in previews)


def test_all_of_them_together_take_no_more_memory_than_told():
    most = round(HEIGHT * 16 / 9) * HEIGHT * 4 * MOST
    assert most < 67_000_000


def test_it_waits_for_who_is_in_a_hurry_but_not_for_ever(qtbot):
    clip, given_at = fake(2), []
    thumbnails = clip.thumbnails

    def timed(*how):
        for frame in thumbnails(*how):
            given_at.append(time.monotonic())
            yield frame

    clip.thumbnails = timed
    start = time.monotonic()
    maker = PreviewMaker(clip, lambda: True)
    maker.start()
    qtbot.waitUntil(lambda: len(given_at) >= 2, timeout=5000)
    maker.close()
    assert given_at[0] - start >= 0.7
    assert given_at[1] - given_at[0] >= 0.7


def test_closing_ends_even_a_maker_that_waits(qtbot):
    maker = PreviewMaker(fake(60), lambda: True)
    maker.start()
    start = time.monotonic()
    maker.close()
    assert time.monotonic() - start < 0.5
    assert "desk previews" not in {thread.name for thread in threading.enumerate()}
    maker.start()  # too late: nothing begins any more
    assert "desk previews" not in {thread.name for thread in threading.enumerate()}


@given(st.lists(st.integers(0, 500), min_size=1, max_size=40, unique=True), st.integers(-20, 520))
def test_the_nearest_one_is_found(indexes, wanted):
    previews = Previews()
    for index in indexes:
        previews.add(index, QImage(index + 1, 1, QImage.Format.Format_Mono))
    found = previews.near(wanted).width() - 1
    assert abs(found - wanted) == min(abs(index - wanted) for index in indexes)


def test_there_is_none_at_first():
    assert Previews().near(3) is None
