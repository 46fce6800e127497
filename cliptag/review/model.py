"""The document: a coach's review of one clip. Frozen data; nothing here reads or writes."""

from __future__ import annotations

import datetime as dt
import math
from itertools import pairwise
from typing import Annotated, Final, Literal, TypeAlias

from msgspec import Meta, Struct

from cliptag.review.marks import (
    Id,
    Mark,
    Point,
    PointName,
    PositivePixels,
    ShortText,
    is_measuring,
)
from cliptag.review.regions import MOMENTS_OF, Kind, MomentName, Movement, Region

SCHEMA_NAME: Final = "cliptag-review"
SCHEMA_NUMBER: Final = 1

DEFAULT_CAUTION: Final = (
    "This is movement coaching, not a medical diagnosis. Stop if anything hurts, and see a "
    "licensed clinician. Local rules and the advice of your own clinician come first."
)

Micros: TypeAlias = Annotated[int, Meta(ge=0, le=2**53)]
LongText: TypeAlias = Annotated[str, Meta(max_length=20_000)]
Facing = Literal["left", "right"]
CoverKind = Literal["head", "other"]
ConsentPurpose = Literal["private_feedback", "face_covered", "public"]


class ClipRef(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Which clip a review speaks of: found by path, else by name, size and digest.

    ``path`` is relative to the review file where the two share a folder tree, with ``/`` between
    its parts. ``width`` and ``height`` are those of the picture as displayed, in pixels.
    """

    path: Annotated[str, Meta(min_length=1, max_length=4096)]
    size_bytes: Annotated[int, Meta(ge=0)]
    duration_us: Micros
    digest: Annotated[str, Meta(min_length=16, max_length=128)]
    width: Annotated[int, Meta(gt=0)]
    height: Annotated[int, Meta(gt=0)]


class Consent(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where the client's written consent is, and what it covers."""

    given_on: dt.date
    covers: tuple[ConsentPurpose, ...]
    reference: ShortText
    until: dt.date | None = None


class Scale(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A known length in the plane of the movement."""

    a: Point
    b: Point
    length_cm: PositivePixels
    length_sd_cm: Annotated[float, Meta(ge=0)] = 0.5
    what: ShortText = ""

    def __post_init__(self) -> None:
        if self.a == self.b:
            raise ValueError("the two ends of the scale are the same point")


class PlumbLine(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Two points of something that truly hangs or stands vertical, such as a door frame."""

    top: Point
    bottom: Point

    def __post_init__(self) -> None:
        if self.top == self.bottom:
            raise ValueError("the two ends of the plumb line are the same point")


class Moment(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A named instant of the movement, in the clip's own time; ``repetition`` counts from 1."""

    name: MomentName
    at_us: Micros
    repetition: Annotated[int, Meta(ge=1, le=1000)] = 1


class PointKey(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where the coach placed a tracked point on the frame shown at ``at_us``.

    ``sd_px`` is the standard deviation of the placing along each axis; None lets it be estimated.
    """

    at_us: Micros
    place: Point
    sd_px: PositivePixels | None = None


class TrackedPoint(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A point of the body (or of a thing) that is followed through the clip from its keys.

    The path itself isn't kept here: it follows from the clip and the keys.
    """

    name: PointName
    keys: Annotated[tuple[PointKey, ...], Meta(min_length=1, max_length=10_000)]

    def __post_init__(self) -> None:
        if len({key.at_us for key in self.keys}) != len(self.keys):
            raise ValueError("a tracked point is placed twice at one time")


class Number(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A measured number as it was put into a note.

    ``name`` is the quantity's own, the same in every review, such as ``peak_trunk_lean``; ``words``
    is what a person reads. ``sd`` is the standard uncertainty (k = 1), in the same unit. ``sense``
    tells in words which way the value goes where its sign would ("forward"). ``at_us`` is the
    frame it was read from; None for one that belongs to a whole ``repetition`` or to the clip.
    """

    name: Annotated[str, Meta(min_length=1, max_length=80)]
    words: ShortText
    value: float
    sd: Annotated[float, Meta(ge=0)]
    unit: Annotated[str, Meta(max_length=40)]
    sense: ShortText = ""
    at_us: Micros | None = None
    repetition: Annotated[int, Meta(ge=1, le=1000)] | None = None

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sd)):
            raise ValueError("a number in a note is not finite")


class Voice(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What the coach said for a note: a stretch of a recorded take.

    ``path`` is that of the take's lossless file, relative to the review, with ``/`` between its
    parts. The stretch from ``start_us`` to ``end_us`` of the take is heard from the note's first
    picture on, which stands still so long; where ``is_over_play`` is set, the clip plays on under
    it. ``is_draft_text``: a program wrote the note's text from the sound, and nobody has read it.
    """

    path: Annotated[str, Meta(min_length=1, max_length=4096)]
    start_us: Micros
    end_us: Micros
    digest: Annotated[str, Meta(min_length=16, max_length=128)]
    is_draft_text: bool = False
    is_over_play: bool = False

    def __post_init__(self) -> None:
        if self.end_us <= self.start_us:
            raise ValueError("the voice ends before it starts")

    @property
    def length_us(self) -> int:
        """How long it is heard."""
        return self.end_us - self.start_us


class Note(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A comment from ``start_us`` to ``end_us`` of the clip on one region.

    The marks were placed on the frame shown at ``start_us``; that is also the frame on which the
    exported video stands still: for ``hold_us``, or, when that is None, as long as reading needs.
    ``slow_by`` 2 plays the note's interval at half speed.
    """

    id: Id
    region: Region
    kind: Kind
    start_us: Micros
    end_us: Micros
    text: LongText = ""
    marks: tuple[Mark, ...] = ()
    numbers: tuple[Number, ...] = ()
    hold_us: Annotated[int, Meta(ge=0, le=600_000_000)] | None = None
    slow_by: Annotated[int, Meta(ge=1, le=10)] = 1
    repetitions: ShortText = ""
    voice: Voice | None = None

    def __post_init__(self) -> None:
        if self.end_us < self.start_us:
            raise ValueError("the note ends before it starts")
        if len({mark.id for mark in self.marks}) != len(self.marks):
            raise ValueError("two marks of the note have the same id")

    @property
    def is_measured(self) -> bool:
        """Whether one of the marks carries a number."""
        return any(is_measuring(mark) for mark in self.marks)

    @property
    def is_draft(self) -> bool:
        """Whether its text is a draft that the coach hasn't read."""
        return self.voice is not None and self.voice.is_draft_text


class CoverKey(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where an area to be covered is on the frame shown at ``at_us``: an upright ellipse."""

    at_us: Micros
    centre: Point
    radius_x: PositivePixels
    radius_y: PositivePixels


class CoverArea(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Something that must not be recognised, placed by hand; it moves straight from key to key.

    ``what`` is ``head`` for a face that is covered only where the client wants that, and ``other``
    for what nobody shall see in any video: somebody else, a tattoo, a name on a wall. Before the
    first key and after the last one it stands still; outside ``start_us`` to ``end_us``, where they
    are set, nothing is covered.
    """

    id: Id
    what: CoverKind = "head"
    keys: Annotated[tuple[CoverKey, ...], Meta(min_length=1, max_length=10_000)]
    start_us: Micros | None = None
    end_us: Micros | None = None

    def __post_init__(self) -> None:
        times = [key.at_us for key in self.keys]
        if any(after <= before for before, after in pairwise(times)):
            raise ValueError("the keys of a covered area are not in the order of their times")
        if None not in (self.start_us, self.end_us) and self.end_us < self.start_us:  # type: ignore[operator]
            raise ValueError("a covered area ends before it starts")


class CoverCheck(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The coach looked at the frames shown from ``start_us`` to ``end_us``: no face is open."""

    start_us: Micros
    end_us: Micros

    def __post_init__(self) -> None:
        if self.end_us < self.start_us:
            raise ValueError("a stretch that was looked at ends before it starts")


class Part(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The part of the clip that is sent back."""

    start_us: Micros
    end_us: Micros

    def __post_init__(self) -> None:
        if self.end_us <= self.start_us:
            raise ValueError("the part ends before it starts")


class Review(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """The coach's commentary on one clip; written to ``NAME.review.json``.

    ``cutoff_hz`` is that of the low-pass filter which smooths the tracked points; None leaves it to
    the clip's own noise. ``language`` is the client's, a code of ISO 639 such as 'de'; None leaves
    it to whoever exports.
    """

    schema: Literal["cliptag-review/1"] = "cliptag-review/1"
    clip: ClipRef
    client: ShortText = ""
    language: Annotated[str, Meta(pattern="^[a-z]{2,3}$")] | None = None
    coach: ShortText = ""
    movement: Movement = "other"
    recorded_on: dt.date | None = None
    week: Annotated[int, Meta(ge=0, le=10_000)] | None = None
    facing: Facing | None = None
    part: Part | None = None
    impression: LongText = ""
    notes: tuple[Note, ...] = ()
    looked_at: tuple[Region, ...] = ()
    moments: tuple[Moment, ...] = ()
    tracked: tuple[TrackedPoint, ...] = ()
    cutoff_hz: Annotated[float, Meta(gt=0, le=1000)] | None = None
    scale: Scale | None = None
    plumb: PlumbLine | None = None
    covers: tuple[CoverArea, ...] = ()
    cover_checked: tuple[CoverCheck, ...] = ()
    consent: Consent | None = None
    caution: LongText = DEFAULT_CAUTION

    def __post_init__(self) -> None:
        if len({note.id for note in self.notes}) != len(self.notes):
            raise ValueError("two notes have the same id")
        if len({point.name for point in self.tracked}) != len(self.tracked):
            raise ValueError("two tracked points have the same name")
        if len({(m.name, m.repetition) for m in self.moments}) != len(self.moments):
            raise ValueError("a moment is set twice")
        if len({area.id for area in self.covers}) != len(self.covers):
            raise ValueError("two covered areas have the same id")
        strange = {moment.name for moment in self.moments} - set(MOMENTS_OF[self.movement])
        if strange:
            raise ValueError(
                f"the movement {self.movement} has no moment called {sorted(strange)[0]}"
            )

    @property
    def exercises(self) -> tuple[Note, ...]:
        """The homework, in the order of the clip."""
        return tuple(note for note in self.notes if note.kind == "exercise")
