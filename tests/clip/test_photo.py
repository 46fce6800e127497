"""Photos open as clips of one frame."""

from __future__ import annotations

import datetime as dt
import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms

from cliptag.clip import ClipError, open_clip


def _picture(width: int = 120, height: int = 90) -> NDArray[np.uint8]:
    """Smooth, with four corners that can't be confused."""
    y, x = np.mgrid[0:height, 0:width]
    red, green = 40 + 150 * x / width, 40 + 150 * y / height
    return np.stack([red, green, np.full_like(red, 90)], axis=-1).astype(np.uint8)


_SAVERS = {
    "jpg": {"quality": 97, "subsampling": 0},
    "png": {},
    "webp": {"lossless": True},
    "heic": {"quality": 95},
}


@pytest.fixture(autouse=True)
def _can_write_heic() -> None:
    pillow_heif.register_heif_opener()


@pytest.mark.parametrize("kind", list(_SAVERS))
def test_a_photo_is_a_clip_of_one_frame(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"photo.{kind}"
    Image.fromarray(_picture()).save(path, **_SAVERS[kind])
    with open_clip(path) as clip:
        assert len(clip) == 1
        assert clip.times_us.tolist() == [0]
        assert clip.duration_us > 0
        assert clip.info.is_photo
        assert not clip.info.has_sound
        assert clip.sound() is None
        frame = clip.frame(0)
        assert (clip.info.width, clip.info.height) == (120, 90)
        assert np.abs(frame.rgb.astype(int) - _picture()).max() <= 6
        assert frame.rgb.flags.c_contiguous and not frame.rgb.flags.writeable
        assert clip.index_at(10**9) == 0
        with pytest.raises(IndexError):
            clip.frame(1)


def test_a_name_doesnt_decide_what_a_file_is(tmp_path: Path) -> None:
    path = tmp_path / "video.mp4"
    Image.fromarray(_picture()).save(path, format="PNG")
    with open_clip(path) as clip:
        assert clip.info.is_photo


@pytest.mark.parametrize("kind", ["jpg", "heic", "png", "webp"])
@pytest.mark.parametrize("value", range(1, 9))
def test_exif_orientation_is_honoured_once(value: int, kind: str, tmp_path: Path) -> None:
    """Stored so that it should be turned by ``value``; Pillow's own transposing tells how."""
    upright = Image.fromarray(_picture())
    stored = {
        1: upright,
        2: upright.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        3: upright.transpose(Image.Transpose.ROTATE_180),
        4: upright.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
        5: upright.transpose(Image.Transpose.TRANSPOSE),
        6: upright.transpose(Image.Transpose.ROTATE_90),
        7: upright.transpose(Image.Transpose.TRANSVERSE),
        8: upright.transpose(Image.Transpose.ROTATE_270),
    }[value]
    exif = Image.Exif()
    exif[0x0112] = value
    path = tmp_path / f"turned.{kind}"
    stored.save(path, exif=exif.tobytes(), **_SAVERS[kind])
    with open_clip(path) as clip:
        assert (clip.info.width, clip.info.height) == (120, 90)
        assert np.abs(clip.frame(0).rgb.astype(int) - _picture()).max() <= 8


def test_display_p3_is_brought_to_srgb(tmp_path: Path) -> None:
    """The P3 numbers of an sRGB colour, by SMPTE EG 432-1's primaries, come out as that colour."""
    wanted = np.array([200, 120, 60])
    numbers = np.array([189, 124, 72])  # of the same colour in Display P3 (computed, see below)
    srgb_to_p3 = np.array([[0.8225, 0.1775, 0], [0.0332, 0.9668, 0], [0.0171, 0.0724, 0.9105]])
    light = np.where(wanted / 255 > 0.04045, ((wanted / 255 + 0.055) / 1.055) ** 2.4, 0)
    computed = 255 * (1.055 * (srgb_to_p3 @ light) ** (1 / 2.4) - 0.055)
    np.testing.assert_allclose(computed, numbers, atol=1)
    path = tmp_path / "p3.png"
    image = Image.fromarray(np.full((20, 20, 3), numbers, np.uint8))
    image.save(path, icc_profile=_display_p3_profile())
    with open_clip(path) as clip:
        assert np.abs(clip.frame(0).rgb[10, 10].astype(int) - wanted).max() <= 2


def _display_p3_profile() -> bytes:
    """An ICC.1:2010 matrix profile of Display P3, with D50-adapted primaries and gamma 2.2."""

    def s15(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    def xyz(*values: float) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(map(s15, values))

    text = b"desc\0\0\0\0" + struct.pack(">I", 3) + b"P3\0" + b"\0" * 78
    curve = b"para\0\0\0\0\0\3\0\0" + b"".join(
        map(s15, (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045))
    )
    tags = [
        (b"desc", text),
        (b"cprt", b"text\0\0\0\0none\0"),
        (b"wtpt", xyz(0.9642, 1.0, 0.8249)),
        (b"rXYZ", xyz(0.51512, 0.24120, -0.00105)),
        (b"gXYZ", xyz(0.29198, 0.69225, 0.04189)),
        (b"bXYZ", xyz(0.15710, 0.06657, 0.78407)),
        *((name, curve) for name in (b"rTRC", b"gTRC", b"bTRC")),
    ]
    table, body, offset = b"", b"", 128 + 4 + 12 * len(tags)
    for name, data in tags:
        data += b"\0" * (-len(data) % 4)
        table += name + struct.pack(">II", offset + len(body), len(data))
        body += data
    size = offset + len(body)
    head = struct.pack(">I4s4s4s4s4s", size, b"none", b"\2\x40\0\0", b"mntr", b"RGB ", b"XYZ ")
    head += b"\0" * 12 + b"acsp" + b"\0" * 28 + s15(0.9642) + s15(1.0) + s15(0.8249)
    head = head.ljust(128, b"\0")
    profile = head + struct.pack(">I", len(tags)) + table + body
    ImageCms.ImageCmsProfile(io.BytesIO(profile))  # is it one?
    return profile


def test_a_damaged_colour_profile_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "odd.png"
    Image.fromarray(_picture()).save(path, icc_profile=b"this is no profile")
    with open_clip(path) as clip:
        np.testing.assert_array_equal(clip.frame(0).rgb, _picture())


def test_what_is_transparent_stands_on_white(tmp_path: Path) -> None:
    rgba = np.zeros((10, 10, 4), np.uint8)
    rgba[:, :5] = (200, 0, 0, 128)
    path = tmp_path / "clear.png"
    Image.fromarray(rgba).save(path)
    with open_clip(path) as clip:
        rgb = clip.frame(0).rgb
    assert np.abs(rgb[5, 2].astype(int) - (227, 127, 127)).max() <= 1
    assert rgb[5, 8].tolist() == [255, 255, 255]


def test_16_bit_grey_is_brought_to_8(tmp_path: Path) -> None:
    deep = (np.arange(100, dtype=np.uint16) * 655).reshape(10, 10)
    path = tmp_path / "deep.png"
    Image.fromarray(deep).save(path)
    with open_clip(path) as clip:
        np.testing.assert_allclose(clip.frame(0).rgb[..., 1], deep / 257, atol=0.51)
        assert clip.info.bit_depth == 16


@pytest.mark.parametrize("mode", ["L", "1", "P", "CMYK", "LA"])
def test_every_kind_of_picture_becomes_rgb(mode: str, tmp_path: Path) -> None:
    kind = "jpg" if mode == "CMYK" else "png"
    path = tmp_path / f"picture.{kind}"
    image = Image.fromarray(_picture()).convert(mode)
    image.save(path)
    with open_clip(path) as clip:
        assert clip.frame(0).rgb.shape == (90, 120, 3)
        wanted = np.asarray(image.convert("RGB")).astype(float)
        assert np.abs(clip.frame(0).rgb - wanted).mean() < 12


@pytest.mark.parametrize(("width", "height"), [(120, 90), (121, 91)])
def test_planes_of_a_photo(width: int, height: int, tmp_path: Path) -> None:
    path = tmp_path / "photo.png"
    Image.fromarray(_picture(width, height)).save(path)
    with open_clip(path) as clip:
        (frame,) = clip.planes()
        assert frame.y.shape == (height + height % 2, width + width % 2)
        rgb = clip.frame(0).rgb.astype(float)
        luma = 16 + rgb @ np.array([0.2126, 0.7152, 0.0722]) * 219 / 255  # BT.709-6 items 3.2, 4
        assert np.abs(frame.y[:height, :width] - luma).max() <= 2
        blue = 128 + (rgb[..., 2] - (luma - 16) * 255 / 219) / 1.8556 * 224 / 255
        assert np.abs(frame.u[:40, :40] - blue[:80:2, :80:2]).max() <= 3
        assert next(clip.planes(size=(64, 48))).y.shape == (48, 64)


def test_where_and_when_a_photo_was_taken(tmp_path: Path) -> None:
    exif = Image.Exif()
    details = exif.get_ifd(0x8769)
    details[0x9003], details[0x9011] = "2025:03:09 08:15:30", "+02:00"
    exif.get_ifd(0x8825)[1] = "N"
    path = tmp_path / "photo.jpg"
    Image.fromarray(_picture()).save(path, exif=exif)
    with open_clip(path) as clip:
        assert clip.info.has_location
        zone = dt.timezone(dt.timedelta(hours=2))
        assert clip.info.recorded_at == dt.datetime(2025, 3, 9, 8, 15, 30, tzinfo=zone)


def test_a_photo_cut_short_gives_one_sentence(tmp_path: Path) -> None:
    path = tmp_path / "half.jpg"
    Image.fromarray(_picture(400, 300)).save(path)
    path.write_bytes(path.read_bytes()[:2000])
    with pytest.raises(ClipError, match=r"half\.jpg can't be read as a photo .*copy it"):
        open_clip(path)


def test_a_photo_that_would_fill_the_memory_is_refused(tmp_path: Path) -> None:
    """A small PNG that claims 60 000 by 60 000 pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + data))
        return struct.pack(">I", len(data)) + kind + data + check

    header = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    path = tmp_path / "bomb.png"
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )
    with pytest.raises(ClipError, match="more pixels than a photo of a phone"):
        open_clip(path)
