"""What each rung of the climb tells: its notes, whether it was found fine, whether it is open."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, get_args

from cliptag.desk.reviewing import is_open
from cliptag.review import (
    BODY_REGIONS,
    CLIMB,
    REGION_WORDS,
    SURROUNDING_REGIONS,
    Kind,
    Note,
    Region,
    Review,
)

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)


@dataclass(frozen=True, slots=True)
class Rung:
    """A region in a review; its notes in the order of the clip."""

    region: Region
    notes: tuple[Note, ...]
    is_fine: bool
    is_open: bool

    @property
    def kinds(self) -> tuple[Kind, ...]:
        """The kinds of its notes, each once."""
        return tuple(kind for kind in KINDS if any(note.kind == kind for note in self.notes))

    @property
    def words(self) -> str:
        """All of it in words, such as 'Knees, 2 notes, try and good'."""
        parts = [REGION_WORDS[self.region]]
        if self.notes:
            parts.append("1 note" if len(self.notes) == 1 else f"{len(self.notes)} notes")
            parts.append(_joined(self.kinds))
        if self.is_fine:
            parts.append("looked at and fine")
        elif self.is_open:
            parts.append("still open")
        elif not self.notes:
            parts.append("impression written")
        return ", ".join(parts)

    def note_after(self, note_id: str | None) -> Note | None:
        """The note that follows one of this rung's, round and round; else its first."""
        ids = [note.id for note in self.notes]
        if not ids:
            return None
        place = ids.index(note_id) + 1 if note_id in ids else 0
        return self.notes[place % len(ids)]

    def note_at(self, time_us: int) -> Note | None:
        """The note that is on at a time of the clip; of several, the one that started last."""
        return max(
            (note for note in self.notes if note.start_us <= time_us <= note.end_us),
            key=lambda note: note.start_us,
            default=None,
        )


def rungs_of(review: Review) -> dict[Region, Rung]:
    """Every rung, in the order of the climb."""
    by_region: dict[Region, list[Note]] = {region: [] for region in CLIMB}
    for note in sorted(review.notes, key=lambda note: note.start_us):
        by_region[note.region].append(note)
    return {
        region: Rung(region, tuple(notes), region in review.looked_at, is_open(review, region))
        for region, notes in by_region.items()
    }


def progress_words(rungs: dict[Region, Rung]) -> str:
    """How far the climb has come, such as '7 of 13 looked at'; then round the client."""
    done = sum(not rungs[region].is_open for region in BODY_REGIONS)
    around = sum(not rungs[region].is_open for region in SURROUNDING_REGIONS)
    if done < len(BODY_REGIONS) or not around:
        return f"{done} of {len(BODY_REGIONS)} looked at"
    if around < len(SURROUNDING_REGIONS):
        return f"Body done, {around} of {len(SURROUNDING_REGIONS)} around"
    return "All looked at"


def _joined(words: tuple[str, ...]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1])))
