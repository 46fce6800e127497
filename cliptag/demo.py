"""Where the demo clips and their reviews are: inside an installed package, else in the checkout."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from cliptag.errors import CliptagError

_FOLDERS: Final = (
    Path(__file__).with_name("demo_media"),
    Path(__file__).parents[1] / "demo_media",
)
_REVIEW: Final = "sit_to_stand_week01.review.json"


def demo_folder() -> Path:
    """The folder of the demo clips. Raises CliptagError if it was not installed."""
    for folder in _FOLDERS:
        if (folder / _REVIEW).is_file():
            return folder
    raise CliptagError("The demo clips are not here: install cliptag anew, demo_media included.")


def demo_review() -> Path:
    """The finished review of the first demo clip."""
    return demo_folder() / _REVIEW
