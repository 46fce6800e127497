"""Whether a file tells on which device it was filmed. The copy that is kept stays as it came."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import av
import av.error
from PIL import Image, UnidentifiedImageError
from PIL.ExifTags import Base

# As cameras write them: QuickTime's com.apple.quicktime.make and .model, Android's
# com.android.manufacturer and .model, and the plain make and model of 3GP and MP4.
_TAG_ENDS: Final = ("make", "model", "manufacturer", "serial", "device")
_EXIF_TAGS: Final = (Base.Make, Base.Model, Base.BodySerialNumber, Base.CameraOwnerName)


def tells_device(path: Path) -> bool:
    """Whether a video or photo names the maker, model or number of what took it."""
    try:
        with Image.open(path) as photo:
            exif = photo.getexif()
            inner = exif.get_ifd(0x8769)  # where EXIF 2.3 keeps the serial number
            return any(tag in exif or tag in inner for tag in _EXIF_TAGS)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        pass
    try:
        with av.open(f"file:{path}", metadata_errors="replace") as container:
            names = [*container.metadata, *(n for s in container.streams for n in s.metadata)]
    except av.error.FFmpegError:
        return False
    ends = {name.lower().replace("-", ".").rsplit(".", 1)[-1] for name in names}
    return not ends.isdisjoint(_TAG_ENDS)
