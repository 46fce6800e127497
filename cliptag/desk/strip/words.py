"""What the strip says: to the pointer that rests on something, and to a screen reader."""

from __future__ import annotations

from typing import Final

from cliptag.desk.strip.clock import time_words
from cliptag.desk.strip.scene import Grip, NoteGrip, Scene
from cliptag.review import KIND_WORDS, MOMENT_WORDS, REGION_WORDS, Review, edit

_LONGEST: Final = 120


def grip_words(grip: Grip, scene: Scene) -> str:
    """A note's or moment's tooltip: what it is, when, and what a drag would do."""
    if not isinstance(grip, NoteGrip):
        at_us = next(m.at_us for m in scene.review.moments if m.name == grip.name)
        return f"{MOMENT_WORDS[grip.name]}, {time_words(at_us)}\nDrag to move it"
    note = edit.note_of(scene.review, grip.note_id)
    lines = [
        f"{REGION_WORDS[note.region]} – {KIND_WORDS[note.kind]}",
        f"{time_words(note.start_us)} to {time_words(note.end_us)}",
    ]
    text = " ".join(note.text.split())
    if text:
        lines.append(text if len(text) <= _LONGEST else text[:_LONGEST].rstrip() + "…")
    reading = scene.readings.get(note.id)
    if reading is not None and reading.hold_us:
        lines.append(f"Stands still for {reading.hold_us / 1e6:.1f} s")
    drags = {"start": "Drag to start it earlier or later", "middle": "Drag to move it"}
    return "\n".join([*lines, drags.get(grip.part, "Drag to end it earlier or later")])


def strip_words(review: Review, playhead_words: str) -> str:
    """What the strip shows, in a sentence."""
    notes, moments = len(review.notes), len(review.moments)
    counted = [
        f"{notes} note{'' if notes == 1 else 's'}",
        f"{moments} moment{'' if moments == 1 else 's'}",
    ]
    return f"At {playhead_words}; {', '.join(counted)}"
