"""Overlays in YUV agree with colour science done in floats, and with ffmpeg's own overlay."""

from __future__ import annotations

import subprocess
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from cliptag.export.blend import Planes, blend_into, patches_from_rgba


def noise(width: int, height: int, seed: int) -> Planes:
    planes = Planes(width, height)
    planes.packed[:] = np.random.default_rng(seed).integers(16, 236, planes.packed.size)
    return planes


def copy_of(planes: Planes) -> Planes:
    copy = Planes(planes.width, planes.height)
    copy.packed[:] = planes.packed
    return copy


def premultiplied(rgb: np.ndarray, alpha: np.ndarray) -> np.ndarray:
    colours = np.rint(rgb * (alpha[..., None] / 255.0))
    return np.dstack([colours, alpha]).astype(np.uint8)


def lay_over(planes: Planes, rgba: np.ndarray, left: int = 0, top: int = 0) -> Planes:
    result = copy_of(planes)
    for patch in patches_from_rgba(rgba, left, top):
        blend_into(result, patch)
    return result


def yuv_of(rgb: np.ndarray) -> np.ndarray:
    """ITU-R BT.709-6, items 3.2 to 3.4 and 4.6, in floats: 8-bit limited range, not rounded."""
    red, green, blue = (rgb[..., k] / 255.0 for k in range(3))
    luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return np.stack(
        [
            16 + 219 * luma,
            128 + 224 * (blue - luma) / 1.8556,
            128 + 224 * (red - luma) / 1.5748,
        ]
    )


@pytest.mark.parametrize(
    ("rgb", "yuv"),
    [  # 100 % colour bars of BT.709 in 8 bits; from memory, and the formula gives them
        ((255, 255, 255), (235, 128, 128)),
        ((0, 0, 0), (16, 128, 128)),
        ((255, 0, 0), (63, 102, 240)),
        ((0, 255, 0), (173, 42, 26)),
        ((0, 0, 255), (32, 240, 118)),
        ((255, 255, 0), (219, 16, 138)),
    ],
)
def test_an_opaque_colour_becomes_the_standards_own_code(rgb, yuv):
    rgba = np.full((4, 4, 4), (*rgb, 255), np.uint8)
    result = lay_over(noise(4, 4, 1), rgba)
    assert [set(plane.ravel().tolist()) for plane in (result.y, result.u, result.v)] == [
        {code} for code in yuv
    ]


@given(seed=st.integers(0, 2**32 - 1), shape=st.tuples(st.integers(1, 40), st.integers(1, 50)))
@settings(max_examples=60, deadline=None)
def test_blending_equals_the_float_formula_rounded_once(seed, shape):
    half_height, half_width = shape
    height, width = 2 * half_height, 2 * half_width
    rng = np.random.default_rng(seed)
    rgb = rng.integers(0, 256, (height, width, 3))
    alpha = rng.choice([0, 1, 100, 254, 255, rng.integers(0, 256)], (height, width))
    rgba = premultiplied(rgb, alpha)
    left, top = 2 * int(rng.integers(0, 5)), 2 * int(rng.integers(0, 5))
    before = noise(width + 10, height + 12, seed)
    after = lay_over(before, rgba, left, top)

    share = rgba[..., 3] / 255.0
    part = yuv_of(rgba[..., :3]) - np.array([16, 128, 128]).reshape(3, 1, 1)
    part += np.array([16, 128, 128]).reshape(3, 1, 1) * share
    box = np.s_[top : top + height, left : left + width]
    expected = before.y[box] * (1 - share) + part[0]
    assert np.abs(after.y[box] - expected).max() <= 0.501

    def mean(plane: np.ndarray) -> np.ndarray:
        return plane.reshape(half_height, 2, half_width, 2).mean(axis=(1, 3))

    half_box = np.s_[top // 2 : (top + height) // 2, left // 2 : (left + width) // 2]
    for plane, was, added in ((after.u, before.u, part[1]), (after.v, before.v, part[2])):
        expected = was[half_box] * (1 - mean(share)) + mean(added)
        assert np.abs(plane[half_box] - expected).max() <= 0.8  # the mean alpha is rounded, too


def test_what_is_transparent_stays_bit_for_bit():
    before = noise(400, 300, 3)
    rgba = np.zeros((200, 300, 4), np.uint8)
    rgba[10:40, 10:80] = (90, 30, 200, 220)
    rgba[150:190, 200:290] = 255
    after = lay_over(before, rgba, 60, 40)
    outside = np.ones((300, 400), bool)
    outside[50:80, 70:140] = outside[190:230, 260:350] = False
    assert (after.y == before.y)[outside].all()
    assert (after.y != before.y)[~outside].mean() > 0.9
    both = outside[::2, ::2] & outside[1::2, ::2] & outside[::2, 1::2] & outside[1::2, 1::2]
    assert (after.u == before.u)[both].all() and (after.v == before.v)[both].all()


def test_a_thin_diagonal_blends_a_small_part_of_its_box():
    rgba = np.zeros((1000, 1000, 4), np.uint8)
    rgba[np.arange(1000), np.arange(1000)] = 255
    patches = patches_from_rgba(rgba, 0, 0)
    assert sum(patch.y.keep.size for patch in patches) < 0.12 * 1000 * 1000
    painted = lay_over(noise(1000, 1000, 4), rgba)
    assert (painted.y[np.arange(1000), np.arange(1000)] == 235).all()


@given(seed=st.integers(0, 2**32 - 1))
@settings(max_examples=40, deadline=None)
def test_patches_hold_every_painted_pixel_once(seed):
    rng = np.random.default_rng(seed)
    height, width = 2 * rng.integers(1, 250, 2)
    rgba = np.zeros((height, width, 4), np.uint8)
    for _ in range(rng.integers(0, 6)):
        y, x = rng.integers(0, height), rng.integers(0, width)
        rgba[y : y + rng.integers(1, 120), x : x + rng.integers(1, 120), 3] = 200
    count = np.zeros((height, width), int)
    for patch in patches_from_rgba(rgba, 0, 0):
        h, w = patch.y.keep.shape
        count[patch.top : patch.top + h, patch.left : patch.left + w] += 1
    assert count.max(initial=0) <= 1
    assert (count[rgba[..., 3] > 0] == 1).all()


def test_a_grey_overlay_gives_a_grey_picture_no_tint():
    planes = noise(64, 64, 5)
    planes.u[...] = planes.v[...] = 128
    rng = np.random.default_rng(6)
    grey = np.repeat(rng.integers(0, 256, (64, 64, 1)), 3, axis=2)
    result = lay_over(planes, premultiplied(grey, rng.integers(0, 256, (64, 64))))
    assert (result.u == 128).all() and (result.v == 128).all()


def test_it_agrees_with_ffmpegs_overlay_filter(tmp_path: Path):
    """FFmpeg's filter manual, section overlay; smooth alpha, for it averages chroma unweighted."""
    width, height = 320, 240
    base = noise(width, height, 7)
    across, down = np.meshgrid(np.linspace(0, 1, width), np.linspace(0, 1, height))
    rgb = np.dstack([40 + 180 * across, 200 - 150 * down, 60 + 100 * across * down])
    alpha = np.rint(255 * np.clip(1.4 * across - 0.2, 0, 1)).astype(np.uint8)
    (tmp_path / "base.yuv").write_bytes(base.packed.tobytes())
    Image.fromarray(np.dstack([rgb.astype(np.uint8), alpha]), "RGBA").save(tmp_path / "over.png")
    video = ["-f", "rawvideo", "-pix_fmt", "yuv420p", "-s", f"{width}x{height}"]
    graph = (
        "[0:v]setparams=range=tv:colorspace=bt709[base];"
        "[1:v]scale=out_color_matrix=bt709:out_range=tv:flags=accurate_rnd+full_chroma_inp,"
        "format=yuva420p[over];[base][over]overlay=format=yuv420"
    )
    done = subprocess.run(
        [
            imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-nostdin",
            *video, "-i", tmp_path / "base.yuv", "-i", tmp_path / "over.png",
            "-filter_complex", graph, *video[:4], "-",
        ],
        capture_output=True,
        check=True,
    )  # fmt: skip
    theirs = np.frombuffer(done.stdout, np.uint8).astype(int)
    ours = lay_over(base, premultiplied(rgb.astype(np.uint8), alpha)).packed.astype(int)
    difference = np.abs(ours - theirs)
    assert difference.max() <= 2, f"{difference.max()} levels apart at {difference.argmax()}"
    assert difference.mean() < 0.6


@pytest.mark.parametrize("size", [(0, 2), (3, 2), (2, 5), (-2, 2)])
def test_planes_of_odd_or_no_size_are_refused(size):
    with pytest.raises(ValueError, match="even"):
        Planes(*size)


@pytest.mark.parametrize(("shape", "left", "top"), [((4, 4), 1, 0), ((4, 4), 0, 3), ((3, 4), 0, 0)])
def test_a_patch_off_the_chroma_grid_is_refused(shape, left, top):
    with pytest.raises(ValueError, match="even"):
        patches_from_rgba(np.zeros((*shape, 4), np.uint8), left, top)
