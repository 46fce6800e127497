"""Made-up reviews for tests: a plain one, and hypothesis strategies for any."""

from __future__ import annotations

import datetime as dt
from typing import Any, get_args

from hypothesis import strategies as st

from cliptag.review import (
    CLIMB,
    MOMENTS_OF,
    Arrow,
    Between,
    ClipRef,
    Consent,
    CoverArea,
    CoverCheck,
    CoverKey,
    Joint,
    Kind,
    Line,
    Mark,
    Moment,
    Movement,
    Note,
    Plumb,
    PlumbLine,
    Point,
    PointKey,
    Review,
    Ring,
    Scale,
    Shade,
    Span,
    Stroke,
    Tilt,
    TrackedPoint,
    Voice,
)
from cliptag.review.marks import JointName, MarkColour, MarkWeight, SegmentName, SpanAxis


def clip_ref(**fields: Any) -> ClipRef:
    """A reference to a clip that need not exist."""
    usual = {
        "path": "clip.mp4",
        "size_bytes": 1000,
        "duration_us": 10_000_000,
        "digest": "0123456789abcdef",
        "width": 1080,
        "height": 1920,
    }
    return ClipRef(**(usual | fields))


def note(number: int = 1, **fields: Any) -> Note:
    """A plain note."""
    usual: dict[str, Any] = {
        "id": f"n{number}",
        "region": "knees",
        "kind": "seen",
        "start_us": number * 1_000_000,
        "end_us": number * 1_000_000 + 800_000,
        "text": f"Note number {number}.",
    }
    return Note(**(usual | fields))


def every_mark() -> tuple[Mark, ...]:
    """One mark of each type."""
    a, b, c = Point(100.0, 200.0), Point(300.5, 250.25), Point(320.0, 600.0)
    return (
        Arrow(id="arrow", tail=a, head=b),
        Ring(id="ring", centre=b, radius_x=60.0, radius_y=40.0),
        Shade(id="shade", corners=(a, b, c)),
        Stroke(id="stroke", points=(a, b, c)),
        Line(id="line", a=a, b=c),
        Plumb(id="plumb", through=b),
        Joint(id="joint", joint="knee", proximal=a, vertex=b, distal=c),
        Tilt(id="tilt", segment="trunk", lower=c, upper=b),
        Span(id="span", a=a, b=c),
        Between(id="between", a=a, b=c, c=b, d=Point(120.0, 500.0)),
    )


coordinates = st.floats(-500, 5000, allow_nan=False)
points = st.builds(Point, coordinates, coordinates)
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=120)
ids = st.text("abcdef0123456789", min_size=1, max_size=12)
pixels = st.floats(0.5, 900)


def _mark(kind: type, **fields: Any) -> st.SearchStrategy[Any]:
    return st.builds(
        kind,
        id=ids,
        label=texts,
        colour=st.sampled_from(get_args(MarkColour)),
        weight=st.sampled_from(get_args(MarkWeight)),
        **fields,
    )


def _several(least: int) -> st.SearchStrategy[tuple[Point, ...]]:
    return st.lists(points, min_size=least, max_size=6).map(tuple)


_placement = st.none() | pixels
marks: st.SearchStrategy[Mark] = st.one_of(
    _mark(Arrow, tail=points, head=points),
    _mark(Ring, centre=points, radius_x=pixels, radius_y=pixels),
    _mark(Shade, corners=_several(3)),
    _mark(Stroke, points=_several(2)),
    _mark(Line, a=points, b=points),
    _mark(Plumb, through=points),
    _mark(
        Joint,
        joint=st.sampled_from(get_args(JointName)),
        proximal=points,
        vertex=points,
        distal=points,
        placement_sd_px=_placement,
    ),
    _mark(
        Tilt,
        segment=st.sampled_from(get_args(SegmentName)),
        lower=points,
        upper=points,
        placement_sd_px=_placement,
    ),
    _mark(
        Span,
        a=points,
        b=points,
        axis=st.sampled_from(get_args(SpanAxis)),
        placement_sd_px=_placement,
    ),
    _mark(Between, a=points, b=points, c=points, d=points, placement_sd_px=_placement),
)


_keys = st.builds(PointKey, at_us=st.integers(0, 10_000_000), place=points, sd_px=_placement)
_tracked = st.builds(
    TrackedPoint,
    name=st.sampled_from(["hip", "knee", "ankle", "crate"]),
    keys=st.lists(_keys, min_size=1, max_size=3, unique_by=lambda key: key.at_us).map(tuple),
)


voices = st.builds(
    Voice,
    path=st.just("clip.voice/n1-1.flac"),
    start_us=st.integers(0, 1_000_000),
    end_us=st.integers(1_000_001, 90_000_000),
    digest=st.just("0123456789abcdef"),
    is_draft_text=st.booleans(),
    is_over_play=st.booleans(),
)


@st.composite
def notes(draw: st.DrawFn, duration_us: int = 10_000_000) -> Note:
    """A note somewhere in a clip of this length, with up to three marks."""
    start_us, end_us = sorted(draw(st.tuples(*[st.integers(0, duration_us)] * 2)))
    return Note(
        id=draw(ids),
        region=draw(st.sampled_from(CLIMB)),
        kind=draw(st.sampled_from(get_args(Kind))),
        start_us=start_us,
        end_us=end_us,
        text=draw(texts),
        marks=tuple(draw(st.lists(marks, max_size=3, unique_by=lambda mark: mark.id))),
        hold_us=draw(st.none() | st.integers(0, 5_000_000)),
        slow_by=draw(st.integers(1, 10)),
        repetitions=draw(texts),
        voice=draw(st.none() | voices),
    )


_covers = st.builds(
    CoverArea,
    id=st.sampled_from(["c1", "c2"]),
    what=st.sampled_from(["head", "other"]),
    keys=st.lists(
        st.builds(
            CoverKey,
            at_us=st.integers(0, 10_000_000),
            centre=points,
            radius_x=pixels,
            radius_y=pixels,
        ),
        min_size=1,
        max_size=3,
        unique_by=lambda key: key.at_us,
    ).map(lambda keys: tuple(sorted(keys, key=lambda key: key.at_us))),
    start_us=st.none() | st.integers(0, 100),
    end_us=st.none() | st.integers(100, 10_000_000),
)


@st.composite
def reviews(draw: st.DrawFn, duration_us: int = 10_000_000, most_notes: int = 6) -> Review:
    """Any sound review of a clip of this length."""
    movement: Movement = draw(st.sampled_from(get_args(Movement)))
    dates = st.dates(dt.date(2020, 1, 1), dt.date(2030, 1, 1))
    moments = [
        Moment(name=name, at_us=draw(st.integers(0, duration_us)))
        for name in draw(st.sets(st.sampled_from(MOMENTS_OF[movement] or ("",))))
        if name
    ]
    return Review(
        clip=clip_ref(duration_us=duration_us),
        client=draw(texts),
        coach=draw(texts),
        movement=movement,
        recorded_on=draw(st.none() | dates),
        week=draw(st.none() | st.integers(0, 52)),
        facing=draw(st.sampled_from([None, "left", "right"])),
        impression=draw(texts),
        notes=tuple(
            draw(st.lists(notes(duration_us), max_size=most_notes, unique_by=lambda n: n.id))
        ),
        looked_at=tuple(sorted(draw(st.sets(st.sampled_from(CLIMB))), key=CLIMB.index)),
        moments=tuple(moments),
        tracked=tuple(draw(st.lists(_tracked, max_size=3, unique_by=lambda point: point.name))),
        covers=tuple(draw(st.lists(_covers, max_size=2, unique_by=lambda area: area.id))),
        cover_checked=draw(st.sampled_from([(), (CoverCheck(start_us=3, end_us=9),)])),
        scale=draw(
            st.none()
            | st.builds(Scale, a=points, b=st.just(Point(9e3, 9e3)), length_cm=pixels, what=texts)
        ),
        plumb=draw(st.none() | st.builds(PlumbLine, top=points, bottom=st.just(Point(9e3, 9e3)))),
        consent=draw(
            st.none()
            | st.builds(
                Consent,
                given_on=dates,
                covers=st.just(("private_feedback",)),
                reference=texts,
                until=st.none() | dates,
            )
        ),
        caution=draw(texts),
    )
