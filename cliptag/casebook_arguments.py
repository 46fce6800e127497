"""What may be said after ``cliptag casebook``; loads nothing, so that help comes at once."""

from __future__ import annotations

import argparse
import datetime as dt
from pathlib import Path
from typing import Any, Final

PURPOSES: Final = ("private_feedback", "face_covered", "public")
STATES: Final = ("new", "in_work", "done", "exported", "sent")


def add_casebook_verbs(parser: argparse.ArgumentParser) -> None:
    """Give the casebook's parser its verbs."""
    add_book(parser)
    verbs = parser.add_subparsers(title="what it can do", metavar="VERB", dest="book_verb")

    day = _verb(verbs, "day", "what waits, what is late, who has not sent a clip", "day")
    day.add_argument("--on", type=_day, metavar="DATE", help="another day than today")
    day.add_argument("--week", type=int, metavar="N", help="who has not sent week N")

    shown = _verb(verbs, "list", "list the clients, or the clips of one", "list Ines")
    shown.add_argument("client", nargs="?", metavar="CLIENT")
    shown.add_argument("--state", choices=STATES, help="only clips whose review is so far")

    add = _verb(verbs, "add", "copy clips into a client's week", "add Ines IMG_0412.mov --week 4")
    add.add_argument("client", metavar="CLIENT")
    add.add_argument("clips", nargs="+", type=Path, metavar="CLIP")
    add.add_argument("--week", type=int, metavar="N", help="default: that of the day in the plan")
    add.add_argument("--topic", help="default: that of the week in the plan")
    add.add_argument("--received", type=_day, metavar="DATE", help="default: today")
    add.add_argument("--due", type=_day, metavar="DATE", help="default: in three days")

    client = _verb(
        verbs,
        "client",
        "show a client, add one, or change one",
        "client Ines --contact ines@example.org --language pt",
    )
    client.add_argument("client", metavar="CLIENT")
    client.add_argument("--language", metavar="CODE", help="by ISO 639, such as en, de or pt")
    client.add_argument("--contact", metavar="TEXT")
    client.add_argument("--notes", metavar="TEXT")
    client.add_argument("--rename", metavar="NAME")

    plan = _verb(
        verbs,
        "plan",
        "show a client's programme, begin one, or change its weeks",
        "plan Ines --start 2026-03-02 --topics sitting:3,standing:2,bending:3,lifting:2",
    )
    plan.add_argument("client", metavar="CLIENT")
    plan.add_argument("--start", type=_day, metavar="DATE", help="begin a programme on that day")
    plan.add_argument(
        "--topics", type=_topics, metavar="LIST", help="one topic a week; sitting:3 is three weeks"
    )
    plan.add_argument("--title", default="", metavar="TEXT")

    find = _verb(verbs, "find", "find clients and clips by words", "find violin week")
    find.add_argument("words", nargs="+", metavar="WORD")

    consent = _verb(
        verbs,
        "consent",
        "show what a client agreed to, record it, or record its end",
        "consent Ines --for private_feedback --how e-mail --message agreed.eml",
    )
    consent.add_argument("client", metavar="CLIENT")
    consent.add_argument(
        "--for",
        dest="covers",
        type=_purposes,
        metavar="PURPOSES",
        help=f"what for: {','.join(PURPOSES)} (one or several)",
    )
    consent.add_argument("--clip", type=int, metavar="N", help="this clip only, by its number")
    consent.add_argument("--how", metavar="TEXT", help="how it was said, such as e-mail")
    consent.add_argument("--on", type=_day, metavar="DATE", help="when (default: today)")
    consent.add_argument(
        "--until", type=_day, metavar="DATE", help="the last day on which it holds"
    )
    consent.add_argument("--message", type=Path, metavar="FILE", help="what the client wrote")
    consent.add_argument("--withdraw", action="store_true", help="the client agrees no more")

    review = _verb(
        verbs, "review", "show where a clip's review is, or say how far it is", "review 17 --done"
    )
    review.add_argument("clip", type=int, metavar="N", help="the clip's number")
    states = review.add_mutually_exclusive_group()
    states.add_argument("--done", action="store_const", const="done", dest="state")
    states.add_argument("--in-work", action="store_const", const="in_work", dest="state")
    states.add_argument("--new", action="store_const", const="new", dest="state")
    review.add_argument("--due", type=_day, metavar="DATE", help="promise the answer by this day")

    sent = _verb(verbs, "sent", "put down that a take-home was sent", "sent 17 --how messenger")
    sent.add_argument("clip", type=int, metavar="N", help="the clip's number")
    sent.add_argument("--how", default="", metavar="TEXT")
    sent.add_argument("--on", type=_day, metavar="DATE", help="when (default: now)")
    sent.add_argument("--folder", type=Path, metavar="DIR", help="one that was made elsewhere")

    data = _verb(
        verbs,
        "export-data",
        "hand over all that is kept of a client",
        "export-data Ines --out ines.zip",
    )
    data.add_argument("client", metavar="CLIENT")
    data.add_argument("--out", type=Path, required=True, metavar="DIR|FILE.zip")

    erase = _verb(verbs, "erase", "forget a client for good", "erase Ines --yes")
    erase.add_argument("client", metavar="CLIENT")
    erase.add_argument("--yes", action="store_true", help="really; nothing brings it back")

    check = _verb(verbs, "check", "tell whether the casebook is whole", "check")
    check.add_argument(
        "--every-byte", action="store_true", help="read all clips and take-homes for it"
    )
    _verb(verbs, "repair", "mend what can be mended; nothing is deleted", "repair")


def add_many(parser: argparse.ArgumentParser) -> None:
    """The options of an export of all that is due."""
    add_book(parser)
    parser.add_argument(
        "--workers", type=_count, metavar="N", help="so many at a time (half as many as cores)"
    )
    parser.add_argument(
        "--scheduler", metavar="ADDRESS", help="on the machines of this dask scheduler"
    )


def add_book(parser: argparse.ArgumentParser, default: Any = None) -> None:
    """The option that says which casebook."""
    parser.add_argument(
        "--book",
        type=Path,
        metavar="DIR",
        default=default,
        help="the casebook's folder (default: CLIPTAG_CASEBOOK, else the user's data folder)",
    )


def _verb(verbs: Any, name: str, does: str, example: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = verbs.add_parser(
        name,
        help=does,
        description=f"{does[:1].upper()}{does[1:]}.",
        epilog=f"Example: cliptag casebook {example}",
    )
    parser.set_defaults(book_verb=name)
    add_book(parser, argparse.SUPPRESS)  # or it would undo one given before the verb
    parser.add_argument("--json", action="store_true", help="print facts as JSON")
    return parser


def _day(word: str) -> dt.date:
    try:
        return dt.date.fromisoformat(word)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{word} is no day: write it like 2026-03-31") from None


def _count(word: str) -> int:
    if not (word.isascii() and word.isdigit() and 0 < int(word) < 1000):
        raise argparse.ArgumentTypeError(f"{word} is no number of workers: give one such as 2")
    return int(word)


def _topics(words: str) -> list[str]:
    topics: list[str] = []
    for word in words.split(","):
        topic, colon, count = word.partition(":")
        if not topic.strip() or (colon and not (count.isdigit() and 0 < int(count) <= 520)):
            raise argparse.ArgumentTypeError(
                f"{word!r} is no topic: write them like sitting:3,standing,bending:2"
            )
        topics += [topic.strip()] * (int(count) if colon else 1)
    return topics


def _purposes(words: str) -> list[str]:
    given = [word.strip() for word in words.split(",") if word.strip()]
    strange = [word for word in given if word not in PURPOSES]
    if strange or not given:
        raise argparse.ArgumentTypeError(
            f"{strange[0] if strange else 'nothing'} is no purpose: choose of {', '.join(PURPOSES)}"
        )
    return given
