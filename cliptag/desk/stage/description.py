"""What the stage shows, in words for those who don't see it."""

from __future__ import annotations

from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.hints import keys_of
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.points import missing_words, words_of
from cliptag.desk.stage.words import handle_words, mark_words
from cliptag.review import KIND_WORDS, REGION_WORDS, Mark


def describe(model: StageModel) -> str:
    """The frame and its time, the marks that are seen with their numbers, the chosen point."""
    clip, review = model.state.clip, model.review
    if clip is None or review is None or model.index is None:
        return "No clip is open."
    time_s = int(clip.times_us[model.index]) / 1e6
    is_photo = len(clip) == 1
    said = ["Photo." if is_photo else f"Frame {model.index + 1} of {len(clip)}, at {time_s:.3f} s."]
    by_id = {note.id: note for note in review.notes}
    for seen in model.notes():
        note = by_id.get(seen.note_id)
        if note is not None:
            marks = "; ".join(_mark(shown.mark, shown.reading) for shown in seen.marks)
            said.append(f"{REGION_WORDS[note.region]}, {KIND_WORDS[note.kind]}: {marks}.")
    said += [_points(model), describe_choice(model), keys_of(model)]
    return " ".join(filter(None, said))


def describe_choice(model: StageModel) -> str:
    """The chosen mark, or its chosen point with its exact place; empty when none is chosen."""
    mark, name, at = model.chosen_mark, model.points.chosen, model.points.chosen_place
    if name is not None and at is not None:
        return f"Chosen: {words_of(name)} at x {at.x:.1f}, y {at.y:.1f} pixels."
    if mark is None:
        return ""
    if model.point is None:
        return f"Chosen: {_mark(mark, model.number(mark))}."
    place = handles_of(mark)[model.point]
    name = handle_words(mark, model.point)
    text = f"Chosen: {name} of the {mark_words(mark)} at x {place.x:.1f}, y {place.y:.1f} pixels"
    number = model.number(mark)
    return f"{text}; {number}." if number else f"{text}."


def _points(model: StageModel) -> str:
    if not model.points.is_on:
        return ""
    here = model.points.at(model.points.index)
    placed = ", ".join(words_of(name) for name, one in here.seen.items() if one.is_placed)
    found = ", ".join(words_of(name) for name, one in here.seen.items() if not one.is_placed)
    parts = (
        f"Points placed here: {placed}." if placed else "",
        f"Points followed to here: {found}." if found else "",
        f"{missing_words(model.points)}." if here.missing else "",
    )
    return " ".join(filter(None, parts))


def _mark(mark: Mark, number: str | None) -> str:
    text = f"{mark_words(mark)} “{mark.label}”" if mark.label else mark_words(mark)
    return f"{text}, {number}" if number else text
