"""Each caution is given where it is due, and a good clip gets none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from support.awkward import make_awkward
from support.media import make_clip, write_frames, x265

from cliptag.clip import cautions_of, open_clip

_WIDTH, _HEIGHT = 360, 480
_FPS = 30


def _room() -> NDArray[np.uint8]:
    """A bright wall with a door frame, shelves, a floor edge, and a little texture."""
    dice = np.random.default_rng(5)
    room = np.full((_HEIGHT + 120, _WIDTH + 120), 170, np.float32)
    room += cv2.GaussianBlur(dice.normal(0, 60, room.shape).astype(np.float32), (0, 0), 2)
    for x in (80, 140, 350, 420):
        cv2.rectangle(room, (x, 45), (x + 10, 490), 70, -1)
    for y in (90, 225, 315, 490):
        cv2.rectangle(room, (45, y), (450, y + 9), 225, -1)
    return np.clip(room, 0, 255).astype(np.uint8)


def _figure() -> NDArray[np.uint8]:
    """A striped figure, so that its edges can be seen to be sharp or not."""
    figure = np.full((140, 60), 60, np.uint8)
    for y in range(0, 140, 20):
        figure[y : y + 10] = 200
    figure[:, 22:38] = 120
    return figure


def _film(
    *,
    seconds: float = 2.0,
    camera: Callable[[float], tuple[float, float]] = lambda _: (0, 0),
    where: Callable[[float], tuple[float, float]] = lambda t: (150 + 45 * np.sin(3 * t), 210),
    exposure: float = 0.0,
    tilt_deg: float = 0.0,
    light: float = 1.0,
    fps: int = _FPS,
) -> list[NDArray[np.uint8]]:
    """Frames of a figure that moves in a room; ``exposure`` in seconds smears what moves."""
    room, figure = _room(), _figure()
    turn = cv2.getRotationMatrix2D((room.shape[1] / 2, room.shape[0] / 2), -tilt_deg, 1)
    scene = cv2.warpAffine(room, turn, room.shape[::-1], borderMode=cv2.BORDER_REPLICATE)
    dice = np.random.default_rng(9)
    frames = []
    for number in range(round(seconds * fps)):
        moments = number / fps + np.linspace(0, exposure, 12 if exposure else 1)
        smeared = np.zeros((_HEIGHT, _WIDTH), np.float32)
        for moment in moments:
            dx, dy = camera(moment)
            shift = np.float32([[1, 0, dx - 60], [0, 1, dy - 60]])
            seen = cv2.warpAffine(scene, shift, (_WIDTH, _HEIGHT), borderMode=cv2.BORDER_REPLICATE)
            x, y = where(moment)
            place = np.float32([[1, 0, x], [0, 1, y]])
            mask = cv2.warpAffine(np.full_like(figure, 255), place, (_WIDTH, _HEIGHT)) / 255.0
            shown = cv2.warpAffine(figure, place, (_WIDTH, _HEIGHT))
            smeared += seen * (1 - mask) + shown * mask
        noisy = smeared / len(moments) * light + dice.normal(0, 1.5, smeared.shape)
        frames.append(np.clip(noisy, 0, 255).astype(np.uint8))
    return frames


def _codes(path: Path) -> set[str]:
    with open_clip(path) as clip:
        cautions = cautions_of(clip)
    for caution in cautions:
        assert caution.sentence.endswith(".")
        assert "\n" not in caution.sentence
    assert len({caution.code for caution in cautions}) == len(cautions)
    return {caution.code for caution in cautions}


def test_a_steady_sharp_bright_clip_needs_no_caution(tmp_path: Path) -> None:
    assert _codes(write_frames(tmp_path / "good.mp4", _film(), _FPS)) == set()


def test_a_shaking_camera_is_told(tmp_path: Path) -> None:
    """A hand: several tremors of 2 to 8 Hz, some 5 pixels of 480 wide."""

    def hand(t: float) -> tuple[float, float]:
        return (
            4 * np.sin(2 * np.pi * 5 * t) + 2 * np.sin(2 * np.pi * 7.7 * t),
            4 * np.sin(2 * np.pi * 4 * t + 1) + 2 * np.sin(2 * np.pi * 6.3 * t),
        )

    assert "shaking" in _codes(write_frames(tmp_path / "hand.mp4", _film(camera=hand), _FPS))


def test_a_slow_pan_is_not_shaking(tmp_path: Path) -> None:
    film = _film(camera=lambda t: (-20 * t + 30, 4 * t))
    assert "shaking" not in _codes(write_frames(tmp_path / "pan.mp4", film, _FPS))


def test_a_client_who_moves_is_not_a_shaking_camera(tmp_path: Path) -> None:
    film = _film(where=lambda t: (150 + 75 * np.sin(9 * t), 180 + 65 * np.cos(7 * t)))
    assert "shaking" not in _codes(write_frames(tmp_path / "lively.mp4", film, _FPS))


def test_a_dark_picture_is_told(tmp_path: Path) -> None:
    film = _film(light=0.2)
    assert "low_light" in _codes(write_frames(tmp_path / "dark.mp4", film, _FPS))


def test_a_dark_wall_behind_a_lit_client_is_not_low_light(tmp_path: Path) -> None:
    film = [frame.copy() for frame in _film(light=0.25)]
    for frame in film:
        frame[150:420, 110:250] = np.clip(frame[150:420, 110:250].astype(int) * 4, 0, 255)
    assert "low_light" not in _codes(write_frames(tmp_path / "stage.mp4", film, _FPS))


def _fast(t: float) -> tuple[float, float]:
    return 145 + 105 * np.sin(6 * t), 195 + 45 * np.sin(4 * t)


def test_motion_blur_is_told(tmp_path: Path) -> None:
    """A dim room: the shutter stays open for the whole thirtieth of a second."""
    film = _film(where=_fast, exposure=1 / 30)
    assert "motion_blur" in _codes(write_frames(tmp_path / "blur.mp4", film, _FPS))


def test_the_same_movement_with_a_fast_shutter_is_not_blurred(tmp_path: Path) -> None:
    film = _film(where=_fast)
    assert "motion_blur" not in _codes(write_frames(tmp_path / "crisp.mp4", film, _FPS))


@pytest.mark.parametrize("tilt_deg", [-6.0, 4.0])
def test_a_tilted_camera_is_told(tilt_deg: float, tmp_path: Path) -> None:
    path = write_frames(tmp_path / "tilted.mp4", _film(tilt_deg=tilt_deg), _FPS)
    assert "camera_tilted" in _codes(path)
    with open_clip(path) as clip:
        (caution,) = (c for c in cautions_of(clip) if c.code == "camera_tilted")
        assert f"about {abs(tilt_deg):.0f}°" in caution.sentence


def test_a_hair_of_tilt_is_not_told(tmp_path: Path) -> None:
    path = write_frames(tmp_path / "nearly.mp4", _film(tilt_deg=0.8), _FPS)
    assert "camera_tilted" not in _codes(path)


def test_without_edges_of_a_room_nothing_is_said_of_tilt(tmp_path: Path) -> None:
    """A ramp alone: one family of edges that lean is no tilted camera."""
    ramp = np.full((_HEIGHT, _WIDTH), 150, np.uint8)
    for y in range(-200, 900, 60):
        cv2.line(ramp, (0, y), (_WIDTH, y + 60), 60, 5, cv2.LINE_AA)
    assert _codes(write_frames(tmp_path / "ramp.mp4", [ramp] * 45, _FPS)) == set()


def test_what_moves_across_the_edge_is_told_with_the_edge(tmp_path: Path) -> None:
    film = _film(where=lambda t: (150 + 30 * np.sin(4 * t), -45 + 40 * np.sin(3 * t)))
    path = write_frames(tmp_path / "headless.mp4", film, _FPS)
    with open_clip(path) as clip:
        (caution,) = (c for c in cautions_of(clip) if c.code == "reaches_edge")
    assert "reaches the top edge" in caution.sentence


def test_few_frames_a_second_are_told(tmp_path: Path) -> None:
    path = write_frames(tmp_path / "slow.mp4", _film(fps=15), 15)
    assert _codes(path) == {"low_rate"}
    for fps in (25, 60):
        path = write_frames(tmp_path / f"{fps}.mp4", _film(fps=fps, seconds=1.5), fps)
        assert "low_rate" not in _codes(path)


def test_a_very_short_clip_is_told(tmp_path: Path) -> None:
    path = write_frames(tmp_path / "short.mp4", _film(seconds=0.5), _FPS)
    assert _codes(path) == {"very_short"}


def test_variable_rate_and_hdr_are_told(media: Path) -> None:
    assert "variable_rate" in _codes(make_awkward("variable rate", media))
    tags = "color_primaries=bt2020:color_trc=arib-std-b67:colorspace=bt2020nc"
    hdr = make_clip(
        media / "hlg.mp4",
        "-vf",
        f"setparams={tags},format=yuv420p10le",
        *x265(keyint=15),
        *("-pix_fmt", "yuv420p10le", "-color_primaries", "bt2020"),
        *("-color_trc", "arib-std-b67", "-colorspace", "bt2020nc"),
    )
    assert "hdr" in _codes(hdr)
    assert "hdr" not in _codes(make_awkward("HEVC", media))


def test_a_file_that_breaks_off_is_told_with_what_is_missing(tmp_path: Path) -> None:
    whole = make_clip(tmp_path / "whole.mp4", "-movflags", "+faststart", seconds=4.0)
    data = whole.read_bytes()
    half = tmp_path / "half.mp4"
    half.write_bytes(data[: len(data) * 6 // 10])
    with open_clip(whole) as clip:
        frame_count, fps = len(clip), clip.info.nominal_fps
        assert clip.info.missing_frames == 0
        assert "cut_off" not in {caution.code for caution in cautions_of(clip)}
    with open_clip(half) as clip:
        missing = frame_count - len(clip)
        assert missing > 10
        assert clip.info.missing_frames == pytest.approx(missing, abs=4), "but for a last fragment"
        (caution,) = (c for c in cautions_of(clip) if c.code == "cut_off")
        assert f"{clip.info.missing_frames / fps:.1f} s are missing" in caution.sentence


def test_a_good_photo_needs_no_caution_and_a_dark_one_does(tmp_path: Path) -> None:
    good, dark = tmp_path / "good.png", tmp_path / "dark.png"
    Image.fromarray(_film(seconds=0.04)[0]).save(good)
    Image.fromarray(_film(seconds=0.04, light=0.15)[0]).save(dark)
    assert _codes(good) == set()
    assert _codes(dark) == {"low_light"}
