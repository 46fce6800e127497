"""Every change to a review, as a function from a review to a review.

Each raises ReviewError when it names a note, mark or point that isn't there, or when the result
would not be a sound review.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterable
from typing import Any, TypeVar

import msgspec

from cliptag.errors import ReviewError
from cliptag.review.marks import Mark, Point, points_of
from cliptag.review.model import (
    CoverArea,
    CoverCheck,
    CoverKey,
    Moment,
    Note,
    Number,
    PointKey,
    Review,
    TrackedPoint,
    Voice,
)
from cliptag.review.regions import CLIMB, MOMENTS_OF, MomentName, Movement, Region

_StructT = TypeVar("_StructT", bound=msgspec.Struct)


def new_id() -> str:
    """A fresh id for a note or a mark."""
    return secrets.token_hex(6)


def with_fields(review: Review, **fields: Any) -> Review:
    """Replace whole fields, such as ``impression``, ``facing``, ``scale`` or ``plumb``."""
    return _sound(review, **fields)


def with_movement(review: Review, movement: Movement) -> Review:
    """Set the movement; moments that it does not have are dropped."""
    kept = tuple(moment for moment in review.moments if moment.name in MOMENTS_OF[movement])
    return _sound(review, movement=movement, moments=kept)


def with_moment(review: Review, name: MomentName, at_us: int, repetition: int = 1) -> Review:
    """Set a moment of the review's movement, or move it."""
    moment = Moment(name=name, at_us=at_us, repetition=repetition)
    moments = [*without_moment(review, name, repetition).moments, moment]
    return _sound(review, moments=tuple(sorted(moments, key=lambda moment: moment.at_us)))


def without_moment(review: Review, name: MomentName, repetition: int = 1) -> Review:
    """Take a moment away, if it is set."""
    kept = (m for m in review.moments if (m.name, m.repetition) != (name, repetition))
    return _sound(review, moments=tuple(kept))


def with_looked_at(review: Review, region: Region, is_fine: bool) -> Review:
    """Tell of a region that it was looked at and found fine, or take that back."""
    regions = set(review.looked_at) - {region} | ({region} if is_fine else set())
    return _sound(review, looked_at=tuple(sorted(regions, key=CLIMB.index)))


def with_note(review: Review, note: Note) -> Review:
    """Add a note at the end of the list, or put it in the place of the one with its id."""
    _check(note)
    if any(other.id == note.id for other in review.notes):
        return _map_note(review, note.id, lambda _: note)
    return _with_notes(review, (*review.notes, note))


def without_note(review: Review, note_id: str) -> Review:
    """Take a note away, with its marks."""
    note_of(review, note_id)
    return _with_notes(review, (note for note in review.notes if note.id != note_id))


def with_note_fields(review: Review, note_id: str, **fields: Any) -> Review:
    """Replace fields of one note, such as ``text`` or ``region``."""
    return _map_note(review, note_id, lambda note: _sound(note, **fields))


def with_note_moved(review: Review, note_id: str, by_us: int) -> Review:
    """Shift a note in time; it stops at the clip's two ends and keeps its length."""
    note = note_of(review, note_id)
    latest_us = max(0, review.clip.duration_us - (note.end_us - note.start_us))
    start_us = min(max(0, note.start_us + by_us), latest_us)
    end_us = start_us + note.end_us - note.start_us
    return with_note_fields(review, note_id, start_us=start_us, end_us=end_us)


def with_note_order(review: Review, note_ids: Iterable[str]) -> Review:
    """Put the notes into the given order; it decides between notes that start together."""
    wanted = list(note_ids)
    by_id = {note.id: note for note in review.notes}
    if sorted(wanted) != sorted(by_id):
        raise ReviewError("The new order must name each note once: reload the review.")
    return _with_notes(review, (by_id[note_id] for note_id in wanted))


def with_mark(review: Review, note_id: str, mark: Mark) -> Review:
    """Add a mark to a note, or put it in the place of the one with its id."""

    def change(note: Note) -> Note:
        if any(other.id == mark.id for other in note.marks):
            marks = tuple(mark if other.id == mark.id else other for other in note.marks)
        else:
            marks = (*note.marks, mark)
        return _sound(note, marks=marks)

    return _map_note(review, note_id, change)


def without_mark(review: Review, note_id: str, mark_id: str) -> Review:
    """Take a mark away from a note."""
    mark_of(review, note_id, mark_id)
    return _map_note(
        review,
        note_id,
        lambda note: _sound(note, marks=tuple(mark for mark in note.marks if mark.id != mark_id)),
    )


def with_mark_copied(review: Review, note_id: str, mark_id: str, to_note_id: str) -> Review:
    """Copy a mark, under a fresh id, onto another note and so onto its frame."""
    mark = mark_of(review, note_id, mark_id)
    return with_mark(review, to_note_id, msgspec.structs.replace(mark, id=new_id()))


def with_mark_moved(review: Review, note_id: str, mark_id: str, by_x: float, by_y: float) -> Review:
    """Shift a whole mark by pixels of the picture."""
    mark = mark_of(review, note_id, mark_id)
    moved = [Point(point.x + by_x, point.y + by_y) for point in points_of(mark)]
    return with_mark(review, note_id, with_points(mark, moved))


def with_point(review: Review, note_id: str, mark_id: str, which: int, point: Point) -> Review:
    """Put point number ``which`` of a mark (in the order of ``points_of``) somewhere else."""
    mark = mark_of(review, note_id, mark_id)
    points = list(points_of(mark))
    if not 0 <= which < len(points):
        raise ReviewError(f"The mark has no point number {which}: it has {len(points)}.")
    points[which] = point
    return with_mark(review, note_id, with_points(mark, points))


def with_points(mark: Mark, points: Iterable[Point]) -> Mark:
    """The same mark with all its points (in the order of ``points_of``) replaced."""
    coming = iter(points)
    fields: dict[str, Any] = {}
    for name in mark.__struct_fields__:
        value = getattr(mark, name)
        if isinstance(value, Point):
            fields[name] = next(coming)
        elif name != "follows" and isinstance(value, tuple):
            fields[name] = tuple(next(coming) for _ in value)
    return msgspec.structs.replace(mark, **fields)


def with_number(review: Review, note_id: str, number: Number) -> Review:
    """Put a measured number into a note, or in the place of the same one as it was before."""

    def is_same(other: Number) -> bool:
        return (other.name, other.repetition, other.at_us) == (
            number.name,
            number.repetition,
            number.at_us,
        )

    def change(note: Note) -> Note:
        kept = tuple(number if is_same(other) else other for other in note.numbers)
        return _sound(note, numbers=kept if number in kept else (*kept, number))

    return _map_note(review, note_id, change)


def without_number(review: Review, note_id: str, which: int) -> Review:
    """Take number ``which`` of a note away."""
    note = note_of(review, note_id)
    if not 0 <= which < len(note.numbers):
        raise ReviewError(f"The note has no number {which}: it has {len(note.numbers)}.")
    numbers = note.numbers[:which] + note.numbers[which + 1 :]
    return with_note_fields(review, note_id, numbers=numbers)


def with_voice(review: Review, note_id: str, voice: Voice | None) -> Review:
    """Give a note a take, or another one, or (None) take its voice away; the file stays.

    A draft text that came from the voice before goes with it.
    """
    note = note_of(review, note_id)
    text = "" if note.is_draft else note.text
    return with_note_fields(review, note_id, voice=voice, text=text)


def with_voice_trim(review: Review, note_id: str, start_us: int, end_us: int) -> Review:
    """Let another stretch of the same take be heard."""
    voice = _voice_of(review, note_id)
    return with_note_fields(review, note_id, voice=_sound(voice, start_us=start_us, end_us=end_us))


def with_draft_text(review: Review, note_id: str, text: str) -> Review:
    """Put words that a program heard into a spoken note, as a draft until the coach read them."""
    voice = _sound(_voice_of(review, note_id), is_draft_text=bool(text))
    return with_note_fields(review, note_id, text=text, voice=voice)


def with_text_read(review: Review, note_id: str, text: str | None = None) -> Review:
    """The coach read a note's draft text (and put ``text`` in its place)."""
    note = note_of(review, note_id)
    voice = None if note.voice is None else _sound(note.voice, is_draft_text=False)
    return with_note_fields(review, note_id, voice=voice, text=note.text if text is None else text)


def without_unread_drafts(review: Review) -> Review:
    """The review as it may be sent: texts that nobody has read are left out."""
    if not any(note.is_draft for note in review.notes):
        return review
    return _with_notes(
        review,
        (msgspec.structs.replace(n, text="") if n.is_draft else n for n in review.notes),
    )


def with_voice_paths(review: Review, change: Callable[[str], str]) -> Review:
    """Name the files of the takes in another way, for a review that is kept elsewhere."""

    def moved(note: Note) -> Note:
        if note.voice is None:
            return note
        voice = msgspec.structs.replace(note.voice, path=change(note.voice.path))
        return msgspec.structs.replace(note, voice=voice)

    return _with_notes(review, map(moved, review.notes))


def with_tracked_point(
    review: Review, name: str, at_us: int, place: Point, sd_px: float | None = None
) -> Review:
    """Place a tracked point on the frame shown at a time, or correct it there."""
    key = PointKey(at_us=at_us, place=place, sd_px=sd_px)
    others = [k for point in review.tracked if point.name == name for k in point.keys]
    keys = sorted([key, *(k for k in others if k.at_us != at_us)], key=lambda k: k.at_us)
    point = TrackedPoint(name=name, keys=tuple(keys))
    if others:
        tracked = tuple(point if old.name == name else old for old in review.tracked)
    else:
        tracked = (*review.tracked, point)
    return _sound(review, tracked=tracked)


def without_tracked_key(review: Review, name: str, at_us: int) -> Review:
    """Take back one placement of a tracked point; with its last one the point goes."""
    kept = []
    for point in review.tracked:
        keys = tuple(k for k in point.keys if point.name != name or k.at_us != at_us)
        if keys:
            kept.append(msgspec.structs.replace(point, keys=keys))
    return _sound(review, tracked=tuple(kept))


def without_tracked_point(review: Review, name: str) -> Review:
    """Follow a point no longer."""
    return _sound(review, tracked=tuple(p for p in review.tracked if p.name != name))


def with_cover_key(review: Review, area_id: str, key: CoverKey) -> Review:
    """Place a covered area on a frame, or correct it there."""

    def change(area: CoverArea) -> CoverArea:
        kept = [other for other in area.keys if other.at_us != key.at_us]
        return _sound(area, keys=tuple(sorted([*kept, key], key=lambda k: k.at_us)))

    return _map_cover(review, area_id, change)


def with_cover(review: Review, area: CoverArea) -> Review:
    """Add an area to cover, or put it in the place of the one with its id."""
    _check(area)
    if any(other.id == area.id for other in review.covers):
        return _map_cover(review, area.id, lambda _: area)
    return _sound(review, covers=(*review.covers, area))


def without_cover_key(review: Review, area_id: str, at_us: int) -> Review:
    """Take back one placement of a covered area; with its last one the area goes."""
    area = cover_of(review, area_id)
    kept = tuple(key for key in area.keys if key.at_us != at_us)
    if not kept:
        return without_cover(review, area_id)
    return _map_cover(review, area_id, lambda _: _sound(area, keys=kept))


def without_cover(review: Review, area_id: str) -> Review:
    """Cover an area no longer."""
    cover_of(review, area_id)
    return _sound(review, covers=tuple(a for a in review.covers if a.id != area_id))


def with_cover_checked(review: Review, start_us: int, end_us: int) -> Review:
    """Tell that the coach looked at a stretch and found no face open; stretches that meet join."""
    joined: list[CoverCheck] = []
    added = _sound(CoverCheck(start_us=start_us, end_us=max(start_us, end_us)), start_us=start_us)
    for check in sorted([*review.cover_checked, added], key=lambda c: c.start_us):
        if joined and check.start_us <= joined[-1].end_us:
            end_us = max(joined[-1].end_us, check.end_us)
            joined[-1] = CoverCheck(start_us=joined[-1].start_us, end_us=end_us)
        else:
            joined.append(check)
    return _sound(review, cover_checked=tuple(joined))


def without_cover_checked(review: Review) -> Review:
    """Forget what was looked at, so that it is asked again."""
    return _sound(review, cover_checked=())


def cover_of(review: Review, area_id: str) -> CoverArea:
    """The covered area with this id."""
    for area in review.covers:
        if area.id == area_id:
            return area
    raise ReviewError(f"There is no covered area {area_id!r} in this review.")


def note_of(review: Review, note_id: str) -> Note:
    """The note with this id."""
    for note in review.notes:
        if note.id == note_id:
            return note
    raise ReviewError(f"There is no note {note_id!r} in this review.")


def mark_of(review: Review, note_id: str, mark_id: str) -> Mark:
    """The mark with this id on that note."""
    for mark in note_of(review, note_id).marks:
        if mark.id == mark_id:
            return mark
    raise ReviewError(f"There is no mark {mark_id!r} on the note {note_id!r}.")


def _voice_of(review: Review, note_id: str) -> Voice:
    voice = note_of(review, note_id).voice
    if voice is None:
        raise ReviewError(f"The note {note_id!r} has no voice: record it first.")
    return voice


def _map_cover(review: Review, area_id: str, change: Callable[[CoverArea], CoverArea]) -> Review:
    changed = change(cover_of(review, area_id))
    return _sound(review, covers=tuple(changed if a.id == area_id else a for a in review.covers))


def _map_note(review: Review, note_id: str, change: Callable[[Note], Note]) -> Review:
    changed = change(note_of(review, note_id))
    return _with_notes(review, (changed if n.id == note_id else n for n in review.notes))


def _with_notes(review: Review, notes: Iterable[Note]) -> Review:
    # The notes themselves were checked when they were made; a long review must stay quick to edit.
    return msgspec.structs.replace(review, notes=tuple(notes))


def _sound(struct: _StructT, **fields: Any) -> _StructT:
    """Replace fields and check the result."""
    try:
        changed = msgspec.structs.replace(struct, **fields)
    except (ValueError, TypeError) as error:
        raise ReviewError(f"That change would break the review: {error}.") from error
    kinds = {field.name: field.type for field in msgspec.structs.fields(type(struct))}
    for name in fields:
        _check(getattr(changed, name), kinds[name])
    return changed


def _check(value: Any, kind: Any = None) -> None:
    try:
        msgspec.convert(msgspec.to_builtins(value), kind or type(value))
    except (ValueError, TypeError) as error:
        raise ReviewError(f"That change would break the review: {error}.") from error
