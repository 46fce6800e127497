"""Review a client's movement clip and send back an annotated, captioned video.

with cliptag.open_clip("ines.mp4") as clip:
    frame = clip.frame(clip.index_at(2_500_000))

review = cliptag.load_review("ines.review.json")
cliptag.export_take_home("ines.review.json", "for-ines")
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cliptag.clip import Clip, Frame, open_clip
    from cliptag.errors import CliptagError
    from cliptag.export import TakeHome, export_take_home
    from cliptag.opening import open_reviewed_clip, start_review
    from cliptag.review import Review, load_review, save_review

__version__ = "0.1.0"

__all__ = [
    "Clip",
    "CliptagError",
    "Frame",
    "Review",
    "TakeHome",
    "export_take_home",
    "load_review",
    "open_clip",
    "open_reviewed_clip",
    "save_review",
    "start_review",
]

_ROOMS = {
    "Clip": "clip",
    "Frame": "clip",
    "open_clip": "clip",
    "CliptagError": "errors",
    "TakeHome": "export",
    "export_take_home": "export",
    "open_reviewed_clip": "opening",
    "start_review": "opening",
    "Review": "review",
    "load_review": "review",
    "save_review": "review",
}


def __getattr__(name: str) -> Any:
    # Loaded on first use: Qt and FFmpeg take half a second that `cliptag --help` should not wait.
    if name not in _ROOMS:
        raise AttributeError(f"module 'cliptag' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"cliptag.{_ROOMS[name]}"), name)
