"""The cache stays within its bytes, and one thread owns the decoder and always ends."""

from __future__ import annotations

import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import numpy as np
import pytest
from av.video.frame import VideoFrame
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from support.awkward import make_awkward
from support.media import native_md5, reference_frames

from cliptag.clip import Clip, ClipError, open_clip
from cliptag.clip.cache import FrameCache, frame_bytes
from cliptag.clip.video import VideoClip

_FRAME_BYTES = 128 * 96 * 3 // 2


def _cache(clip: Clip) -> FrameCache:
    assert isinstance(clip, VideoClip)
    return clip._reader.cache


def _wait_until_idle(clip: Clip) -> None:
    """Until nothing more is read ahead."""
    last = -1.0
    while last != (last := float(sum(_cache(clip)._numbers))):
        time.sleep(0.05)


def _readers() -> list[threading.Thread]:
    return [thread for thread in threading.enumerate() if thread.name == "clip reader"]


_PICTURE = VideoFrame(32, 32, "gray")


@given(
    st.integers(1, 20),
    st.lists(st.tuples(st.integers(0, 99), st.integers(0, 99), st.sampled_from([1, -1]))),
)
@settings(max_examples=150, deadline=None)
def test_the_cache_keeps_what_is_nearest_within_its_bytes(
    room: int, steps: list[tuple[int, int, int]]
) -> None:
    size = frame_bytes(_PICTURE)
    cache = FrameCache(room * size)
    for number, focus, direction in steps:
        cache.look_from(focus, direction)
        before = set(cache._frames)
        cache.put(number, _PICTURE)
        after = set(cache._frames)
        assert cache.used_bytes == len(after) * size <= room * size
        assert sorted(after) == cache._numbers
        dropped = (before | {number}) - after
        kept = max(map(cache._distance, after))
        assert all(cache._distance(gone) >= kept for gone in dropped)


def test_one_frame_is_kept_however_large() -> None:
    cache = FrameCache(1)
    cache.put(3, _PICTURE)
    cache.put(4, _PICTURE)
    assert len(cache._frames) == 1


def test_the_cache_never_exceeds_its_bytes_while_reading(media: Path) -> None:
    room = 10 * _FRAME_BYTES + 100
    with open_clip(make_awkward("one keyframe", media), cache_bytes=room) as clip:
        dice = random.Random(0)
        place = 0
        for _ in range(200):
            place = (place + dice.choice([1, 1, 1, -1, -1, 30])) % len(clip)
            clip.frame(place)
            assert _cache(clip).used_bytes <= room


def test_going_forward_reads_ahead(media: Path) -> None:
    with open_clip(make_awkward("constant rate", media)) as clip:
        clip.frame(0)
        clip.frame(1)
        clip.frame(2)
        _wait_until_idle(clip)
        assert set(range(60)) == set(_cache(clip)._frames)


def test_going_backward_reads_ahead_too(media: Path) -> None:
    """With room for 20 frames of a clip whose groups have 15."""
    path = make_awkward("constant rate", media)
    with open_clip(path, cache_bytes=20 * _FRAME_BYTES + 100) as clip:
        for index in (50, 49, 48):
            clip.frame(index)
        _wait_until_idle(clip)
        assert set(range(38, 49)) <= set(_cache(clip)._frames)


def test_a_jump_reads_nothing_ahead(media: Path) -> None:
    with open_clip(make_awkward("only keyframes", media)) as clip:
        for index in (0, 40, 10, 55):
            clip.frame(index)
        _wait_until_idle(clip)
        assert set(_cache(clip)._frames) == {0, 40, 10, 55}


def test_backward_steps_decode_a_group_once(media: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = make_awkward("one keyframe", media)
    with open_clip(path) as clip:
        assert isinstance(clip, VideoClip)
        decoded = []
        decoder = clip._reader._decoder
        reach = decoder.reach
        monkeypatch.setattr(
            decoder, "reach", lambda number: (decoded.append(number), reach(number))[1]
        )
        for index in range(80, 0, -1):
            clip.frame(index)
        assert decoded == [80]


def test_many_threads_get_the_right_frames(media: Path) -> None:
    path = make_awkward("open GOP", media)
    reference = [frame.md5 for frame in reference_frames(path)]
    dice = random.Random(3)
    wanted = [dice.randrange(60) for _ in range(200)]
    with open_clip(path, cache_bytes=8 * _FRAME_BYTES) as clip, ThreadPoolExecutor(6) as pool:

        def look(index: int) -> str:
            frame = clip.frame(index)
            assert frame.rgb.shape == (96, 128, 3)
            assert frame._native is not None
            return native_md5(frame._native)

        assert list(pool.map(look, wanted)) == [reference[index] for index in wanted]
        assert len(_readers()) == 1


def test_several_threads_may_convert_the_same_frame_at_once(media: Path) -> None:
    with open_clip(make_awkward("constant rate", media)) as clip, ThreadPoolExecutor(6) as pool:
        pictures = list(pool.map(lambda _: clip.frame(9).rgb, range(40)))
    for picture in pictures:
        np.testing.assert_array_equal(picture, pictures[0])


def test_closing_ends_the_thread_and_may_be_repeated(media: Path) -> None:
    clip = open_clip(make_awkward("constant rate", media))
    clip.frame(30)
    assert len(_readers()) == 1
    clip.close()
    assert not _readers()
    clip.close()
    with pytest.raises(ClipError, match="closed"):
        clip.frame(3)


def test_closing_during_a_decode_works(media: Path) -> None:
    path = make_awkward("one keyframe", media)
    for pause in (0.0, 0.001, 0.003, 0.01, 0.02):
        clip = open_clip(path, cache_bytes=1)
        outcome: list[object] = []

        def ask(clip: Clip = clip, outcome: list[object] = outcome) -> None:
            try:
                outcome.append(clip.frame(89).index)
            except ClipError as error:
                outcome.append(str(error))

        asking = threading.Thread(target=ask)
        asking.start()
        time.sleep(pause)
        clip.close()
        asking.join(20)
        assert not asking.is_alive()
        assert outcome and (outcome[0] == 89 or "closed" in str(outcome[0]))
        assert not _readers()


def test_a_fault_while_reading_ahead_is_raised_where_the_frame_is_asked_for(
    media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_clip(make_awkward("only keyframes", media)) as clip:
        assert isinstance(clip, VideoClip)
        reach = clip._reader._decoder.reach

        def breaking(number: int) -> object:
            if number == 20:
                raise MemoryError("too little")
            return reach(number)

        monkeypatch.setattr(clip._reader._decoder, "reach", breaking)
        for index in (17, 18, 19):
            clip.frame(index)
        with pytest.raises(MemoryError):
            clip.frame(20)
        assert clip.frame(21).index == 21


def test_frames_stay_valid_after_closing(media: Path) -> None:
    with open_clip(make_awkward("open GOP", media)) as clip:
        frame, again = clip.frame(20), clip.frame(20)
        before = again.rgb
    np.testing.assert_array_equal(frame.rgb, before)


def test_a_photo_and_a_single_frame_start_no_thread(media: Path, tmp_path: Path) -> None:
    photo = tmp_path / "photo.png"
    Image.new("RGB", (20, 10)).save(photo)
    for path in (photo, make_awkward("one frame", media)):
        with open_clip(path) as clip:
            assert clip.frame(0).rgb.size
            assert not _readers()


def test_rgb_is_converted_once_and_kept(media: Path) -> None:
    with open_clip(make_awkward("open GOP", media)) as clip:
        frame = clip.frame(5)
        assert frame.rgb is frame.rgb
        with pytest.raises(ValueError):
            frame.rgb[0, 0, 0] = 1


def test_giving_up_planes_lets_go_of_the_file(media: Path) -> None:
    with open_clip(make_awkward("open GOP", media)) as clip:
        planes = clip.planes(10)
        assert next(planes).index == 10
        planes.close()  # type: ignore[attr-defined]
        assert next(clip.planes(59)).index == 59
        assert list(clip.planes(7, 7)) == []
