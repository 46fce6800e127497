"""What the casebook tells, in words for people."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Final

from PyQt6.QtCore import QDate, QLocale

from cliptag.casebook import ConsentStanding, Day, Missing, ReceivedClip
from cliptag.consent import PURPOSE_WORDS
from cliptag.review import ConsentPurpose

PURPOSE_TITLES: Final[dict[ConsentPurpose, str]] = {
    purpose: words[:1].upper() + words[1:] for purpose, words in PURPOSE_WORDS.items()
}


def date_words(day: dt.date, today: dt.date | None = None) -> str:
    """A day as one says it; the year only where it is another one."""
    today = today or dt.date.today()
    shape = "d MMMM" if day.year == today.year else "d MMMM yyyy"
    return QLocale("en").toString(QDate(day.year, day.month, day.day), shape)


def weekday_words(day: dt.date) -> str:
    """A day with its weekday."""
    return QLocale("en").toString(QDate(day.year, day.month, day.day), "dddd, d MMMM yyyy")


def count_words(count: int, one: str, many: str = "") -> str:
    """'1 clip', '3 clips'."""
    return f"{count} {one if count == 1 else many or f'{one}s'}"


def week_words(week: int | None, topic: str | None) -> str:
    """The week and what it is about, as far as they are known."""
    return ", ".join(words for words in (f"week {week}" if week else "", topic or "") if words)


def due_words(kept: ReceivedClip, today: dt.date) -> str:
    """Until when the client was promised an answer."""
    days = (kept.due_on - today).days
    if days < 0:
        return f"late: the answer was due {date_words(kept.due_on, today)}, {_ago(-days)}"
    if days < 2:
        return f"answer due {'tomorrow' if days else 'today'}"
    return f"answer due {date_words(kept.due_on, today)}"


def came_words(kept: ReceivedClip, today: dt.date) -> str:
    """When a clip came."""
    days = (today - kept.received_on).days
    if days in (0, 1):
        return "came yesterday" if days else "came today"
    return f"came {date_words(kept.received_on, today)}"


def day_words(day: Day) -> str:
    """A day in a sentence."""
    parts = []
    if day.to_review:
        verb = "waits" if len(day.to_review) == 1 else "wait"
        parts.append(f"{count_words(len(day.to_review), 'clip')} {verb} for your review")
    if day.to_export:
        parts.append(f"{count_words(len(day.to_export), 'take-home')} to make")
    if day.to_send:
        parts.append(f"{len(day.to_send)} ready to send")
    if day.late:
        parts.append(f"{len(day.late)} late")
    owing = len({gap.client for gap in day.missing})
    if owing:
        parts.append(f"{count_words(owing, 'client')} {'owes' if owing == 1 else 'owe'} a clip")
    if not parts:
        return "Nothing waits."
    words = "; ".join(parts)
    return f"{words[:1].upper()}{words[1:]}."


def missing_by_client(gaps: Iterable[Missing]) -> dict[str, list[Missing]]:
    """What has not come, by client, those who are late first."""
    found: dict[str, list[Missing]] = {}
    for gap in sorted(gaps, key=lambda gap: (not gap.is_late, gap.due_on, gap.client)):
        found.setdefault(gap.client, []).append(gap)
    return found


def missing_words(gaps: Iterable[Missing], today: dt.date) -> str:
    """The weeks that a client has not sent."""
    gaps = sorted(gaps, key=lambda gap: gap.week)
    late = [gap for gap in gaps if gap.is_late]
    parts = [_gap_words(gap) for gap in late]
    words = f"late: {', '.join(parts)}" if late else ""
    for gap in gaps:
        if not gap.is_late:
            until = f"{_gap_words(gap)}, until {date_words(gap.due_on, today)}"
            words = f"{words}; {until}" if words else until
    return words


def standing_words(standing: ConsentStanding, today: dt.date) -> str:
    """What holds for a purpose, without its name."""
    word = standing.word
    if standing.state == "not_asked":
        return "not asked yet"
    if word is None:
        return "agreed, since being shown openly is"
    on, how = date_words(word.said_on, today), f" ({word.how})"
    if standing.state == "withdrawn":
        return f"withdrawn on {on}{how}"
    assert word.until is not None or standing.state == "agreed"
    if standing.state == "ended":
        return f"agreed on {on}{how}, but only until {date_words(_day(word.until), today)}"
    until = f", until {date_words(word.until, today)}" if word.until else ""
    return f"agreed on {on}{how}{until}"


def _day(day: dt.date | None) -> dt.date:
    assert day is not None
    return day


def _gap_words(gap: Missing) -> str:
    return f"week {gap.week} ({gap.topic})"


def _ago(days: int) -> str:
    return "yesterday" if days == 1 else f"{days} days ago"
