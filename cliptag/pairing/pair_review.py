"""The pairing as a review of the pair's clip, so that it is captioned and exported as any other."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import msgspec

from cliptag.export import IMPRESSION_ID, Chapter, Cue, Timeline
from cliptag.measure import readings_of
from cliptag.pairing.align import Alignment, Knot
from cliptag.pairing.differences import Difference
from cliptag.pairing.document import Pairing
from cliptag.pairing.pair_clip import PairClip
from cliptag.pairing.pair_marks import COLOURS, moving_marks, on_sheet
from cliptag.pairing.sheet import Sheet
from cliptag.pairing.side import Side
from cliptag.pairing.telling import moment_sentence, verdict_sentences
from cliptag.pairing.wording import match_words, moment_title
from cliptag.review import (
    ClipRef,
    Mark,
    Note,
    PlumbLine,
    Point,
    Review,
    Ring,
    is_measuring,
)
from cliptag.words import ENGLISH, Words

_VERDICTS: Final = "verdicts"

Readings: TypeAlias = Mapping[tuple[str, str], str]


@dataclass(frozen=True, slots=True)
class PairReview:
    """The review, the numbers of its still marks, and what its notes are headed with.

    A note that has no heading here is the coach's own.
    """

    review: Review
    readings: Readings
    headings: Mapping[str, str]

    def headed(self, cues: Sequence[Cue]) -> tuple[Cue, ...]:
        """The cues, those of notes that cliptag itself made under their own headings."""
        return tuple(
            replace(cue, kind=None, heading=self.headings[cue.note_id], place="bottom")
            if cue.note_id in self.headings
            else replace(cue, place="bottom")
            for cue in cues
        )

    def chapters(self, chapters: Sequence[Chapter], timeline: Timeline) -> tuple[Chapter, ...]:
        """The chapters, those of such notes under the same headings; the first tells which
        picture is which.
        """
        titles = {
            window.start_us // 1000 * 1000: self.headings[window.note_id]
            for window in timeline.windows
            if window.note_id in self.headings
        }
        titles[0] = self.headings[IMPRESSION_ID]
        return tuple(
            replace(chapter, title=titles.get(chapter.start_us, chapter.title))
            for chapter in chapters
        )


def pair_review(
    pairing: Pairing,
    sides: tuple[Side, Side],
    pair: PairClip,
    differences: Sequence[Difference],
    words: Words = ENGLISH,
) -> PairReview:
    """A note at each shared moment, at each of the coach's own, and one with the verdicts.

    Each lasts until the next, so that the moving marks are on all the time; not while the verdicts
    are read, which tell of other instants than the last.
    """
    moving = moving_marks(sides, pair)
    drafts, headings = _drafts(pairing, pair.alignment, differences, words)
    starts = [note.start_us for note in drafts]
    readings: dict[tuple[str, str], str] = {}
    notes = []
    for place, note in enumerate(drafts):
        end_us = starts[place + 1] if place + 1 < len(drafts) else pair.duration_us
        still = _still_marks(sides, pair, note, readings)
        marks = (*still, *moving) if note.id != _VERDICTS else ()
        notes.append(msgspec.structs.replace(note, end_us=max(note.start_us, end_us), marks=marks))
    review = _review(sides, pair, tuple(notes), words)
    return PairReview(review, readings, headings)


def opening_words(sides: tuple[Side, Side], sheet: Sheet, words: Words = ENGLISH) -> str:
    """Which is which; the colours are those of ``COLOURS``."""
    first, second = (side.name_in(words) for side in sides)
    if sheet.layout == "side":
        return words.say(
            "On the left: {first}. On the right: {second}.", first=first, second=second
        )
    if sheet.layout == "above":
        return words.say("Above: {first}. Below: {second}.", first=first, second=second)
    return words.say(
        "Over each other: {first} with orange lines, {second} with blue ones.",
        first=first,
        second=second,
    )


def _drafts(
    pairing: Pairing, alignment: Alignment, differences: Sequence[Difference], words: Words
) -> tuple[list[Note], dict[str, str]]:
    """The notes without ends and marks, in the order of time."""
    headings: dict[str, str] = {IMPRESSION_ID: words.say("Which is which")}
    notes: list[Note] = []

    def add(note_id: str, at_us: int, text: str, heading: str, **fields: object) -> None:
        if heading:
            headings[note_id] = heading
        fixed = {"region": "whole", "kind": "seen", **fields}
        notes.append(Note(id=note_id, start_us=at_us, end_us=at_us, text=text, **fixed))  # type: ignore[arg-type]

    add("together", 0, "", match_words(alignment, words), hold_us=0)
    for knot in _held(alignment):
        if knot.name is not None:
            text = moment_sentence(knot.name, differences, words)
            add(f"moment-{knot.name}", knot.out_us, text, moment_title(knot.name, words))
    for number, said in enumerate(pairing.notes, 1):
        at_us = alignment.out_at_percent(said.percent)
        add(f"note-{number}", at_us, said.text, "", region=said.region, kind=said.kind)
    verdicts = "\n\n".join(verdict_sentences(differences, words))
    if verdicts:
        add(_VERDICTS, int(alignment.times_us[-1]), verdicts, words.say("What changed"))
    return sorted(notes, key=lambda note: note.start_us), headings


def _held(alignment: Alignment) -> tuple[Knot, ...]:
    """The moments at which both stand still: those that both show at one time."""
    if alignment.match == "moments":
        return alignment.knots
    return tuple(knot for knot in alignment.knots if knot.name == alignment.from_moment)


def _still_marks(
    sides: tuple[Side, Side],
    pair: PairClip,
    note: Note,
    readings: dict[tuple[str, str], str],
) -> tuple[Mark, ...]:
    """The marks of both reviews that were placed on just the frames that the note stands on."""
    if not note.id.startswith(("moment-", "note-")):
        return ()
    indices = pair.indices(pair.index_at(note.start_us))
    marks: list[Mark] = []
    for which, (side, index) in enumerate(zip(sides, indices, strict=True)):
        numbers = {(r.note_id, r.mark_id): r for r in readings_of(side.review)}
        onto = pair.sheet.panels[which].onto_sheet
        for own in side.review.notes:
            if side.clip.index_at(own.start_us) != index:
                continue
            for number, mark in enumerate(own.marks):
                if mark.follows or (side.report is not None and is_measuring(mark)):
                    continue  # the moving marks show where the body is
                mark_id = f"{which + 1}-{own.id[:40]}-{number}"
                laid = on_sheet(mark, onto)
                if isinstance(laid, Ring):
                    laid = msgspec.structs.replace(
                        laid,
                        radius_x=laid.radius_x * onto.scale,
                        radius_y=laid.radius_y * onto.scale,
                    )
                marks.append(msgspec.structs.replace(laid, id=mark_id, colour=COLOURS[which]))
                reading = numbers.get((own.id, mark.id))
                if reading is not None:
                    readings[note.id, mark_id] = reading.text
    return tuple(marks)


def _review(
    sides: tuple[Side, Side], pair: PairClip, notes: tuple[Note, ...], words: Words
) -> Review:
    first, second = (side.review for side in sides)
    sheet = pair.sheet
    return Review(
        clip=ClipRef(
            path="pair",
            size_bytes=pair.info.size_bytes,
            duration_us=pair.duration_us,
            digest=pair.digest,
            width=sheet.width,
            height=sheet.height,
        ),
        client=second.client or first.client,
        coach=second.coach or first.coach,
        movement=first.movement,
        facing=first.facing,
        impression=opening_words(sides, sheet, words),
        language=words.language,
        notes=notes,
        plumb=_plumb(sides[0], sheet),
        consent=second.consent,
        caution=second.caution,
    )


def _plumb(side: Side, sheet: Sheet) -> PlumbLine | None:
    plumb = side.review.plumb
    if plumb is None:
        return None
    onto = sheet.panels[0].onto_sheet
    top, bottom = (onto(complex(p.x, p.y)) for p in (plumb.top, plumb.bottom))
    return PlumbLine(top=Point(top.real, top.imag), bottom=Point(bottom.real, bottom.imag))
