"""Captions and chapters as WebVTT (W3C, WebVTT: The Web Video Text Tracks Format), by webvtt-py.

webvtt-py writes cue text as it is given, so everything is escaped here first.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from webvtt import Caption, WebVTT
from webvtt.models import Timestamp

from cliptag.errors import ExportError
from cliptag.export.chapters import Chapter
from cliptag.export.cues import Cue
from cliptag.export.plain_text import one_line
from cliptag.export.source_time import source_time_cues

__all__ = ["source_time_cues", "write_captions", "write_chapters"]

_AT_TOP: Final = "line:0"
"""The first line from the top; at the bottom is where players put captions by themselves."""


def write_captions(cues: Iterable[Cue], title: str = "") -> str:
    """A WebVTT file of captions, ordered by start; cues without visible text are left out.

    ``title`` goes into a note at the top, which players don't show. Identifiers tell the note by
    its place and the cue by its place in the note: ``3.2`` is the second cue of the third note.

    Raises ExportError for a cue that ends before it starts.
    """
    captions = []
    places: dict[str, int] = {}
    counts: dict[str, int] = {}
    for cue in sorted(cues, key=lambda cue: cue.start_us):
        lines = [line for line in map(_escaped, cue.lines) if line]
        if lines:
            place = places.setdefault(cue.note_id, len(places) + 1)
            counts[cue.note_id] = counts.get(cue.note_id, 0) + 1
            settings = _AT_TOP if cue.place == "top" else None
            captions.append(
                Caption(
                    *_timings(cue.start_us, cue.end_us),
                    lines,
                    identifier=f"{place}.{counts[cue.note_id]}",
                    settings=settings,
                )
            )
    return _content(captions, title)


def write_chapters(chapters: Iterable[Chapter], title: str = "") -> str:
    """A WebVTT file of chapters, one after the other.

    Raises ExportError for a chapter that ends before it starts.
    """
    captions = [
        Caption(
            *_timings(chapter.start_us, chapter.end_us),
            _escaped(chapter.title) or f"Part {number}",
            identifier=str(number),
        )
        for number, chapter in enumerate(chapters, 1)
    ]
    return _content(captions, title)


def _timings(start_us: int, end_us: int) -> tuple[str, str]:
    if not 0 <= start_us < end_us:
        raise ExportError(
            f"A caption from {start_us / 1e6:.3f} s to {end_us / 1e6:.3f} s can't be written: it "
            "must start at 0 or later and end after its start."
        )
    start_ms = _to_ms(start_us)
    return _timestamp(start_ms), _timestamp(max(_to_ms(end_us), start_ms + 1))


def _to_ms(time_us: int) -> int:
    return (time_us + 500) // 1000


def _timestamp(time_ms: int) -> str:
    minutes, ms = divmod(time_ms, 60_000)
    return str(Timestamp(minutes // 60, minutes % 60, *divmod(ms, 1000)))


def _escaped(text: str) -> str:
    # ">" need not be escaped but in "-->"; done everywhere it can't be forgotten anywhere.
    line = one_line(text)
    return line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _content(captions: list[Caption], title: str) -> str:
    note = one_line(title).replace("-->", "→")
    content = WebVTT(captions=captions, header_comments=[note] if note else []).content
    # The header's line is followed by an empty one, even where nothing else follows.
    return content.rstrip("\n") + ("\n" if captions else "\n\n")
