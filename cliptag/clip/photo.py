"""A photo: a clip of one frame."""

from __future__ import annotations

import datetime as dt
import io
import warnings
from collections.abc import Callable, Iterator
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Final

import cv2
import numpy as np
import pillow_heif
from av.video.frame import VideoFrame
from numpy.typing import NDArray
from PIL import Image, ImageCms

from cliptag.clip.clip import Clip
from cliptag.clip.colour import Colour
from cliptag.clip.convert import ColourConverter, Size
from cliptag.clip.frame import Frame
from cliptag.clip.info import ClipInfo
from cliptag.clip.orientation import Orientation, orientation_of_exif
from cliptag.clip.picture import PlanarFrame, even_size, planes_of
from cliptag.clip.sound import SoundReader
from cliptag.clip.thumbnails import small_size
from cliptag.errors import ClipError

PHOTO_DURATION_US: Final = 1_000_000
"""How long a photo lasts on its own clock, so that notes can be placed on it."""

_COLOUR: Final = Colour("rgb", True, "bt709", "srgb")
_HEIF_BRANDS: Final = {b"heic", b"heix", b"heim", b"heis", b"mif1", b"avif"}
_ORIENTATION, _MADE_AT, _ZONE, _EXIF_IFD, _GPS_IFD = 0x0112, 0x9003, 0x9011, 0x8769, 0x8825


def is_photo(path: Path) -> bool:
    """Whether the first bytes are those of a JPEG, PNG, WebP, HEIC or AVIF file."""
    with path.open("rb") as file:
        head = file.read(12)
    return (
        head.startswith((b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n"))
        or (head[:4] == b"RIFF" and head[8:] == b"WEBP")
        or (head[4:8] == b"ftyp" and head[8:] in _HEIF_BRANDS)
    )


class PhotoClip(Clip):
    """A JPEG, PNG, WebP, HEIC or AVIF file, turned by its EXIF orientation, as sRGB."""

    _picture: NDArray[np.uint8] | None

    def __init__(self, path: Path) -> None:
        """Raises ClipError when the photo is damaged or too large."""
        self.path = path
        self.times_us = np.zeros(1, np.int64)
        self.times_us.flags.writeable = False
        self.duration_us = PHOTO_DURATION_US
        try:
            with warnings.catch_warnings():
                # Pillow warns from 89 megapixels on, which phones reach, and refuses twice that.
                warnings.simplefilter("ignore", Image.DecompressionBombWarning)
                pillow_heif.register_heif_opener()
                with Image.open(path) as image:
                    self._read(image)
        except Image.DecompressionBombError as error:
            raise ClipError(
                f"{path.name} has more pixels than a photo of a phone: save it smaller and "
                "choose that one."
            ) from error
        except (OSError, SyntaxError, ValueError) as error:
            raise ClipError(
                f"{path.name} can't be read as a photo ({error}): copy it from the phone again."
            ) from error

    def frame(self, index: int) -> Frame:
        self._check(index)
        picture = self._picture
        if picture is None:
            raise ClipError("The clip was closed.")
        return Frame(0, 0, lambda: picture)

    def planes(
        self, first: int = 0, stop: int | None = None, *, size: Size | None = None
    ) -> Iterator[PlanarFrame]:
        return self._planes(first, self._check_range(first, stop, size), size)

    def _planes(self, first: int, stop: int, size: Size | None) -> Iterator[PlanarFrame]:
        for index in range(first, stop):
            rgb = _padded(self.frame(index).rgb)
            native = VideoFrame.from_ndarray(rgb, format="rgb24")
            wanted = size or even_size(native.width, native.height)
            y, u, v = planes_of(ColourConverter(_COLOUR).convert(native, wanted, "yuv420p"))
            yield PlanarFrame(index, 0, *_frozen(y, u, v))

    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        size = small_size(self.info.width, self.info.height, height)
        resized = cv2.resize(self.frame(0).rgb, size, interpolation=cv2.INTER_AREA)
        (small,) = _frozen(np.asarray(resized, np.uint8))
        return iter([Frame(0, 0, lambda: small)])

    def sound(self) -> SoundReader | None:
        return None

    def close(self) -> None:
        self._picture = None

    def _read(self, image: Image.Image) -> None:
        exif = image.getexif()
        orientation = orientation_of_exif(exif.get(_ORIENTATION, 1))
        bit_depth = 16 if image.mode.startswith("I") else 8
        picture = orientation.apply(np.ascontiguousarray(_to_srgb(image)))
        picture.flags.writeable = False
        self._picture = picture
        self.info = _info(self.path, image, picture, orientation, exif, bit_depth)


def _to_srgb(image: Image.Image) -> NDArray[np.uint8]:
    """(H, W, 3), still unturned."""
    if image.mode.startswith("I"):
        # 16 bit grey, which Pillow keeps as 16 or 32 bit whole numbers.
        grey = np.clip((np.asarray(image).astype(np.int64) + 128) // 257, 0, 255)
        image = Image.fromarray(grey.astype(np.uint8))
    has_alpha = "A" in image.getbands() or "transparency" in image.info
    profile = image.info.get("icc_profile")
    if has_alpha:
        image = image.convert("RGBA")
        white = Image.new("RGBA", image.size, "white")
        image = Image.alpha_composite(white, image).convert("RGB")
    if profile and image.mode in ("RGB", "CMYK", "L"):
        # A damaged profile is as good as none.
        with suppress(ImageCms.PyCMSError, OSError):
            converted = ImageCms.profileToProfile(
                image,
                ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                ImageCms.createProfile("sRGB"),
                outputMode="RGB",
            )
            image = converted or image
    return np.asarray(image.convert("RGB"))


def _info(
    path: Path,
    image: Image.Image,
    picture: NDArray[np.uint8],
    orientation: Orientation,
    exif: Image.Exif,
    bit_depth: int,
) -> ClipInfo:
    height, width = picture.shape[:2]
    return ClipInfo(
        width=width,
        height=height,
        coded_width=image.width,
        coded_height=image.height,
        rotation_deg=orientation.rotation_deg,
        is_mirrored=orientation.is_mirrored,
        pixel_aspect=Fraction(1),
        codec=(image.format or "photo").lower(),
        pixel_format=image.mode.lower(),
        bit_depth=bit_depth,
        matrix=_COLOUR.matrix,
        primaries=_COLOUR.primaries,
        transfer=_COLOUR.transfer,
        range=_COLOUR.range_name,
        hdr=None,
        frame_count=1,
        duration_us=PHOTO_DURATION_US,
        is_variable_rate=False,
        nominal_fps=0.0,
        has_sound=False,
        sound_codec=None,
        is_photo=True,
        size_bytes=path.stat().st_size,
        has_location=bool(exif.get_ifd(_GPS_IFD)),
        recorded_at=_recorded_at(exif),
    )


def _recorded_at(exif: Image.Exif) -> dt.datetime | None:
    details = exif.get_ifd(_EXIF_IFD)
    try:
        at = dt.datetime.strptime(str(details.get(_MADE_AT)), "%Y:%m:%d %H:%M:%S")
    except ValueError:
        return None
    with suppress(ValueError):
        zone = dt.datetime.strptime(str(details.get(_ZONE)), "%z").tzinfo
        at = at.replace(tzinfo=zone)
    return at


def _padded(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    height, width = rgb.shape[:2]
    return np.pad(rgb, ((0, height % 2), (0, width % 2), (0, 0)), mode="edge")


def _frozen(*planes: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], ...]:
    for plane in planes:
        plane.flags.writeable = False
    return planes
