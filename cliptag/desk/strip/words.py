"""What the strip says: to the pointer that rests on something, and to a screen reader."""

from __future__ import annotations

from typing import Final

from cliptag.desk.proposals import confidence_words, moment_title
from cliptag.desk.strip.clock import time_words
from cliptag.desk.strip.scene import Grip, MomentGrip, Scene
from cliptag.review import KIND_WORDS, REGION_WORDS, Review, edit

_LONGEST: Final = 120


def grip_words(grip: Grip, scene: Scene) -> str:
    """A note's or moment's tooltip: what it is, when, and what a drag would do."""
    if isinstance(grip, MomentGrip):
        return _moment_words(grip, scene)
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


def _moment_words(grip: MomentGrip, scene: Scene) -> str:
    title = moment_title(grip.name, grip.repetition, is_one_of_several=scene.has_several)
    at = time_words(scene.time_of(grip))
    if not grip.is_proposed:
        return f"{title}, {at}\nDrag to move it"
    key = (grip.name, grip.repetition)
    proposal = next(p for p in scene.proposals if (p.name, p.repetition) == key)
    return "\n".join(
        (
            f"{title}, proposed at {at}",
            proposal.reason,
            confidence_words(proposal),
            "Click it (or press Enter on its frame) to confirm it; drag it to set it elsewhere",
        )
    )


def strip_words(review: Review, playhead_words: str, proposed: int, values: str) -> str:
    """What the strip shows, in a sentence."""
    notes, moments = len(review.notes), len(review.moments)
    counted = [
        f"{notes} note{'' if notes == 1 else 's'}",
        f"{moments} moment{'' if moments == 1 else 's'}",
    ]
    if proposed:
        counted.append(f"{proposed} proposed")
    return "; ".join(filter(None, (f"At {playhead_words}", values, ", ".join(counted))))
