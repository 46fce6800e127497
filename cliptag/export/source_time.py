"""The captions in the clip's own time, for the clip as the client sent it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate, groupby, pairwise

from cliptag.export.captions import share_time, without_flicker
from cliptag.export.cues import Cue
from cliptag.export.splitting import CaptionRules
from cliptag.export.timeline import Play, Timeline, Window


def source_time_cues(
    cues: Sequence[Cue], timeline: Timeline, rules: CaptionRules | None = None
) -> tuple[Cue, ...]:
    """The cues in the clip's own time.

    Nothing stands still there, so the cues of a note share the time for which the clip shows what
    it speaks of; where that is too short to read them, also the time until the next note starts.
    Notes on the same frame share that time. If it is still too short, each cue is on for less than
    reading needs, and the player must be paused: it is better that the words stay with what they
    speak of. After the last note nothing waits, so its cues may last beyond the clip's end.

    Cues keep their order and never overlap; each lasts at least one millisecond.
    """
    rules = rules or CaptionRules()
    shown = {window.note_id: _shown_ms(window, timeline) for window in timeline.windows}
    known = [cue for cue in cues if cue.note_id in shown]
    in_order = sorted(known, key=lambda cue: (shown[cue.note_id][0], cue.start_us))
    groups = [list(group) for _, group in groupby(in_order, lambda cue: shown[cue.note_id][0])]
    moved: list[Cue] = []
    clock_ms = 0
    for number, group in enumerate(groups):
        clock_ms = max(clock_ms, shown[group[0].note_id][0])
        needs_ms = [rules.reading_us(cue.lines) // 1000 for cue in group]
        end_ms = max(clock_ms + sum(needs_ms), *(shown[cue.note_id][1] for cue in group))
        if number + 1 < len(groups):
            end_ms = min(end_ms, shown[groups[number + 1][0].note_id][0])
        lengths_ms = _lengths_ms(needs_ms, end_ms - clock_ms, rules)
        for cue, length_ms in zip(group, lengths_ms, strict=True):
            end_us = (clock_ms + length_ms) * 1000
            moved.append(replace(cue, start_us=clock_ms * 1000, end_us=end_us))
            clock_ms += length_ms
    return without_flicker(moved)


def _shown_ms(window: Window, timeline: Timeline) -> tuple[int, int]:
    """When the clip starts and ends to show what is on in a window."""
    first = timeline.to_source_us(window.start_us) or 0
    span = timeline.span_at(window.end_us - 1)
    last = span.source_end_us if isinstance(span, Play) else first
    return first // 1000, last // 1000


def _lengths_ms(needs_ms: Sequence[int], room_ms: int, rules: CaptionRules) -> list[int]:
    whole = sum(needs_ms)
    if room_ms >= whole:
        return share_time(needs_ms, room_ms, rules)
    sums = accumulate(needs_ms, initial=0)
    parts = [max(room_ms, 0) * part // whole for part in sums]
    return [max(1, after - before) for before, after in pairwise(parts)]
