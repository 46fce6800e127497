"""A client's record, as it lies in the client's folder, put back into the database."""

from __future__ import annotations

from contextlib import suppress
from pathlib import PurePosixPath

import msgspec

from cliptag.casebook.model import ClientRecord
from cliptag.casebook.placing import by_digest
from cliptag.casebook.rows import (
    put_client,
    put_clip,
    put_programme,
    put_take_home,
    put_word,
)
from cliptag.casebook.store import Store
from cliptag.casebook.versions import fingerprint, stamp
from cliptag.errors import ReviewError
from cliptag.review import load_review


def restore(store: Store, record: ClientRecord) -> None:
    """Inside a change: put all of a record in. Numbers stay as they were where they are free."""
    client_id = put_client(store, record.client)
    programmes = {p.id: put_programme(store, client_id, p) for p in record.programmes}
    clips: dict[int, int] = {}
    for kept in record.clips:
        if by_digest(store, kept.digest) is None and _is_below(kept.path, kept.review):
            kept = msgspec.structs.replace(kept, folder=record.client.folder)
            path, mark = store.review_path(kept), ""
            with suppress(ReviewError):
                mark = fingerprint(load_review(path))
            programme_id = programmes.get(kept.programme_id or 0)
            clips[kept.id] = put_clip(store, client_id, programme_id, kept, mark, stamp(path))
    for made in record.take_homes:
        if made.clip_id in clips:
            put_take_home(store, clips[made.clip_id], made)
    for word in record.consent:
        if word.clip_id is None or word.clip_id in clips:
            put_word(store, client_id, word.clip_id and clips[word.clip_id], word)
    store.touch_consent(client_id)


def _is_below(*paths: str) -> bool:
    """Whether paths stay in the client's folder, whatever was written into the record by hand."""
    places = [PurePosixPath(path) for path in paths]
    return not any(place.is_absolute() or ".." in place.parts for place in places)
