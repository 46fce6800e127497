"""A clip that lies in its place is entered: its facts, its review, its row."""

from __future__ import annotations

import datetime as dt
import shutil
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Final

import msgspec

from cliptag.casebook.device import tells_device
from cliptag.casebook.model import ANSWER_DAYS, Client, Programme, ReceivedClip
from cliptag.casebook.rows import put_clip, put_word
from cliptag.casebook.store import CLIP_SQL, Store
from cliptag.casebook.versions import fingerprint, stamp
from cliptag.clip import ClipInfo, open_clip
from cliptag.consent import ConsentWord, consent_in_force
from cliptag.errors import ReviewError
from cliptag.files import replacing
from cliptag.opening import review_path_of, start_review
from cliptag.review import (
    SUFFIX,
    Consent,
    Movement,
    Review,
    edit,
    load_review,
    path_for_review,
    save_review,
)

VOICE: Final = ".voice"
"""Ends the name of the folder with what a coach said for a review."""
_MOVEMENT_OF: Final[dict[str, Movement]] = {
    "sitting": "sitting",
    "standing": "standing",
    "bending": "bend",
    "lifting": "lift",
}


@dataclass(frozen=True, slots=True)
class Arrival:
    """Whose clip it is, for which week, and how it came."""

    person: Client
    programme: Programme | None
    week: int | None
    topic: str | None
    source: Path
    received_at: dt.datetime
    due_on: dt.date | None = None

    @property
    def about(self) -> str | None:
        """The topic: the coach's word, else the plan's."""
        planned = self.programme.topic_of(self.week) if self.programme else None
        return self.topic or planned


@dataclass(frozen=True, slots=True)
class Content:
    """What a clip's file tells; ``review`` is an empty one of it."""

    info: ClipInfo
    review: Review
    digest: str
    checksum: str


def content_of(path: Path, checksum: str) -> Content:
    """Read a clip's facts. Raises ClipError when it is none."""
    with open_clip(path) as clip:
        return Content(clip.info, start_review(clip), clip.digest, checksum)


def enter(store: Store, arrival: Arrival, content: Content, target: Path, review: Path) -> None:
    """Inside a change: write the review of a clip that lies at ``target``, and put down both.

    Its content is the review that is there, else the one beside the clip's source, else empty.
    """
    person = arrival.person
    home = store.client_folder(person.folder)
    words = _first_words(arrival.source, review, content.review)
    brought = words.consent
    words = _filled(store, arrival, words, path_for_review(target, review))
    save_review(words, review)
    received_at = arrival.received_at
    info = content.info
    kept = ReceivedClip(
        id=0,
        client_id=person.id,
        client=person.name,
        folder=person.folder,
        week=arrival.week,
        topic=arrival.about,
        path=target.relative_to(home).as_posix(),
        review=review.relative_to(home).as_posix(),
        state="in_work" if words.notes else "new",
        due_on=arrival.due_on or received_at.astimezone().date() + dt.timedelta(ANSWER_DAYS),
        received_at=received_at.astimezone(dt.UTC),
        recorded_on=info.recorded_at.date() if info.recorded_at else None,
        original_name=arrival.source.name,
        came_from=str(arrival.source),
        size_bytes=info.size_bytes,
        digest=content.digest,
        checksum=content.checksum,
        duration_us=info.duration_us,
        tells_place=info.has_location,
        tells_device=tells_device(target),
    )
    programme_id = arrival.programme.id if arrival.programme else None
    mark, seen = fingerprint(words), stamp(review)
    clip_id = put_clip(store, person.id, programme_id, kept, mark, seen)
    if brought is not None and brought != words.consent and brought.covers:
        put_word(store, person.id, clip_id, _word_of(brought))
        store.touch_consent(person.id)
    store.touch(person.id)


def by_digest(store: Store, digest: str) -> ReceivedClip | None:
    """The clip with this content, whosever it is."""
    found = store.db.structs(ReceivedClip, f"{CLIP_SQL} WHERE c.digest = ?", (digest,))
    return found[0] if found else None


def _word_of(consent: Consent) -> ConsentWord:
    """The consent that a review brings along from before it was in the casebook."""
    return ConsentWord(
        id=0,
        is_given=True,
        covers=consent.covers,
        said_on=consent.given_on,
        how=consent.reference or "as the review says",
        until=consent.until,
    )


def _first_words(source: Path, review: Path, fresh: Review) -> Review:
    beside = review_path_of(source)
    for path in (review, beside):
        with suppress(ReviewError):
            found = load_review(path)
            if found.clip.digest == fresh.clip.digest:
                if path == beside:
                    found = edit.with_voice_paths(found, partial(_bring_take, beside, review))
                return msgspec.structs.replace(found, clip=fresh.clip)
    return fresh


def _bring_take(beside: Path, review: Path, voice: str) -> str:
    """Copy what the coach said along with the review; gives its path from there."""
    take = beside.parent / voice
    if not take.is_file():
        return path_for_review(take, review)
    folder = review.with_name(review.name.removesuffix(SUFFIX) + VOICE)
    folder.mkdir(exist_ok=True)
    with replacing(folder / take.name) as part:
        shutil.copyfile(take, part)
    return f"{folder.name}/{take.name}"


def _filled(store: Store, arrival: Arrival, review: Review, clip_path: str) -> Review:
    """With what the casebook knows: for whom, which week, what movement, what consent."""
    clip = msgspec.structs.replace(review.clip, path=clip_path)
    words = store.words(arrival.person.id)
    movement = review.movement
    if movement == "other" and not review.moments:
        movement = _MOVEMENT_OF.get(arrival.about or "", "other")
    return msgspec.structs.replace(
        review,
        clip=clip,
        client=review.client or arrival.person.name,
        week=arrival.week if review.week is None else review.week,
        movement=movement,
        language=review.language or arrival.person.language,
        consent=consent_in_force(words, 0, dt.date.today()),
    )
