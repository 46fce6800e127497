"""The marks that are seen over a pair of frames, against the drawn clips' truth."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from PyQt6.QtCore import QRectF
from support.truth import read_truth

from cliptag.paint import label_boxes
from cliptag.pairing import SeenMarks, compare_sides, labels_of
from cliptag.review import Joint, Tilt, is_measuring

MOST_OFF_PX = 9.0
"""On pictures of 1920 px: tracking and smoothing are good to a few pixels."""


def arranged(comparison, **fields):
    return compare_sides(msgspec.structs.replace(comparison.pairing, **fields), *comparison.sides)


@pytest.mark.parametrize("layout", ["side", "above", "over"])
def test_moving_marks_lie_on_both_bodies_as_they_were_drawn(demo, layout: str):
    movement, comparison = demo
    comparison = arranged(comparison, layout=layout)
    seen, pair = SeenMarks(comparison), comparison.pair
    truths = [read_truth(f"{movement}_week{week}") for week in ("01", "10")]
    for index in np.linspace(0, len(pair) - 1, 12).astype(int):
        frames = pair.indices(int(index))
        marks = {shown.mark.id: shown.mark for shown in seen.at(frames)}
        for which, (truth, frame) in enumerate(zip(truths, frames, strict=True)):
            knee = marks.get(f"knee-{which + 1}")
            if knee is None:
                continue
            assert isinstance(knee, Joint)
            onto = comparison.sheet.panels[which].onto_sheet
            true = onto(complex(truth.point("knee")[frame]))
            off = abs(complex(knee.vertex.x, knee.vertex.y) - true)
            assert off < MOST_OFF_PX * onto.scale, (which, frame)


def test_mirroring_changes_no_number(lift):
    plain, mirrored = (SeenMarks(arranged(lift, mirror=mirror)) for mirror in ("no", "yes"))
    frames = lift.pair.indices(len(lift.pair) // 3)
    told = [[shown.reading for shown in seen.at(frames)] for seen in (plain, mirrored)]
    assert told[0] == told[1] and any(told[0])


@pytest.mark.parametrize("layout", ["side", "above"])
def test_labels_stay_on_their_own_picture(lift, layout: str):
    comparison = arranged(lift, layout=layout)
    seen = SeenMarks(comparison)
    panels = [QRectF(p.left, p.top, p.width, p.height) for p in comparison.sheet.panels]
    for index in range(0, len(comparison.pair), 20):
        marks = seen.at(comparison.pair.indices(index))
        boxes = label_boxes(marks, seen.sizes, plumb_deg=seen.plumb_deg)
        for shown, box in zip(marks, boxes, strict=True):
            if isinstance(shown.mark, Joint | Tilt):
                own = panels[int(shown.mark.id[-1]) - 1]
                assert box.isEmpty() or own.adjusted(-1, -1, 1, 1).contains(box)


def test_what_a_review_says_is_seen_from_its_notes_start_to_its_end(lift):
    seen = SeenMarks(lift)
    for which, side in enumerate(lift.sides):
        clip = side.clip
        for note in side.review.notes:
            first = clip.index_at(note.start_us)
            last = max(first, clip.index_at(note.end_us) - 1)
            for frame, is_on in ((first, True), (last, True), (first - 1, False)):
                if frame < 0:
                    continue
                frames = (frame, 0) if which == 0 else (0, frame)
                assert (note in seen.notes(frames)[which]) == is_on, (note.id, frame)


def test_where_nothing_is_tracked_measured_marks_show_on_their_own_frame_alone(lift):
    sides = [
        type(s)(s.path, msgspec.structs.replace(s.review, tracked=()), s.clip) for s in lift.sides
    ]
    seen = SeenMarks(compare_sides(lift.pairing, *sides))
    side = sides[0]
    note = next(n for n in side.review.notes if any(map(is_measuring, n.marks)))
    own = side.clip.index_at(note.start_us)

    def measured(frame: int) -> list[str | None]:
        shown = seen.at((frame, 0))
        return [s.reading for s in shown if is_measuring(s.mark) and s.mark.id.startswith("1-")]

    assert any(measured(own))
    assert measured(own + 1) == []


def test_labels_are_scaled_with_the_sheet(lift):
    once, twice = labels_of(lift), labels_of(lift, 2.0)
    assert [label.name for label in once] == [side.words for side in lift.sides]
    assert lift.alignment.words in once[1].about
    for small, large in zip(once, twice, strict=True):
        assert large.box == pytest.approx([2 * length for length in small.box])
