"""Whether a client has agreed that a clip be shown, for what, and until when.

Consent is a list of words: what the client said, on which day. Nothing said is ever changed; a
withdrawal is one more word. For each purpose the newest word counts, and a word on one clip comes
before a word on all of them. Common practice, no source: to agree to being shown openly is to agree
to being shown with the face covered; sending a clip back to the client is asked for by itself.
"""

from __future__ import annotations

import datetime as dt
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Final, get_args

from msgspec import Struct

from cliptag.errors import CasebookError, ConsentError
from cliptag.review import Consent, ConsentPurpose, Review

CASEBOOK_FILE: Final = "casebook.db"
CLIENTS: Final = "clients"
RECORD: Final = "client.json"
PURPOSES: Final[tuple[ConsentPurpose, ...]] = get_args(ConsentPurpose)
PURPOSE_WORDS: Final[dict[ConsentPurpose, str]] = {
    "private_feedback": "private feedback",
    "face_covered": "being shown with the face covered",
    "public": "being shown openly",
}
_COVERED_BY: Final[dict[ConsentPurpose, tuple[ConsentPurpose, ...]]] = {
    "private_feedback": ("private_feedback",),
    "face_covered": ("face_covered", "public"),
    "public": ("public",),
}


class ConsentWord(Struct, frozen=True, kw_only=True):
    """What a client said about being shown: an agreement, or with ``is_given`` False its end.

    ``clip_id`` is None for all clips of the client. ``until`` is the last day on which it holds.
    ``message`` is the file with what was written, below the client's folder.
    """

    id: int
    clip_id: int | None = None
    is_given: bool
    covers: tuple[ConsentPurpose, ...]
    said_on: dt.date
    how: str
    until: dt.date | None = None
    message: str | None = None


def why_not(
    words: Iterable[ConsentWord], clip_id: int, purpose: ConsentPurpose, on_date: dt.date
) -> str | None:
    """None when the clip may be shown for the purpose on that day, else a sentence why not."""
    said = [word for word in words if word.said_on <= on_date]
    own = _newest(said, clip_id, purpose)
    if own is not None and not own.is_given:
        return (
            f"The consent for {PURPOSE_WORDS[purpose]} was withdrawn on {own.said_on}: "
            "don't use this clip for it."
        )
    if _in_force(said, clip_id, purpose, on_date):
        return None
    found = [_newest(said, clip_id, wider) for wider in _COVERED_BY[purpose]]
    ended = [word.until for word in found if word and word.is_given and word.until]
    if ended:
        return (
            f"The consent for {PURPOSE_WORDS[purpose]} ended on {max(ended)}: ask the client "
            "again, in writing, and record the answer."
        )
    return (
        f"There is no consent for {PURPOSE_WORDS[purpose]} of this clip: ask the client, in "
        "writing, and record the answer."
    )


def consent_in_force(
    words: Iterable[ConsentWord], clip_id: int, on_date: dt.date
) -> Consent | None:
    """What a review writes of a clip's consent: all that is agreed to on that day, or None."""
    words = tuple(words)
    covers = tuple(p for p in PURPOSES if why_not(words, clip_id, p, on_date) is None)
    if not covers:
        return None
    behind = [_in_force(words, clip_id, purpose, on_date) for purpose in covers]
    newest = max((word for found in behind for word in found), key=_age)
    # Each purpose holds as long as any word behind it; all of them, until the first one ends.
    ends = [max(word.until or dt.date.max for word in found) for found in behind]
    return Consent(
        given_on=newest.said_on,
        covers=covers,
        reference=newest.how[:200],
        until=min(ends) if min(ends) < dt.date.max else None,
    )


def refuse_without_consent(
    review: Review,
    review_path: Path,
    clip_path: Path,
    purpose: ConsentPurpose,
    on_date: dt.date | None = None,
) -> None:
    """Raise ConsentError with a sentence unless the client agreed to the purpose.

    For a clip or review that lies in a casebook the casebook is asked, since a review that was
    open elsewhere may be older than a withdrawal. Else the review's own consent counts; one that
    has none may be made for private feedback, so that a first try works (its advice says so).
    """
    on_date = on_date or dt.date.today()
    sentence = _why_not_review(review, purpose, on_date)
    book = casebook_of(clip_path) or casebook_of(review_path)
    if book is not None:
        sentence = _why_not_in(book, review.clip.digest, purpose, on_date)
    if sentence is not None:
        raise ConsentError(sentence)


def casebook_of(path: Path) -> Path | None:
    """The folder of the casebook in which a file lies, also where it has lost its database."""
    try:
        whole = path.resolve()
    except OSError:
        return None
    for folder in whole.parents:
        clients = folder / CLIENTS
        if whole.is_relative_to(clients):
            home = clients / whole.relative_to(clients).parts[0]
            if (folder / CASEBOOK_FILE).is_file() or (home / RECORD).is_file():
                return folder
    return None


def words_from_rows(rows: Iterable[tuple[object, ...]]) -> tuple[ConsentWord, ...]:
    """Words from rows of ``WORD_COLUMNS``."""
    return tuple(
        ConsentWord(
            id=int(str(id_)),
            clip_id=None if clip_id is None else int(str(clip_id)),
            is_given=bool(is_given),
            covers=tuple(p for p in PURPOSES if p in str(covers).split()),
            said_on=dt.date.fromisoformat(str(said_on)),
            how=str(how),
            until=None if until is None else dt.date.fromisoformat(str(until)),
            message=None if message is None else str(message),
        )
        for id_, clip_id, is_given, covers, said_on, how, until, message in rows
    )


WORD_COLUMNS: Final = "w.id, w.clip_id, w.is_given, w.covers, w.said_on, w.how, w.until, w.message"


def _in_force(
    words: Iterable[ConsentWord], clip_id: int, purpose: ConsentPurpose, on_date: dt.date
) -> list[ConsentWord]:
    """The words by which a purpose is agreed to on a day, directly or by a wider one."""
    said = [word for word in words if word.said_on <= on_date]
    found = [_newest(said, clip_id, wider) for wider in _COVERED_BY[purpose]]
    return [
        word
        for word in found
        if word is not None and word.is_given and (word.until is None or word.until >= on_date)
    ]


def _newest(
    words: Iterable[ConsentWord], clip_id: int, purpose: ConsentPurpose
) -> ConsentWord | None:
    about = [word for word in words if purpose in word.covers]
    own = [word for word in about if word.clip_id == clip_id]
    general = [word for word in about if word.clip_id is None]
    return max(own or general, key=_age, default=None)


def _age(word: ConsentWord) -> tuple[dt.date, int]:
    return word.said_on, word.id


def _why_not_review(review: Review, purpose: ConsentPurpose, on_date: dt.date) -> str | None:
    consent = review.consent
    if consent is None:
        if purpose == "private_feedback":
            return None
        return why_not((), 0, purpose, on_date)
    word = ConsentWord(
        id=0,
        is_given=True,
        covers=consent.covers,
        said_on=consent.given_on,
        how=consent.reference,
        until=consent.until,
    )
    return why_not((word,), 0, purpose, on_date)


def _why_not_in(book: Path, digest: str, purpose: ConsentPurpose, on_date: dt.date) -> str | None:
    """Asks the casebook itself. Raises CasebookError when it can't be asked."""
    uri = f"{(book / CASEBOOK_FILE).absolute().as_uri()}?mode=ro"
    try:
        with closing(sqlite3.connect(uri, uri=True, timeout=10)) as db:
            clip = db.execute(
                "SELECT id, client_id FROM clips WHERE digest = ?", (digest,)
            ).fetchone()
            if clip is None:
                return (
                    "This clip lies in the casebook's folder, but the casebook doesn't know it: "
                    "add it to a client first (cliptag casebook add)."
                )
            rows = db.execute(
                f"SELECT {WORD_COLUMNS} FROM consent_words w WHERE w.client_id = ?"
                " AND (w.clip_id IS NULL OR w.clip_id = ?)",
                (clip[1], clip[0]),
            ).fetchall()
    except sqlite3.Error as error:
        raise CasebookError(
            f"The casebook at {book} can't be asked for the client's consent ({error}): "
            "check it with cliptag casebook check."
        ) from error
    return why_not(words_from_rows(rows), clip[0], purpose, on_date)
