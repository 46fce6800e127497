"""The captions of a review: which words are on, when, and at which end of the picture."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise
from typing import Final

from cliptag.errors import ExportError
from cliptag.export.calm import CalmReadings
from cliptag.export.cues import Cue, Place
from cliptag.export.mover import Mover
from cliptag.export.numbers import number_words
from cliptag.export.plain_text import reading_length
from cliptag.export.splitting import FLICKER_US, CaptionRules, Fits, Page, split_text
from cliptag.export.timeline import IMPRESSION_ID, Timeline, Window
from cliptag.review import Kind, Mark, Note, Number, Region, Review, Ring, points_of
from cliptag.words import ENGLISH, Words

__all__ = [
    "CaptionRules",
    "Fits",
    "Page",
    "caption_place",
    "make_cues",
    "reading_times",
    "share_time",
    "split_text",
    "without_flicker",
]

_BAND: Final = 0.28
"""The share of the picture's height, at its top and its bottom, that a caption may cover."""

_LOW_REGIONS: Final[frozenset[Region]] = frozenset(
    ("feet", "ankles", "knees", "seat", "load", "floor", "footwear")
)
"""What lies in the lower part of a picture that shows the whole client."""

_MOST_LOOKED_AT: Final = 24
"""So many pictures tell where a moving mark is while its note is on."""

_MS: Final = 1000
_NO_BREAK: Final = "\u00a0"
_WITHIN_A_NUMBER: Final = re.compile(r" (?=±)|(?<=±) |(?<=\d) (?=\S)")


def reading_times(
    review: Review, fits: Fits, rules: CaptionRules | None = None, words: Words = ENGLISH
) -> dict[str, int]:
    """How long each note's captions need, by note id, and ``IMPRESSION_ID`` for the impression.

    Notes with neither text nor numbers are left out. A timeline built from these times has room for
    every page of ``make_cues``: one millisecond more than the pages need, for the cues start on
    whole ones.
    """
    rules = rules or CaptionRules()
    times = {}
    for passage in _passages(review, words):
        pages = _pages_of(passage, fits, rules)
        if pages:
            times[passage.note_id] = sum(page.reading_us for page in pages) + _MS
    return times


def make_cues(
    review: Review,
    timeline: Timeline,
    fits: Fits,
    rules: CaptionRules | None = None,
    words: Words = ENGLISH,
    moving: Mover | None = None,
) -> tuple[Cue, ...]:
    """Every caption of the exported video, in order: each note's text, then its numbers.

    They keep off the marks, wherever ``moving`` leads these while the note is on.

    The cues of a note fill its window, each for a time in proportion to its reading need, never
    less than that and never more than ``rules.max_cue_us`` unless reading needs it. Cues never
    overlap. They start and end on whole milliseconds, as WebVTT writes them; so a cue may start
    less than one millisecond before its window, never on an earlier picture. Where the next note's
    first cue comes within ``FLICKER_US``, the last one stays until then.

    Raises ExportError when a window is too short to be read: the timeline was laid out for other
    captions.
    """
    rules = rules or CaptionRules()
    passages = {passage.note_id: passage for passage in _passages(review, words)}
    places = _places(review, timeline, moving)
    cues: list[Cue] = []
    for window in timeline.windows:
        passage = passages.get(window.note_id)
        if passage is not None:
            pages = _pages_of(passage, fits, rules)
            place = places.get(window.note_id, "bottom")
            cues.extend(_cues_of(passage, pages, window, place, rules))
    return without_flicker(cues)


def caption_place(note: Note, picture_height: float, marks: Sequence[Mark] | None = None) -> Place:
    """The end of the picture where a caption covers less of what the note speaks of.

    ``marks`` are the note's wherever they are while it is on, by default where they were placed.

    With marks: the end whose band, 28 % of the height, holds less of them; where both hold as
    much, the end that they keep farther from. Without: by the region. Where neither is better, the
    bottom.
    """
    marks = marks or note.marks
    if not marks:
        return "top" if note.region in _LOW_REGIONS else "bottom"
    at_top = sum(_share(mark, 0.0, _BAND * picture_height) for mark in marks)
    at_bottom = sum(_share(mark, (1 - _BAND) * picture_height, picture_height) for mark in marks)
    if at_top == at_bottom > 0:
        heights = [height for mark in marks for height in _heights(mark)]
        return "top" if min(heights) > picture_height - max(heights) else "bottom"
    return "top" if at_top < at_bottom else "bottom"


def share_time(needs_ms: Sequence[int], room_ms: int, rules: CaptionRules) -> list[int]:
    """Share the room out in proportion to the needs, none under its need.

    None gets more than ``rules.max_cue_us`` unless it needs it; what is over stays free. All in
    milliseconds. The room must hold the needs.
    """
    spare_ms = room_ms - sum(needs_ms)
    lengths_ms = list(needs_ms)
    longest_ms = rules.max_cue_us // _MS
    growing = [place for place, need_ms in enumerate(needs_ms) if need_ms < longest_ms]
    while spare_ms > 0 and growing:
        # Sums are rounded rather than the parts, so that the parts add up to the whole.
        sums = list(accumulate((needs_ms[place] for place in growing), initial=0))
        shares = [spare_ms * part // sums[-1] for part in sums]
        for place, (before, after) in zip(growing, pairwise(shares), strict=True):
            lengths_ms[place] = min(lengths_ms[place] + after - before, longest_ms)
        spare_ms = room_ms - sum(lengths_ms)
        growing = [place for place in growing if lengths_ms[place] < longest_ms]
    return lengths_ms


def without_flicker(cues: Sequence[Cue]) -> tuple[Cue, ...]:
    """The cues, each kept on until the next where the gap would be shorter than ``FLICKER_US``."""
    joined = [
        replace(cue, end_us=after.start_us) if after.start_us - cue.end_us < FLICKER_US else cue
        for cue, after in pairwise(cues)
    ]
    return (*joined, *cues[-1:])


@dataclass(frozen=True, slots=True)
class _Passage:
    """A text to be read in one window."""

    note_id: str
    text: str
    numbers: tuple[str, ...]
    region: Region
    kind: Kind | None


def _passages(review: Review, words: Words) -> Iterator[_Passage]:
    yield _Passage(IMPRESSION_ID, review.impression, (), "whole", None)
    for note in review.notes:
        numbers = tuple(_sentence(number, words) for number in note.numbers)
        yield _Passage(note.id, note.text, numbers, note.region, note.kind)


def _places(review: Review, timeline: Timeline, moving: Mover | None) -> dict[str, Place]:
    """At which end each note has its captions; the impression has none and stands below."""
    height = review.clip.height
    if moving is None:
        return {note.id: caption_place(note, height) for note in review.notes}
    calm = CalmReadings(moving, timeline)
    return {
        note.id: caption_place(note, height, list(_marks_over(note, calm, moving)))
        for note in review.notes
    }


def _marks_over(note: Note, calm: CalmReadings, moving: Mover) -> Iterator[Mark]:
    """The note's marks as they lie on its pictures, those with hidden points left out."""
    if not any(map(moving.has, note.marks)):
        return
    frames = calm.frames_of(note)
    for frame in frames[:: max(1, -(-len(frames) // _MOST_LOOKED_AT))]:
        for mark in note.marks:
            moved = moving.at(mark, frame) if moving.has(mark) else mark
            if moved is not None:
                yield moved


def _sentence(number: Number, words: Words) -> str:
    """A number, its unit and its uncertainty stay on one line."""
    return _WITHIN_A_NUMBER.sub(_NO_BREAK, f"{number_words(number, words)}.")


def _pages_of(passage: _Passage, fits: Fits, rules: CaptionRules) -> tuple[Page, ...]:
    """A number that needs two lines gets a page of its own: its value stays by its name."""
    text, was_line = passage.text, True
    for sentence in passage.numbers:
        is_line = reading_length(sentence) <= rules.max_line_length and fits(sentence)
        gap = "\n" if is_line and was_line else "\n\n"
        text = f"{text}{gap}{sentence}" if text else sentence
        was_line = is_line
    return split_text(text, fits, rules)


def _cues_of(
    passage: _Passage, pages: Sequence[Page], window: Window, place: Place, rules: CaptionRules
) -> Iterator[Cue]:
    start_ms = window.start_us // _MS
    room_ms = window.end_us // _MS - start_ms
    needs_ms = [page.reading_us // _MS for page in pages]
    if room_ms < sum(needs_ms):
        raise ExportError(
            "The captions don't fit the video's timeline: lay it out with the reading times of "
            "the same review, text size and caption rules."
        )
    lengths_ms = share_time(needs_ms, room_ms, rules)
    for number, (page, length_ms) in enumerate(zip(pages, lengths_ms, strict=True)):
        yield Cue(
            start_us=start_ms * _MS,
            end_us=(start_ms + length_ms) * _MS,
            lines=page.lines,
            note_id=passage.note_id,
            region=passage.region,
            kind=passage.kind,
            place=place,
            is_first=number == 0,
        )
        start_ms += length_ms


def _share(mark: Mark, top: float, bottom: float) -> float:
    """How much of a mark lies between two heights, from 0 to 1."""
    heights = _heights(mark)
    return sum(top <= height <= bottom for height in heights) / len(heights)


def _heights(mark: Mark) -> list[float]:
    """How low its points lie, and a ring's edge."""
    heights = [point.y for point in points_of(mark)]
    if isinstance(mark, Ring):
        heights += [mark.centre.y - mark.radius_y, mark.centre.y + mark.radius_y]
    return heights
