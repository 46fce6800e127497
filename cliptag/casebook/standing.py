"""How a client stands: what each week of a programme brought, and what is agreed to."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import Final, Literal

from msgspec import Struct

from cliptag.casebook.clients import programme_on
from cliptag.casebook.model import Programme, ReceivedClip
from cliptag.consent import PURPOSES, ConsentWord, why_not
from cliptag.review import ConsentPurpose

WeekState = Literal["ahead", "nothing_sent", "waits", "in_work", "ready", "sent"]
"""``ahead``: the week has not begun. ``ready``: all is said of its clips, they are to be sent."""
WEEK_WORDS: Final[dict[WeekState, str]] = {
    "ahead": "to come",
    "nothing_sent": "nothing sent",
    "waits": "waits",
    "in_work": "in work",
    "ready": "ready",
    "sent": "sent",
}
_OF_CLIP: Final[dict[str, WeekState]] = {
    "new": "waits",
    "in_work": "in_work",
    "done": "ready",
    "exported": "ready",
    "sent": "sent",
}
_ORDER: Final = ("waits", "in_work", "ready", "sent")


class WeekStanding(Struct, frozen=True, kw_only=True):
    """One week of a programme: the state of its clip that is least far; ``is_late`` when the
    week is over and brought none, or an answer is overdue.
    """

    week: int
    topic: str
    starts_on: dt.date
    ends_on: dt.date
    state: WeekState
    is_late: bool
    clips: tuple[int, ...]


class ConsentStanding(Struct, frozen=True, kw_only=True):
    """What holds for one purpose on a day, for all clips of a client or for one.

    ``word`` is the newest that was said of it; None when the client was never asked.
    """

    purpose: ConsentPurpose
    clip_id: int | None
    state: Literal["agreed", "withdrawn", "ended", "not_asked"]
    word: ConsentWord | None


def weeks_of(
    programme: Programme, clips: Iterable[ReceivedClip], on_date: dt.date
) -> tuple[WeekStanding, ...]:
    """A programme's weeks as they stand on a day."""
    own = [kept for kept in clips if kept.programme_id == programme.id]
    return tuple(
        _week(programme, planned.week, planned.topic, own, on_date) for planned in programme.weeks
    )


def present_programme(programmes: Sequence[Programme], on_date: dt.date) -> Programme | None:
    """The programme that a day belongs to; else the first one to come."""
    begun = programme_on(programmes, on_date)
    return begun or min(programmes, key=lambda programme: programme.starts_on, default=None)


def to_compare(clips: Iterable[ReceivedClip]) -> tuple[ReceivedClip, ReceivedClip] | None:
    """The first and the newest clip of one topic that were worked at; of the topics that have
    two, the one that came last. None where no topic has two.
    """
    by_topic: dict[str, list[ReceivedClip]] = {}
    for kept in sorted(clips, key=lambda kept: (kept.received_at, kept.id)):
        if kept.topic and kept.state != "new":
            by_topic.setdefault(kept.topic, []).append(kept)
    pairs = [(group[0], group[-1]) for group in by_topic.values() if len(group) > 1]
    return max(pairs, key=lambda pair: pair[1].received_at, default=None)


def consent_of(words: Iterable[ConsentWord], on_date: dt.date) -> tuple[ConsentStanding, ...]:
    """What is agreed to on a day: each purpose for all clips, then what holds for single ones."""
    said = [word for word in words if word.said_on <= on_date]
    general = tuple(_standing(said, None, purpose, on_date) for purpose in PURPOSES)
    own = sorted({(word.clip_id, p) for word in said if word.clip_id for p in word.covers})
    return general + tuple(_standing(said, clip_id, purpose, on_date) for clip_id, purpose in own)


def _week(
    programme: Programme, week: int, topic: str, own: Sequence[ReceivedClip], on_date: dt.date
) -> WeekStanding:
    starts_on = programme.ends_week_on(week - 1) + dt.timedelta(days=1)
    ends_on = programme.ends_week_on(week)
    clips = [kept for kept in own if kept.week == week]
    state: WeekState = "nothing_sent" if starts_on <= on_date else "ahead"
    if clips:
        state = min((_OF_CLIP[kept.state] for kept in clips), key=_ORDER.index)
    owes_answer = any(kept.state != "sent" and kept.due_on < on_date for kept in clips)
    return WeekStanding(
        week=week,
        topic=topic,
        starts_on=starts_on,
        ends_on=ends_on,
        state=state,
        is_late=owes_answer or (not clips and ends_on < on_date),
        clips=tuple(kept.id for kept in clips),
    )


def _standing(
    said: Sequence[ConsentWord], clip_id: int | None, purpose: ConsentPurpose, on_date: dt.date
) -> ConsentStanding:
    about = [word for word in said if word.clip_id == clip_id and purpose in word.covers]
    newest = max(about, key=lambda word: (word.said_on, word.id), default=None)
    if newest is None:
        state: Literal["agreed", "withdrawn", "ended", "not_asked"] = "not_asked"
        if clip_id is None and why_not(said, 0, purpose, on_date) is None:
            state = "agreed"  # by a wider purpose
    elif not newest.is_given:
        state = "withdrawn"
    else:
        state = "ended" if newest.until is not None and newest.until < on_date else "agreed"
    return ConsentStanding(purpose=purpose, clip_id=clip_id, state=state, word=newest)
