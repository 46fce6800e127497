"""Numbers become light as ITU-R BT.601, BT.709 and BT.2020 say, whatever the file is tagged."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from av.video.frame import VideoFrame
from numpy.typing import NDArray
from support.media import X264, ffmpeg, make_clip

from cliptag.clip import open_clip
from cliptag.clip.colour import Colour, colour_of
from cliptag.clip.convert import ColourConverter
from cliptag.clip.picture import planes_of

# Luma weights: BT.601-7 2.5.1, BT.709-6 item 3.2, BT.2020-2 table 4, SMPTE 240M (from memory).
_WEIGHTS = {
    "bt601": (0.299, 0.114),
    "bt709": (0.2126, 0.0722),
    "bt2020": (0.2627, 0.0593),
    "smpte240m": (0.212, 0.087),
}


def _rgb(y: NDArray, u: NDArray, v: NDArray, matrix: str, full: bool, bits: int) -> NDArray:
    """R'G'B', 0 to 255, by the standards' own formulas (quantisation: BT.709-6 item 4)."""
    kr, kb = _WEIGHTS[matrix]
    step = 2 ** (bits - 8)
    if full:
        luma, blue, red = y / (2**bits - 1), *((c - 128 * step) / (2**bits - 1) for c in (u, v))
    else:
        luma = (y - 16 * step) / (219 * step)
        blue, red = ((c - 128 * step) / (224 * step) for c in (u, v))
    r, b = luma + 2 * (1 - kr) * red, luma + 2 * (1 - kb) * blue
    g = (luma - kr * r - kb * b) / (1 - kr - kb)
    return np.clip(np.stack([r, g, b], axis=-1), 0, 1) * 255


def _patches(pixel_format: str, bits: int) -> tuple[VideoFrame, list[NDArray]]:
    """A frame of 8 by 8 flat patches of any colour, and what is in each plane's patches."""
    dice = np.random.default_rng(7)
    frame = VideoFrame(64, 64, pixel_format)
    values = []
    for plane in frame.planes:
        patch = dice.integers(2**bits // 12, 2**bits * 11 // 12, (8, 8))
        values.append(patch.astype(float))
        rows = np.kron(patch, np.ones((plane.height // 8, plane.width // 8), int))
        samples = rows.astype(np.uint8 if bits == 8 else "<u2").view(np.uint8)
        memory = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
        memory[: plane.height, : samples.shape[1]] = samples
    return frame, values


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("matrix", list(_WEIGHTS))
@pytest.mark.parametrize(
    ("pixel_format", "bits"),
    [("yuv420p", 8), ("yuv422p", 8), ("yuv444p", 8), ("yuv420p10le", 10), ("yuv444p10le", 10)],
)
def test_colours_are_those_of_the_standard(
    pixel_format: str, bits: int, matrix: str, full: bool
) -> None:
    frame, values = _patches(pixel_format, bits)
    wanted = _rgb(*values, matrix, full, bits)
    converter = ColourConverter(Colour(matrix, full, "bt709", "bt709"))
    shown = converter.convert(frame, (64, 64), "rgb24").to_ndarray().astype(int)
    assert np.abs(shown[4::8, 4::8] - wanted).max() < 4

    y, u, v = (
        plane.astype(float) for plane in planes_of(converter.convert(frame, (64, 64), "yuv420p"))
    )
    back = _rgb(y[4::8, 4::8], u[2::4, 2::4], v[2::4, 2::4], "bt709", False, 8)
    can_be_kept = ((wanted > 0) & (wanted < 255)).all(axis=-1)
    assert can_be_kept.sum() > 8
    assert np.abs(back - wanted)[can_be_kept].max() < 4


def _tagged(path: Path, *tags: str, size: tuple[int, int] = (128, 96)) -> Path:
    return make_clip(path, *X264, *tags, size=size, seconds=0.2)


def test_a_plain_clip_is_exported_from_the_decoders_own_memory(tmp_path: Path) -> None:
    path = _tagged(tmp_path / "plain.mp4", "-colorspace", "bt709", "-color_range", "tv")
    with open_clip(path) as clip:
        assert clip.info.matrix == "bt709"
        assert clip.info.range == "limited"
        for frame in clip.planes():
            native = clip.frame(frame.index)._native
            assert native is not None
            for plane, decoded in zip((frame.y, frame.u, frame.v), planes_of(native), strict=True):
                np.testing.assert_array_equal(plane, decoded)
                assert not plane.flags.owndata
                assert not plane.flags.writeable


def test_planes_stay_as_they_are_when_the_decoder_goes_on(tmp_path: Path) -> None:
    """They are views of memory that a decoder could use again."""
    path = _tagged(tmp_path / "plain.mp4", "-colorspace", "bt709")
    with open_clip(path) as clip:
        kept = list(clip.planes())
        copies = [frame.y.copy() for frame in clip.planes()]
    for frame, copy in zip(kept, copies, strict=True):
        np.testing.assert_array_equal(frame.y, copy)


@pytest.mark.parametrize(
    ("size", "matrix"), [((640, 480), "bt601"), ((1280, 720), "bt709"), ((720, 1280), "bt709")]
)
def test_what_is_not_told_is_assumed_by_size(
    size: tuple[int, int], matrix: str, tmp_path: Path
) -> None:
    path = _tagged(tmp_path / "untagged.mp4", size=size)
    with open_clip(path) as clip:
        assert (clip.info.matrix, clip.info.range) == (matrix, "limited")
        assert (clip.info.primaries, clip.info.transfer) == ("bt709", "bt709")


def test_full_range_clips_are_exported_as_limited_range(tmp_path: Path) -> None:
    path = tmp_path / "full.mp4"
    make_clip(
        path,
        "-vf",
        "scale=out_range=pc:out_color_matrix=bt709,format=yuvj420p",
        *("-c:v", "libx264", "-preset", "veryfast", "-qp", "0"),
        *("-colorspace", "bt709", "-color_range", "pc"),
        size=(1280, 720),
        seconds=0.1,
    )
    with open_clip(path) as clip:
        assert clip.info.range == "full"
        frame = next(clip.planes())
        native = clip.frame(0)._native
        assert native is not None
        full = planes_of(native)[0].astype(float)
        assert full.min() < 16, "something below limited black must be in the picture"
        np.testing.assert_allclose(frame.y, 16 + full * 219 / 255, atol=1.01)


@pytest.mark.parametrize("matrix", ["bt709", "smpte170m", "bt470bg"])
def test_a_clip_looks_the_same_whatever_matrix_it_is_coded_with(
    matrix: str, tmp_path: Path
) -> None:
    """One drawn picture, coded by ffmpeg with each matrix, gives the drawn colours."""
    drawn = np.zeros((96, 128, 3), np.uint8)
    colours = [(200, 60, 40), (40, 160, 60), (50, 70, 190), (224, 172, 140)]
    for place, colour in enumerate(colours):
        drawn[:, 32 * place : 32 * place + 32] = colour
    raw = tmp_path / "drawn.rgb"
    raw.write_bytes(drawn.tobytes())
    path = tmp_path / "coded.mp4"
    ffmpeg(
        *("-f", "rawvideo", "-pix_fmt", "rgb24", "-s", "128x96", "-i", raw),
        *("-vf", f"scale=out_color_matrix={matrix}:out_range=tv,format=yuv420p"),
        *("-c:v", "libx264", "-qp", "1", "-colorspace", matrix, "-color_range", "tv", path),
    )
    with open_clip(path) as clip:
        shown = clip.frame(0).rgb
        planes = next(clip.planes())
        y, u, v = planes.y.astype(float), planes.u.astype(float), planes.v.astype(float)
        exported = _rgb(y[::2, ::2], u, v, "bt709", False, 8)
    for place, colour in enumerate(colours):
        assert np.abs(shown[48, 32 * place + 16].astype(int) - colour).max() <= 4
        assert np.abs(exported[24, 16 * place + 8] - colour).max() <= 5


@pytest.mark.parametrize("size", [(64, 48), (320, 240), (128, 96)])
def test_planes_come_in_the_size_asked_for(size: tuple[int, int], tmp_path: Path) -> None:
    with open_clip(_tagged(tmp_path / "plain.mp4", "-colorspace", "bt709")) as clip:
        frame = next(clip.planes(size=size))
        assert frame.y.shape == (size[1], size[0])
        assert frame.u.shape == frame.v.shape == (size[1] // 2, size[0] // 2)
        full = next(clip.planes())
        assert abs(float(frame.y.mean()) - float(full.y.mean())) < 3


def test_tags_of_a_frame_are_read_as_h273_numbers_them() -> None:
    """ITU-T H.273, tables 2 to 4."""
    frame = VideoFrame(1920, 1080, "yuv420p10le")
    frame.colorspace, frame.color_primaries, frame.color_trc, frame.color_range = 9, 9, 18, 1
    assert colour_of(frame) == Colour("bt2020", False, "bt2020", "hlg")
    assert colour_of(frame).hdr == "hlg"
    frame.color_trc = 16
    assert colour_of(frame).hdr == "pq"
