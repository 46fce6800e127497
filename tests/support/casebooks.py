"""A casebook to try things on, and clips for it by the dozen."""

from __future__ import annotations

import datetime as dt
import os
from functools import cache
from pathlib import Path

from support.media import make_clip

from cliptag.casebook import Casebook
from cliptag.review import Note, edit, load_review, save_review

MONDAY = dt.date(2026, 3, 2)
TOPICS = ("sitting", "standing", "bending", "lifting")


@cache
def _tiny(folder: Path) -> bytes:
    return make_clip(folder / "tiny.mp4", size=(64, 48), seconds=0.2).read_bytes()


def clip_file(folder: Path, name: str, mark: str, tiny: Path) -> Path:
    """A clip of six frames that no other has: its last box, which players skip, holds the mark.

    ``tiny`` is a folder for what they share. A box of the type ``free`` may stand anywhere in an
    MP4 file (ISO/IEC 14496-12, 8.1.2; from memory).
    """
    folder.mkdir(parents=True, exist_ok=True)
    mark_bytes = (mark or name).encode()
    box = (8 + len(mark_bytes)).to_bytes(4, "big") + b"free" + mark_bytes
    path = folder / name
    path.write_bytes(_tiny(tiny) + box)
    return path


def with_ines(folder: Path) -> Casebook:
    """A new casebook with one client and her ten weeks, from ``MONDAY`` on."""
    book = Casebook.make(folder)
    book.add_client("Ines", contact="ines@example.org", notes="repairs violins")
    weeks = [TOPICS[0]] * 3 + [TOPICS[1]] * 2 + [TOPICS[2]] * 3 + [TOPICS[3]] * 2
    book.plan("Ines", starts_on=MONDAY, topics=weeks)
    return book


def noon(day: dt.date) -> dt.datetime:
    """The middle of a day by the coach's own clock."""
    return dt.datetime.combine(day, dt.time(12)).astimezone()


def say_something(book: Casebook, clip_id: int, text: str = "Sit tall.") -> Path:
    """Write a note into a clip's review, as the desk would."""
    path = book.review_path(book.clip(clip_id))
    review = load_review(path)
    note = Note(
        id=f"note-{len(review.notes) + 1}",
        region="knees",
        kind="try",
        start_us=0,
        end_us=100_000,
        text=text,
    )
    save_review(edit.with_note(review, note), path)
    return path


def everything_in(folder: Path) -> dict[str, bytes]:
    """The content of every file below a folder."""
    return {
        Path(parent, name).relative_to(folder).as_posix(): Path(parent, name).read_bytes()
        for parent, _, names in os.walk(folder)
        for name in names
    }
