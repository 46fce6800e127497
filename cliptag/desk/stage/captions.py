"""Where a note's captions will stand in the exported video; labels of marks stay off there."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import msgspec
from PyQt6.QtCore import QRectF

from cliptag.clip import Clip
from cliptag.errors import ExportError
from cliptag.export import ExportOptions, build_timeline, make_cues, reading_times
from cliptag.paint import CaptionText, Sizes, caption_box, caption_heading, line_fits
from cliptag.review import Note, Review

if TYPE_CHECKING:
    from cliptag.measure import MovingMarks


def caption_boxes(
    review: Review,
    note: Note,
    clip: Clip,
    options: ExportOptions,
    moving: MovingMarks | None = None,
) -> tuple[QRectF, ...]:
    """The boxes of all captions of a note, in picture pixels.

    Without them a label would stand elsewhere on the stage than in the video.
    """
    alone = msgspec.structs.replace(review, notes=(note,), impression="", part=None)
    sizes = Sizes(clip.info.width, clip.info.height, options.caption_scale)
    fits = partial(line_fits, sizes=sizes)
    words = options.words_for(review)
    try:
        times = reading_times(alone, fits, options.rules, words)
        timeline = build_timeline(alone, clip.times_us, clip.duration_us, times, title_card=False)
        cues = make_cues(alone, timeline, fits, options.rules, words, moving)
    except ExportError:
        return ()
    captions = [
        CaptionText(cue.lines, caption_heading(cue.kind, cue.region, words), cue.kind, cue.place)
        for cue in cues
    ]
    return tuple(caption_box(caption, sizes) for caption in captions)
