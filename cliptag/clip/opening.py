"""Opening a clip, whatever it is."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from cliptag.clip.clip import Clip
from cliptag.clip.photo import PhotoClip, is_photo
from cliptag.clip.source import check_file
from cliptag.clip.video import VideoClip

DEFAULT_CACHE_BYTES: Final = 256 * 2**20


def open_clip(path: str | Path, *, cache_bytes: int = DEFAULT_CACHE_BYTES) -> Clip:
    """Open a video or photo; ``cache_bytes`` bounds the decoded frames that are kept.

    Raises ClipNotFoundError when there is no such file, ClipError when it can't be read.
    """
    path = Path(path).absolute()  # it is opened again for planes and sound, maybe from elsewhere
    check_file(path)
    return PhotoClip(path) if is_photo(path) else VideoClip(path, cache_bytes)
