"""Frame i is the i-th frame that is displayed, by ffmpeg's own framemd5 of a whole decode."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
from support.awkward import AWKWARD, make_awkward
from support.media import ReferenceFrame, native_md5, reference_frames

from cliptag.clip import Clip, open_clip


@pytest.fixture(params=AWKWARD, ids=lambda name: name.replace(" ", "-"))
def awkward(request: pytest.FixtureRequest, media: Path) -> tuple[Path, list[ReferenceFrame]]:
    path = make_awkward(request.param, media)
    reference = reference_frames(path)
    assert len({frame.md5 for frame in reference}) == len(reference), "frames must differ"
    return path, reference


def _md5(clip: Clip, index: int) -> str:
    native = clip.frame(index)._native
    assert native is not None
    return native_md5(native)


def _mistakes(got: list[tuple[int, str]], reference: list[ReferenceFrame]) -> str:
    """For a person: which frames came out as which others."""
    places = {frame.md5: place for place, frame in enumerate(reference)}
    wrong = [
        f"{index} came as {places.get(md5, 'no frame of the file')}"
        for index, md5 in got
        if md5 != reference[index].md5
    ]
    return f"{len(wrong)} of {len(got)} wrong: {'; '.join(wrong[:6])}"


def test_frame_i_equals_the_ith_decoded_frame(
    awkward: tuple[Path, list[ReferenceFrame]],
) -> None:
    path, reference = awkward
    with open_clip(path) as clip:
        assert len(clip) == len(reference)
        got = [(index, _md5(clip, index)) for index in range(len(clip))]
    assert [md5 for _, md5 in got] == [frame.md5 for frame in reference], _mistakes(got, reference)


def test_frames_in_any_order_equal_the_decoded_ones(
    awkward: tuple[Path, list[ReferenceFrame]],
) -> None:
    """With hardly any cache, so that nearly every request has to seek."""
    path, reference = awkward
    dice = random.Random(len(reference))
    count = len(reference)
    anywhere = [dice.randrange(count) for _ in range(30)]
    backward = list(range(count - 1, max(-1, count - 25), -1))
    with open_clip(path, cache_bytes=1) as clip:
        got = [(index, _md5(clip, index)) for index in anywhere + backward]
    assert [md5 for _, md5 in got] == [reference[i].md5 for i, _ in got], _mistakes(got, reference)


def test_a_fresh_clip_gives_any_frame_first(
    awkward: tuple[Path, list[ReferenceFrame]],
) -> None:
    """With the index from the disk, and no decoding before that of the first frame."""
    path, reference = awkward
    for index in {len(reference) - 1, len(reference) // 2}:
        with open_clip(path) as clip:
            got = _md5(clip, index)
        assert got == reference[index].md5, _mistakes([(index, got)], reference)


def test_times_are_those_of_ffmpeg(awkward: tuple[Path, list[ReferenceFrame]]) -> None:
    path, reference = awkward
    shown = [float((frame.time - reference[0].time) * 1_000_000) for frame in reference]
    if path.name == "restart.ts":  # ffmpeg lets time stand still where the clock starts anew
        shown = [1e6 * place / 30 for place in range(len(reference))]
    with open_clip(path) as clip:
        np.testing.assert_allclose(clip.times_us, shown, atol=0.51)
        assert clip.times_us[0] == 0
        assert clip.times_us.dtype == np.int64
        assert not clip.times_us.flags.writeable
        assert (np.diff(clip.times_us) >= 0).all()
        assert clip.duration_us > clip.times_us[-1]


def test_planes_for_an_export_are_the_same_frames_in_order(
    awkward: tuple[Path, list[ReferenceFrame]],
) -> None:
    path, _ = awkward
    with open_clip(path) as clip:
        whole = [frame.y.copy() for frame in clip.planes()]
        assert len(whole) == len(clip)
        first = len(clip) // 3
        part = list(clip.planes(first, first + min(4, len(clip) - first)))
        for frame in part:
            np.testing.assert_array_equal(frame.y, whole[frame.index])
            assert frame.time_us == clip.times_us[frame.index]
