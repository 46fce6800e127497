"""How long a note takes to read, and how long the exported video will stand still for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import ExportError
from cliptag.export import CaptionRules, ExportOptions, Hold, build_timeline, reading_times
from cliptag.paint import Sizes, ensure_painter_ready, line_fits
from cliptag.review import ClipRef, Note, Number, Review
from cliptag.words import words_of

_LEAST_TOLD_US: Final = 50_000
"""What would be told as 0.0 s is no standing still."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What reading a note needs, and how long the picture stands still for it in the video."""

    need_us: int
    hold_us: int
    is_sent: bool
    """False when the note has words that lie outside the part that is sent back."""
    spoken_us: int = 0
    """How long its voice is; 0 without one."""

    @property
    def words(self) -> str:
        """A sentence for the coach."""
        if not self.is_sent:
            return "Outside the part that is sent."
        still = (
            f"the picture will stand still for {_seconds(self.hold_us)}"
            if self.hold_us >= _LEAST_TOLD_US
            else "the picture will not stand still"
        )
        needs = []
        if self.need_us:
            needs.append(f"reading needs {_seconds(self.need_us)}")
        if self.spoken_us:
            needs.append(f"your voice {'' if needs else 'needs '}{_seconds(self.spoken_us)}")
        if needs:
            still = f"{' and '.join(needs)}; {still}"
        return still[0].upper() + still[1:] + "."


def need_us(note: Note, review: Review, options: ExportOptions) -> int:
    """How long the captions of a note of the review need; 0 without text and numbers.

    A draft that nobody has read yet isn't sent.
    """
    text = "" if note.is_draft else note.text
    if not text and not note.numbers:
        return 0
    language = options.words_for(review).language
    rules, scale = options.rules, options.caption_scale
    return _need_us(text, note.numbers, review.clip, rules, scale, language)


def readings(
    review: Review,
    needs_us: Mapping[str, int],
    times_us: NDArray[np.int64],
    duration_us: int,
) -> dict[str, Reading]:
    """The readings of all notes of a review on a clip, by note id."""
    try:
        timeline = build_timeline(review, times_us, duration_us, needs_us)
    except ExportError:
        # The part that is sent lies outside the clip; whoever exports is told so.
        return {
            note.id: Reading(needs_us.get(note.id, 0), 0, True, _spoken_us(note))
            for note in review.notes
        }
    holds_us = {
        span.note_id: span.out_end_us - span.out_start_us
        for span in timeline.spans
        if isinstance(span, Hold)
    }
    sent = {window.note_id for window in timeline.windows}
    return {
        note.id: Reading(
            need := needs_us.get(note.id, 0),
            holds_us.get(note.id, 0),
            note.id in sent or not (need or note.voice),
            _spoken_us(note),
        )
        for note in review.notes
    }


@lru_cache(maxsize=8192)
def _need_us(
    text: str,
    numbers: tuple[Number, ...],
    clip: ClipRef,
    rules: CaptionRules,
    caption_scale: float,
    language: str,
) -> int:
    ensure_painter_ready()
    note = Note(
        id="text", region="whole", kind="seen", start_us=0, end_us=0, text=text, numbers=numbers
    )
    fits = partial(line_fits, sizes=Sizes(clip.width, clip.height, caption_scale))
    review = Review(clip=clip, notes=(note,))
    return reading_times(review, fits, rules, words_of(language)).get(note.id, 0)


def _spoken_us(note: Note) -> int:
    return 0 if note.voice is None else note.voice.length_us


def _seconds(time_us: int) -> str:
    return f"{time_us / 1e6:.1f} s"
