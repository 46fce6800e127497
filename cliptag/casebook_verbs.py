"""What each verb of ``cliptag casebook`` does; every function gives the exit code."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections.abc import Callable
from typing import Any, Final

import msgspec
import rich

from cliptag.casebook import (
    Casebook,
    Client,
    Imported,
    repair_casebook,
)
from cliptag.casebook_due import folder_of
from cliptag.casebook_tables import (
    client_table,
    clients_table,
    clips_table,
    consent_table,
    day_tables,
    plan_table,
)
from cliptag.consent import PURPOSES
from cliptag.errors import CasebookError
from cliptag.printing import print_json, size_words

DONE, COULD_NOT = 0, 1


def casebook(options: Namespace) -> int:
    """Run one verb of the casebook."""
    verb = options.book_verb or "day"
    if verb == "repair":
        return _repair(options)
    if verb == "client":  # the first one begins a casebook
        with Casebook.make(folder_of(options)) as book:
            return _client(book, options)
    with Casebook.open(folder_of(options)) as book:
        return _VERBS[verb](book, options)


def _print_facts(**facts: Any) -> int:
    print_json({name: msgspec.to_builtins(value) for name, value in facts.items()})
    return DONE


def _day(book: Casebook, options: Namespace) -> int:
    book.refresh()
    on_date = getattr(options, "on", None) or dt.date.today()
    if getattr(options, "week", None) is not None:
        gaps = book.missing(on_date, week=options.week)
        if options.json:
            return _print_facts(missing=gaps)
        for gap in gaps:
            print(f"{gap.client} has not sent week {gap.week} ({gap.topic}).")
        if not gaps:
            print(f"Nobody owes week {options.week}.")
        return DONE
    day = book.day(on_date)
    if getattr(options, "json", False):
        return _print_facts(day=day)
    tables = day_tables(day)
    for table in tables:
        rich.print(table)
    if not tables:
        print(f"Nothing waits on {day.on_date}.")
    return DONE


def _list(book: Casebook, options: Namespace) -> int:
    book.refresh()
    if options.client is None and options.state is None:
        people = book.clients()
        if options.json:
            return _print_facts(clients=people)
        rich.print(clients_table(people, book.tallies()))
        return DONE
    clips = book.clips(options.client, state=options.state)
    if options.json:
        return _print_facts(clips=clips)
    rich.print(clips_table(clips, options.client or "Clips"))
    return DONE


def _add(book: Casebook, options: Namespace) -> int:
    received = options.received and dt.datetime.combine(options.received, dt.time(12)).astimezone()
    added: list[Imported] = []
    for path in options.clips:
        added += book.add(
            options.client,
            [path],
            week=options.week,
            topic=options.topic,
            received_at=received,
            due_on=options.due,
        )
        if not options.json:
            print(added[-1].sentence)
    return _print_facts(added=added) if options.json else DONE


def _client(book: Casebook, options: Namespace) -> int:
    try:
        book.client(options.client)
    except CasebookError:
        person = _new(book, options)
    else:
        person = _changed(book, options)
    record = book.record(person.name)
    if options.json:
        return _print_facts(record=record)
    rich.print(client_table(record))
    return DONE


def _changed(book: Casebook, options: Namespace) -> Client:
    return book.change_client(
        options.client,
        new_name=options.rename,
        language=options.language,
        contact=options.contact,
        notes=options.notes,
    )


def _new(book: Casebook, options: Namespace) -> Client:
    if options.rename:
        return book.client(options.client)  # says that there is none
    return book.add_client(
        options.client,
        language=options.language or "en",
        contact=options.contact or "",
        notes=options.notes or "",
    )


def _plan(book: Casebook, options: Namespace) -> int:
    kept = book.programmes(options.client)
    if options.start is not None:
        topics = options.topics or (kept[-1:] and [week.topic for week in kept[-1].weeks])
        book.plan(options.client, starts_on=options.start, topics=topics or (), title=options.title)
    elif options.topics:
        if not kept:
            raise CasebookError(
                f"{options.client} has no programme yet: say when it begins, with --start DATE."
            )
        book.change_plan(kept[-1], options.topics)
    kept = book.programmes(options.client)
    if options.json:
        return _print_facts(programmes=kept)
    clips = book.clips(options.client)
    for programme in kept:
        rich.print(plan_table(programme, clips))
    if not kept:
        print("There is no programme yet: begin one with --start DATE --topics LIST.")
    return DONE


def _find(book: Casebook, options: Namespace) -> int:
    found = book.find(" ".join(options.words))
    if options.json:
        return _print_facts(found=found)
    if found.clients:
        rich.print(clients_table(found.clients, book.tallies()))
    if found.clips:
        rich.print(clips_table(found.clips, "Clips"))
    if not found.clients and not found.clips:
        print("Nothing was found.")
    return DONE


def _consent(book: Casebook, options: Namespace) -> int:
    if options.covers:
        on_date = options.on or dt.date.today()
        if options.how is None:
            raise CasebookError("Say how the client said it, such as --how e-mail.")
        if options.withdraw:
            book.withdraw_consent(
                options.client,
                options.covers,
                withdrawn_on=on_date,
                how=options.how,
                message=options.message,
                clip_id=options.clip,
            )
        else:
            book.record_consent(
                options.client,
                options.covers,
                given_on=on_date,
                how=options.how,
                until=options.until,
                message=options.message,
                clip_id=options.clip,
            )
    elif options.withdraw or options.how or options.message:
        raise CasebookError(f"Say what for, with --for: {', '.join(PURPOSES)}.")
    record = book.record(options.client)
    if options.json:
        return _print_facts(consent=record.consent)
    rich.print(consent_table(record))
    if not record.consent:
        print("Nothing is recorded: no clip of this client may be sent or shown.")
    return DONE


def _review(book: Casebook, options: Namespace) -> int:
    book.refresh()
    clip = book.clip(options.clip)
    if options.state:
        clip = book.set_state(clip.id, options.state)
    if options.due:
        clip = book.set_due(clip.id, options.due)
    if options.json:
        return _print_facts(clip=clip, review=str(book.review_path(clip)))
    rich.print(clips_table((clip,), clip.client))
    print(book.review_path(clip))
    return DONE


def _sent(book: Casebook, options: Namespace) -> int:
    sent_at = options.on and dt.datetime.combine(options.on, dt.time(12)).astimezone()
    made = book.mark_sent(options.clip, how=options.how, sent_at=sent_at, folder=options.folder)
    if options.json:
        return _print_facts(take_home=made)
    print(f"{made.folder} counts as sent.")
    return DONE


def _export_data(book: Casebook, options: Namespace) -> int:
    target = book.export_data(options.client, options.out)
    if options.json:
        return _print_facts(target=str(target))
    print(f"All that is kept of {book.client(options.client).name} is in {target}.")
    return DONE


def _erase(book: Casebook, options: Namespace) -> int:
    record = book.record(options.client)
    if not options.yes:
        raise CasebookError(
            f"This would erase {record.client.name} with {len(record.clips)} clips, their reviews "
            "and take-homes for good. Hand the data over first if it was asked for (export-data), "
            "then add --yes."
        )
    erased = book.erase(options.client)
    if options.json:
        return _print_facts(
            erased=msgspec.structs.replace(erased, outside=()),
            outside=[str(path) for path in erased.outside],
        )
    print(
        f"Erased: {erased.files} files ({size_words(erased.bytes)}), and {erased.traces} traces in "
        f"caches and lists. What remains is the number {erased.tombstone} and the day."
    )
    for path in erased.outside:
        print(f"Left alone, for you to delete: {path}")
    return DONE


def _check(book: Casebook, options: Namespace) -> int:
    problems = book.check(every_byte=options.every_byte)
    if options.json:
        _print_facts(is_whole=not problems, problems=problems)
    else:
        for problem in problems:
            print(problem.sentence)
        print("Mend what can be mended: cliptag casebook repair" if problems else "All is whole.")
    return COULD_NOT if problems else DONE


def _repair(options: Namespace) -> int:
    done = repair_casebook(folder_of(options))
    if options.json:
        return _print_facts(done=done)
    for sentence in done:
        print(sentence)
    if not done:
        print("There was nothing to mend.")
    return DONE


_VERBS: Final[dict[str, Callable[[Casebook, Namespace], int]]] = {
    "day": _day,
    "list": _list,
    "add": _add,
    "plan": _plan,
    "find": _find,
    "consent": _consent,
    "review": _review,
    "sent": _sent,
    "export-data": _export_data,
    "erase": _erase,
    "check": _check,
}
