"""The casebook as tables on a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from rich.markup import escape
from rich.table import Table

from cliptag.casebook import (
    STATE_WORDS,
    Client,
    ClientRecord,
    Day,
    Missing,
    Programme,
    ReceivedClip,
    Tally,
)
from cliptag.consent import PURPOSE_WORDS

_WHOLE = ("clip", "week", "day", "received", "due", "until")


def day_tables(day: Day) -> list[Table]:
    """What a day asks, most urgent first; nothing where nothing waits."""
    late = {clip.id for clip in day.late}
    groups = (
        ("To review", day.to_review),
        ("To export (cliptag export --all-due)", day.to_export),
        ("To send", day.to_send),
    )
    tables = [
        _waiting(title, clips, late, set(day.without_consent)) for title, clips in groups if clips
    ]
    gaps = [gap for gap in day.missing if gap.is_late]
    coming = [gap for gap in day.missing if not gap.is_late]
    if gaps:
        tables.append(_gaps("Not come", gaps))
    if coming:
        tables.append(_gaps("Expected this week", coming))
    return tables


def clients_table(people: Sequence[Client], tallies: Mapping[int, Tally]) -> Table:
    """Clients with how many clips they sent, and how many wait."""
    table = _table("Clients", "name", "language", "contact", "clips", "waiting")
    for person in people:
        tally = tallies.get(person.id, Tally(client_id=person.id, clips=0, waiting=0))
        counts = (str(tally.clips), str(tally.waiting or ""))
        _row(table, person.name, person.language, person.contact, *counts)
    return table


def clips_table(clips: Sequence[ReceivedClip], title: str) -> Table:
    """Clips with how far their reviews are."""
    table = _table(title, "clip", "client", "week", "topic", "file", "received", "due", "review")
    for clip in clips:
        _row(
            table,
            *(str(clip.id), clip.client, str(clip.week or ""), clip.topic or ""),
            *(clip.path.rpartition("/")[2], str(clip.received_on), str(clip.due_on)),
            STATE_WORDS[clip.state],
        )
    return table


def client_table(record: ClientRecord) -> Table:
    """One client."""
    person = record.client
    table = Table(title=escape(person.name), title_justify="left", show_header=False)
    facts = (
        ("language", person.language),
        ("contact", person.contact),
        ("notes", person.notes),
        ("since", str(person.created_on)),
        ("clips", str(len(record.clips))),
        ("programmes", ", ".join(f"{p.name} from {p.starts_on}" for p in record.programmes)),
        ("consent", f"{len(record.consent)} entries" if record.consent else "none recorded"),
    )
    for name, value in facts:
        _row(table, name, value)
    return table


def plan_table(programme: Programme, clips: Iterable[ReceivedClip]) -> Table:
    """A programme, and what came in each of its weeks."""
    title = f"{programme.name}, from {programme.starts_on}"
    table = _table(title, "week", "until", "topic", "clips")
    came = [clip for clip in clips if clip.programme_id == programme.id]
    for planned in programme.weeks:
        numbers = [str(clip.id) for clip in came if clip.week == planned.week]
        until = programme.ends_week_on(planned.week)
        _row(table, str(planned.week), str(until), planned.topic, ", ".join(numbers))
    return table


def consent_table(record: ClientRecord) -> Table:
    """What a client said about being shown."""
    columns = ("day", "said", "for", "clips", "until", "how", "message")
    table = _table(record.client.name, *columns)
    for word in record.consent:
        _row(
            table,
            str(word.said_on),
            "agreed" if word.is_given else "withdrawn",
            ", ".join(PURPOSE_WORDS[purpose] for purpose in word.covers),
            str(word.clip_id or "all"),
            str(word.until or ""),
            word.how,
            word.message or "",
        )
    return table


def _waiting(title: str, clips: Sequence[ReceivedClip], late: set[int], refused: set[int]) -> Table:
    table = _table(title, "clip", "client", "week", "topic", "received", "due", "")
    for clip in clips:
        remarks = [STATE_WORDS[clip.state]] if clip.state == "in_work" else []
        remarks += ["late"] if clip.id in late else []
        remarks += ["no consent"] if clip.id in refused else []
        _row(
            table,
            *(str(clip.id), clip.client, str(clip.week or ""), clip.topic or ""),
            *(str(clip.received_on), str(clip.due_on), ", ".join(remarks)),
        )
    return table


def _gaps(title: str, gaps: Sequence[Missing]) -> Table:
    table = _table(title, "client", "week", "topic", "until")
    for gap in gaps:
        _row(table, gap.client, str(gap.week), gap.topic, str(gap.due_on))
    return table


def _table(title: str, *columns: str) -> Table:
    table = Table(title=escape(title), title_justify="left")
    for column in columns:
        table.add_column(column, no_wrap=column in _WHOLE, overflow="fold")
    return table


def _row(table: Table, *texts: str) -> None:
    table.add_row(*map(escape, texts))
