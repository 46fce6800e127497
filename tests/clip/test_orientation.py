"""All eight ways in which a picture may be turned and mirrored, and pixels that aren't square."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from support.media import X264, decoded_rgb, ffmpeg, make_clip

from cliptag.clip import open_clip
from cliptag.clip.orientation import Orientation, orientation_of_exif, orientation_of_matrix

# What a display matrix asks for, as numpy does it: independent of OpenCV and of FFmpeg.
# (options that write it, clockwise turn, mirrored) -> coded picture to displayed picture.
_WAYS = {
    "upright": ([], 0, False, lambda p: p),
    "90": (["-display_rotation", "-90"], 90, False, lambda p: np.rot90(p, -1)),
    "180": (["-display_rotation", "180"], 180, False, lambda p: np.rot90(p, 2)),
    "270": (["-display_rotation", "90"], 270, False, lambda p: np.rot90(p, 1)),
    "mirrored": (["-display_hflip"], 0, True, np.fliplr),
    "upside down": (["-display_vflip"], 180, True, np.flipud),
    "90 mirrored": (
        ["-display_rotation", "-90", "-display_hflip"],
        *(270, True, lambda p: np.swapaxes(p, 0, 1)),
    ),
    "270 mirrored": (
        ["-display_rotation", "90", "-display_hflip"],
        *(90, True, lambda p: np.swapaxes(np.rot90(p, 2), 0, 1)),
    ),
}


@pytest.fixture(params=_WAYS)
def turned(request: pytest.FixtureRequest, media: Path) -> tuple[Path, Path, str]:
    """A clip, the same clip with a display matrix, and which one."""
    plain = media / "plain-to-turn.mp4"
    if not plain.exists():
        make_clip(plain, *X264, "-g", "10", "-bf", "2", size=(128, 80), seconds=0.5)
    target = media / f"turned-{request.param.replace(' ', '-')}.mp4"
    ffmpeg(*_WAYS[request.param][0], "-i", plain, "-c", "copy", target)
    return plain, target, request.param


def test_rgb_is_turned_as_numpy_turns_it(turned: tuple[Path, Path, str]) -> None:
    plain, target, way = turned
    _, rotation_deg, is_mirrored, turn = _WAYS[way]
    with open_clip(plain) as before, open_clip(target) as after:
        for index in (0, 7):
            np.testing.assert_array_equal(after.frame(index).rgb, turn(before.frame(index).rgb))
        height, width = after.frame(0).rgb.shape[:2]
        assert (after.info.width, after.info.height) == (width, height)
        assert (after.info.coded_width, after.info.coded_height) == (128, 80)
        assert after.info.rotation_deg == rotation_deg
        assert after.info.is_mirrored == is_mirrored
        assert after.frame(0).rgb.flags.c_contiguous
        assert not after.frame(0).rgb.flags.writeable


def test_rotation_and_mirroring_describe_the_turn(turned: tuple[Path, Path, str]) -> None:
    """Mirrored left to right first, then turned clockwise."""
    plain, target, _ = turned
    with open_clip(plain) as before, open_clip(target) as after:
        picture = before.frame(3).rgb
        if after.info.is_mirrored:
            picture = np.fliplr(picture)
        picture = np.rot90(picture, -after.info.rotation_deg // 90)
        np.testing.assert_array_equal(after.frame(3).rgb, picture)


def test_rgb_is_turned_as_ffmpeg_turns_it(turned: tuple[Path, Path, str]) -> None:
    _, target, _ = turned
    with open_clip(target) as clip:
        by_ffmpeg = decoded_rgb(target, clip.info.width, clip.info.height)
        # Chroma is upsampled in another way: the means must agree, and hardly a pixel differs.
        difference = np.abs(clip.frame(5).rgb.astype(int) - by_ffmpeg[5])
        assert difference.mean() < 3


def test_planes_are_turned_as_numpy_turns_them(turned: tuple[Path, Path, str]) -> None:
    plain, target, way = turned
    turn = _WAYS[way][3]
    with open_clip(plain) as before, open_clip(target) as after:
        for coded, shown in zip(before.planes(), after.planes(), strict=True):
            np.testing.assert_array_equal(shown.y, turn(coded.y))
            np.testing.assert_array_equal(shown.u, turn(coded.u))
            np.testing.assert_array_equal(shown.v, turn(coded.v))


@pytest.mark.parametrize("value", range(1, 9))
def test_exif_orientation_puts_row_0_and_column_0_where_the_standard_says(value: int) -> None:
    """CIPA DC-008-2019 (EXIF 2.32), tag 0x0112: which side row 0 and column 0 are on."""
    row_0, column_0 = {
        1: ("top", "left"),
        2: ("top", "right"),
        3: ("bottom", "right"),
        4: ("bottom", "left"),
        5: ("left", "top"),
        6: ("right", "top"),
        7: ("right", "bottom"),
        8: ("left", "bottom"),
    }[value]
    coded = np.zeros((4, 6, 3), np.uint8)
    coded[0] += 1  # row 0
    coded[:, 0] += 2  # column 0
    shown = orientation_of_exif(value).apply(coded)[..., 0]
    sides = {"top": shown[0], "bottom": shown[-1], "left": shown[:, 0], "right": shown[:, -1]}
    assert (sides[row_0] & 1).all()
    assert (sides[column_0] & 2).all()


@pytest.mark.parametrize("degrees", [-30, 40, 100, 170, 200, 300])
def test_a_turn_between_right_angles_is_shown_as_the_nearest_one(degrees: int) -> None:
    angle = np.radians(degrees)
    a, b = round(np.cos(angle) * 65536), round(np.sin(angle) * 65536)
    matrix = np.array([a, b, 0, -b, a, 0, 0, 0, 1 << 30], np.int32).tobytes()
    nearest = round(degrees / 90) * 90 % 360
    assert orientation_of_matrix(matrix).rotation_deg == nearest
    assert not orientation_of_matrix(matrix).is_mirrored


def test_a_matrix_cut_short_is_ignored() -> None:
    assert orientation_of_matrix(b"\0" * 20) == Orientation()


@pytest.mark.parametrize(
    ("aspect", "size"), [("4/3", (171, 96)), ("16/11", (186, 96)), ("3/4", (128, 128))]
)
def test_pixels_that_are_not_square_are_stretched(
    aspect: str, size: tuple[int, int], media: Path
) -> None:
    path = media / f"aspect{aspect.replace('/', '-')}.mp4"
    make_clip(path, "-vf", f"setsar={aspect}", *X264, seconds=0.2)
    with open_clip(path) as clip:
        assert clip.info.pixel_aspect == Fraction(aspect)
        assert (clip.info.width, clip.info.height) == size
        assert clip.frame(1).rgb.shape == (size[1], size[0], 3)
        planes = next(clip.planes())
        assert planes.y.shape == (size[1], size[0] + size[0] % 2)
        by_ffmpeg = decoded_rgb(path, *size, "-vf", f"scale={size[0]}:{size[1]}:flags=bicubic")
        # ffmpeg stretches before it makes RGB, so colours differ along hard edges: look at luma.
        luma = np.array([0.2126, 0.7152, 0.0722])
        assert np.abs(clip.frame(1).rgb @ luma - by_ffmpeg[1] @ luma).mean() < 2


def test_pixel_aspect_applies_before_the_turn(media: Path) -> None:
    path, target = media / "anamorphic.mp4", media / "anamorphic-turned.mp4"
    make_clip(path, "-vf", "setsar=3/2", *X264, size=(96, 80), seconds=0.2)
    ffmpeg("-display_rotation", "-90", "-i", path, "-c", "copy", target)
    with open_clip(path) as before, open_clip(target) as after:
        assert (before.info.width, before.info.height) == (144, 80)
        assert (after.info.width, after.info.height) == (80, 144)
        np.testing.assert_array_equal(after.frame(2).rgb, np.rot90(before.frame(2).rgb, -1))


@pytest.mark.parametrize("way", ["upright", "180", "90", "mirrored"])
def test_an_odd_size_is_padded_not_rescaled(way: str, media: Path) -> None:
    plain = media / "odd.mov"
    if not plain.exists():
        make_clip(plain, "-vf", "scale=127:95", "-c:v", "mjpeg", "-q:v", "2", seconds=0.2)
    target = media / f"odd-{way}.mov"
    ffmpeg(*_WAYS[way][0], "-i", plain, "-c", "copy", target)
    turn = _WAYS[way][3]
    with open_clip(plain) as before, open_clip(target) as after:
        rgb = after.frame(1).rgb
        np.testing.assert_array_equal(rgb, turn(before.frame(1).rgb))
        height, width = rgb.shape[:2]
        planes = next(after.planes(1, 2))
        assert planes.y.shape == (height + height % 2, width + width % 2)
        assert planes.u.shape == (planes.y.shape[0] // 2, planes.y.shape[1] // 2)
        upright = next(before.planes(1, 2))
        np.testing.assert_array_equal(
            planes.y[:height, :width], turn(upright.y[:95, :127]).astype(np.uint8)
        )
        if height % 2:
            np.testing.assert_array_equal(planes.y[-1], planes.y[-2])
        if width % 2:
            np.testing.assert_array_equal(planes.y[:, -1], planes.y[:, -2])
