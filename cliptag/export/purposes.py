"""What a video is for decides how large its picture and its file may be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from cliptag.errors import ExportError
from cliptag.export.ffmpeg import VideoSettings

Purpose: TypeAlias = Literal["messenger", "home", "archive"]

PURPOSE_WORDS: Final[dict[Purpose, str]] = {
    "messenger": "for a messenger",
    "home": "for the home screen",
    "archive": "for the archive",
}

USUAL_MOST_MB: Final = 16.0
"""What messengers and mail have long taken as a video (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PurposeLimits:
    """The picture's longer side at most, and the quality aimed at.

    ``sides`` are tried in turn where the file would get too large for the first; none: the clip's.
    """

    sides: tuple[int, ...]
    settings: VideoSettings


LIMITS: Final[dict[Purpose, PurposeLimits]] = {
    "messenger": PurposeLimits((1280, 960, 640), VideoSettings(crf=23, sound_kbps=96)),
    "home": PurposeLimits((1920,), VideoSettings()),
    "archive": PurposeLimits((), VideoSettings(crf=16, preset="fast", sound_kbps=192)),
}


def check_most_mb(most_mb: float) -> None:
    """Raises ExportError for a size that no video can have."""
    if not 0 < most_mb <= 1_000_000:
        raise ExportError(f"A video can't have {most_mb:g} MB: name a size above 0, such as 16.")
