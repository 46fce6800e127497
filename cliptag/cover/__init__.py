"""Faces, and what else nobody shall see, covered in every picture of a clip that leaves. No Qt.

cover = face_cover(review, clip)
covered = CoveredClip(clip, cover)   # a clip like any other, whose covered pixels are gone
"""

from __future__ import annotations

from cliptag.cover.areas import Ellipse, groups_of
from cliptag.cover.covered import CoveredClip, bare
from cliptag.cover.covering import cover_of_others, face_cover, find_heads
from cliptag.cover.faces import Face
from cliptag.cover.found import HeadSearch
from cliptag.cover.looking import faces_in
from cliptag.cover.pixels import CoverStyle, cover_pixels
from cliptag.cover.plan import WHY_WORDS, Cover, Doubt, ellipse_at
from cliptag.cover.points import head_by_points
from cliptag.cover.store import SearchStore

__all__ = [
    "WHY_WORDS",
    "Cover",
    "CoverStyle",
    "CoveredClip",
    "Doubt",
    "Ellipse",
    "Face",
    "HeadSearch",
    "SearchStore",
    "bare",
    "cover_of_others",
    "cover_pixels",
    "ellipse_at",
    "face_cover",
    "faces_in",
    "find_heads",
    "groups_of",
    "head_by_points",
]
