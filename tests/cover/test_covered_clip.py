"""A covered clip gives the same pictures as the clip, but for what is covered, in every way."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from support.exporting import review_of
from support.media import make_clip
from support.people import write_person

from cliptag.clip import Clip, open_clip
from cliptag.cover import Cover, CoveredClip, bare
from cliptag.cover.areas import mask_of
from cliptag.review import CoverArea, CoverKey, Point


def covered(clip: Clip, **options: object) -> CoveredClip:
    keys = (
        CoverKey(at_us=0, centre=Point(200, 120), radius_x=70, radius_y=90),
        CoverKey(at_us=500_000, centre=Point(260, 130), radius_x=70, radius_y=90),
    )
    review = review_of(clip, covers=(CoverArea(id="a", what="other", keys=keys),))
    return CoveredClip(clip, Cover(review, clip.times_us), **options)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory):
    path = write_person(tmp_path_factory.mktemp("people") / "clip.mp4", "astronaut", count=16)
    with open_clip(path) as opened:
        yield opened


def test_frames_and_planes_are_destroyed_in_the_same_places(clip: Clip):
    hidden = covered(clip)
    for index, plain, planes in zip((0, 7), (0, 7), (0, 7), strict=True):
        area = mask_of(hidden.cover.at(index), (0, 0, 512, 512))
        before, after = clip.frame(plain).rgb, hidden.frame(index).rgb
        np.testing.assert_array_equal(before[~area], after[~area])
        assert (before[area] != after[area]).any(axis=1).mean() > 0.95
        y = next(hidden.planes(planes, planes + 1)).y
        own = next(clip.planes(planes, planes + 1)).y
        np.testing.assert_array_equal(own[~area], y[~area])
        luma = after @ np.array([0.2126, 0.7152, 0.0722])
        # Both were rounded to coarse tones of their own, so they agree to two of them.
        assert np.abs(y[area] - (16 + luma[area] * 219 / 255)).max() < 40


@pytest.mark.parametrize("size", [(512, 512), (256, 256), (128, 64)])
def test_in_any_size_the_planes_are_covered_where_the_picture_is(clip: Clip, size):
    hidden = covered(clip)
    frame, own = next(hidden.planes(0, 1, size=size)), next(clip.planes(0, 1, size=size))
    scale = size[0] / 512, size[1] / 512
    area = mask_of([a.scaled(*scale) for a in hidden.cover.at(0)], (0, 0, *size))
    np.testing.assert_array_equal(frame.y[~area], own.y[~area])
    assert (frame.y[area] != own.y[area]).mean() > 0.8
    for plane, plain in ((frame.u, own.u), (frame.v, own.v)):
        # Every sample of colour that lies under the area is another, with few values left.
        inside = area[::2, ::2] & area[1::2, 1::2] & area[::2, 1::2] & area[1::2, ::2]
        assert np.unique(plane[inside]).size <= np.unique(plain[inside]).size + 8


def test_small_pictures_are_covered_too(clip: Clip):
    for small, own in zip(covered(clip).thumbnails(3, 64), clip.thumbnails(3, 64), strict=True):
        assert small.index == own.index
        assert (small.rgb != own.rgb).any()


def test_it_is_known_by_another_digest_than_the_clip(clip: Clip):
    assert covered(clip).digest != clip.digest
    assert covered(clip).digest == covered(clip).digest
    assert bare(covered(clip)) is clip and bare(clip) is clip


def test_a_mute_clip_has_no_sound(tmp_path: Path):
    path = make_clip(tmp_path / "sound.mp4", seconds=0.5, sound=True)
    with open_clip(path) as opened:
        source = opened.sound()
        assert source is not None
        source.close()
        mute = covered(opened, is_mute=True)
        assert mute.sound() is None and not mute.info.has_sound
