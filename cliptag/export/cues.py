"""A caption as plain data: burned-in captions and every WebVTT file come from these."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from cliptag.review import Kind, Region

Place = Literal["top", "bottom"]


@dataclass(frozen=True, slots=True)
class Cue:
    """At most two lines of one note, shown from ``start_us`` until ``end_us`` of the video.

    ``kind`` is None for the general impression. ``is_first`` is set on the first cue of a note.
    ``heading`` stands above the lines in place of the kind's and the region's words.
    """

    start_us: int
    end_us: int
    lines: tuple[str, ...]
    note_id: str
    region: Region
    kind: Kind | None
    place: Place
    is_first: bool
    heading: str = ""

    @property
    def text(self) -> str:
        return " ".join(self.lines)
