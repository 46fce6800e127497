"""What the people whom a pairing is for may see of each review and its clip."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

from cliptag.clip import Clip
from cliptag.consent import refuse_without_consent
from cliptag.export import ExportOptions, clip_to_show, refuse_open_faces, review_to_show
from cliptag.review import Review

Showing: TypeAlias = Callable[[Path, Review, Clip], tuple[Review, Clip]]
"""Gives the review and the clip as they may be shown; both are measured as they are."""


def shown_to_coach(path: Path, review: Review, clip: Clip) -> tuple[Review, Clip]:
    """With nothing hidden but what the coach hid from everybody."""
    return review, clip_to_show(review, clip, ExportOptions())


def shown_by(options: ExportOptions, is_cancelled: Callable[[], bool] | None = None) -> Showing:
    """As the options say.

    What it gives raises ConsentError where the client hasn't agreed to it and UncoveredError where
    a face may be open.
    """

    def show(path: Path, review: Review, clip: Clip) -> tuple[Review, Clip]:
        refuse_without_consent(review, path, clip.path, options.shown_for)
        shown = clip_to_show(review, clip, options, is_cancelled=is_cancelled)
        refuse_open_faces(shown)
        return review_to_show(review, options), shown

    return show
