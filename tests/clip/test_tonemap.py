"""HDR clips look natural on an ordinary screen."""

from __future__ import annotations

import colorsys
from pathlib import Path

import numpy as np
import pytest
from av.video.frame import VideoFrame
from support.media import decoded_rgb, ffmpeg, real_clip

from cliptag.clip import open_clip
from cliptag.clip.colour import Colour
from cliptag.clip.tonemap import ToneMap, mapped

_FFMPEG_NAMES = {"hlg": "arib-std-b67", "pq": "smpte2084"}


def _grey(signal: float, transfer: str) -> float:
    shown = mapped(np.full((1, 3), signal), "bt2020", transfer)[0]
    assert np.ptp(shown) < 1e-6, "grey must stay grey"
    return float(shown[0])


@pytest.mark.parametrize("transfer", ["hlg", "pq"])
def test_a_grey_ramp_stays_grey_and_rises(transfer: str) -> None:
    ramp = np.repeat(np.linspace(0, 1, 1024)[:, None], 3, axis=1)
    shown = mapped(ramp, "bt2020", transfer)
    assert np.ptp(shown, axis=1).max() < 1e-6
    assert (np.diff(shown[:, 0]) >= -1e-9).all()
    assert shown[0, 0] == 0
    assert shown[-1, 0] == pytest.approx(1, abs=1e-6)


@pytest.mark.parametrize(("transfer", "signal"), [("hlg", 0.75), ("pq", 0.58)])
def test_diffuse_white_is_nearly_white(transfer: str, signal: float) -> None:
    """ITU-R BT.2408-7 table 1: reference white is 75 % HLG, 58 % PQ. Highlights lie above it."""
    assert 0.85 < _grey(signal, transfer) < 0.95


@pytest.mark.parametrize(("transfer", "signal"), [("hlg", 0.38), ("pq", 0.38)])
def test_mid_grey_is_where_a_camera_puts_it(transfer: str, signal: float) -> None:
    """BT.2408-7 table 1: an 18 % grey card is 38 % in both; in BT.709 about 41 % (from memory)."""
    assert _grey(signal, transfer) == pytest.approx(0.41, abs=0.04)


def test_highlights_above_white_stay_apart() -> None:
    levels = [_grey(signal, "hlg") for signal in (0.75, 0.8, 0.85, 0.9, 1.0)]
    assert (np.diff(levels) > 0.002).all()


# (name, BT.709 linear-light colour, 1 is reference white)
_PATCHES = {
    "light skin": (0.58, 0.33, 0.24),
    "dark skin": (0.17, 0.085, 0.055),
    "sky": (0.12, 0.22, 0.36),
    "leaves": (0.11, 0.15, 0.05),
    "orange shirt": (0.68, 0.20, 0.03),
    "bright red": (0.9, 0.05, 0.05),
}


def _in_hdr(linear709: tuple[float, float, float], transfer: str) -> np.ndarray:
    """A colour as an HDR camera codes it: matrix of BT.2087-0, curves of BT.2100-2, at 203 nits."""
    to_2020 = np.array(
        [[0.6274, 0.3293, 0.0433], [0.0691, 0.9195, 0.0114], [0.0164, 0.0880, 0.8956]]
    )
    nits = to_2020 @ np.array(linear709) * 203
    if transfer == "pq":
        power = (nits / 10000) ** 0.1593017578125
        return ((0.8359375 + 18.8515625 * power) / (1 + 18.6875 * power)) ** 78.84375
    luminance = (0.2627, 0.6780, 0.0593) @ nits / 1000
    scene = nits / 1000 * luminance ** ((1 - 1.2) / 1.2)
    upper = 0.17883277 * np.log(12 * np.maximum(scene, 1 / 12) - 0.28466892) + 0.55991073
    return np.where(scene <= 1 / 12, np.sqrt(3 * scene), upper)


@pytest.mark.parametrize("transfer", ["hlg", "pq"])
@pytest.mark.parametrize("patch", list(_PATCHES))
def test_colours_keep_their_hue(patch: str, transfer: str) -> None:
    wanted = np.array(_PATCHES[patch]) ** (1 / 2.4)
    shown = mapped(_in_hdr(_PATCHES[patch], transfer)[None], "bt2020", transfer)[0]
    hue, saturation, value = colorsys.rgb_to_hsv(*wanted)
    shown_hue, shown_saturation, shown_value = colorsys.rgb_to_hsv(*shown)
    turn = (shown_hue - hue + 0.5) % 1 - 0.5
    assert abs(turn) * 360 < 4
    assert abs(shown_saturation - saturation) < 0.12
    assert abs(shown_value - value) < 0.12


@pytest.mark.parametrize("transfer", ["hlg", "pq"])
def test_the_table_is_as_good_as_the_formula(transfer: str) -> None:
    """FFmpeg's lut3d, between the table's points, against the formula itself."""
    signal = np.random.default_rng(3).integers(0, 1024, (64, 256, 3)).astype(np.uint16)
    signal[0] = np.linspace(0, 1023, 256)[:, None]
    table = ToneMap(Colour("bt2020", False, "bt2020", transfer), 256, 64)
    shown = table.apply(VideoFrame.from_ndarray(signal, format="gbrp10le")).to_ndarray()
    exact = mapped(signal / 1023, "bt2020", transfer) * 1023
    error = np.abs(shown - exact) / 4  # in levels of 8 bit
    assert error[0].max() < 1, "grey"
    assert np.percentile(error, 99) < 4
    assert np.ptp(shown[0].astype(int), axis=1).max() == 0, "grey must stay grey"


@pytest.fixture(scope="module", params=["hlg", "pq"])
def hdr_clip(request: pytest.FixtureRequest, media: Path) -> tuple[Path, str]:
    """A real clip, brought to HDR by zscale (zimg): the way there is not ours."""
    path = media / f"real-{request.param}.mp4"
    transfer = _FFMPEG_NAMES[request.param]
    ffmpeg(
        *("-i", real_clip("bikes"), "-frames:v", "6"),
        "-vf",
        "setparams=colorspace=bt709:color_primaries=bt709:color_trc=bt709:range=tv,"
        "zscale=t=linear:npl=203,format=gbrpf32le,"
        f"zscale=p=2020:t={transfer}:m=2020_ncl:r=limited:npl=203,format=yuv420p10le",
        *("-c:v", "libx265", "-preset", "ultrafast", "-x265-params", "log-level=none:qp=8"),
        *("-color_primaries", "bt2020", "-color_trc", transfer, "-colorspace", "bt2020nc", path),
    )
    return path, request.param


def test_an_hdr_clip_looks_like_the_clip_it_was_made_from(hdr_clip: tuple[Path, str]) -> None:
    path, transfer = hdr_clip
    with open_clip(path) as clip, open_clip(real_clip("bikes")) as original:
        assert clip.info.hdr == transfer
        assert (clip.info.matrix, clip.info.primaries) == ("bt2020", "bt2020")
        assert clip.info.bit_depth == 10
        shown, wanted = clip.frame(3).rgb.astype(float), original.frame(3).rgb.astype(float)
        assert np.abs(shown - wanted).mean() < 8
        # Hue of the whole: no cast.
        assert np.abs(shown.mean((0, 1)) - wanted.mean((0, 1))).max() < 8


def test_planes_of_an_hdr_clip_are_its_rgb(hdr_clip: tuple[Path, str]) -> None:
    path, _ = hdr_clip
    with open_clip(path) as clip:
        planes = next(clip.planes(3, 4))
        rgb = clip.frame(3).rgb.astype(float)
        luma = 16 + rgb @ np.array([0.2126, 0.7152, 0.0722]) * 219 / 255
        assert np.abs(planes.y - luma).mean() < 1.5
        assert planes.y.dtype == np.uint8


def test_it_agrees_roughly_with_another_tone_mapping(hdr_clip: tuple[Path, str]) -> None:
    """FFmpeg's own zscale and tonemap filters: another curve, so only order and hue must agree."""
    path, _ = hdr_clip
    with open_clip(path) as clip:
        shown = clip.frame(3).rgb.astype(float)
        other = decoded_rgb(
            *(path, clip.info.width, clip.info.height, "-vf"),
            "zscale=t=linear:npl=203,format=gbrpf32le,zscale=p=709,tonemap=mobius:desat=0,"
            "zscale=t=709:m=709:r=limited,format=yuv420p",
        )[3].astype(float)
    correlation = np.corrcoef(shown.mean(-1).ravel(), other.mean(-1).ravel())[0, 1]
    assert correlation > 0.97
    cast = shown.mean((0, 1)) / shown.mean() - other.mean((0, 1)) / other.mean()
    assert np.abs(cast).max() < 0.03


def test_wide_gamut_without_hdr_keeps_its_greys_and_gains_colour() -> None:
    grey = np.repeat(np.linspace(0, 1, 50)[:, None], 3, axis=1)
    for primaries in ("bt2020", "display-p3"):
        np.testing.assert_allclose(mapped(grey, primaries, "bt709"), grey, atol=1e-6)
        skin = np.array([[0.72, 0.55, 0.47]])
        shown = mapped(skin, primaries, "bt709")
        assert np.ptp(shown) > np.ptp(skin), "taken as they are they look pale"
