"""Small take-homes made on the spot."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import msgspec
from support.media import make_clip

from cliptag.clip import open_clip
from cliptag.export import ExportOptions, TakeHome, export_take_home
from cliptag.opening import review_path_of, start_review
from cliptag.review import Consent, Review, save_review

CONSENT = Consent(
    given_on=dt.date(2026, 1, 2), covers=("private_feedback",), reference="a signed form"
)


def saved_review(folder: Path, seconds: float = 1.0, **fields: Any) -> tuple[Review, Path]:
    """A review of a clip of 360 x 640 pixels in a folder, and where it is saved."""
    with open_clip(make_clip(folder / "clip.mp4", size=(360, 640), seconds=seconds)) as clip:
        usual = {"client": "Ines", "coach": "Mara Quell", "consent": CONSENT}
        review = msgspec.structs.replace(start_review(clip), **(usual | fields))
        path = review_path_of(clip.path)
    save_review(review, path)
    return review, path


def made_take_home(folder: Path, options: ExportOptions | None = None, **fields: Any) -> TakeHome:
    """The take-home of such a review."""
    _, path = saved_review(folder, **fields)
    return export_take_home(path, folder / "take-home", options=options)
