"""A client who asks to be forgotten is: no byte of them is left in the casebook or the caches."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from support.casebooks import MONDAY, everything_in, noon, say_something
from support.films import DrawnFilm, MovingCloth

from cliptag.bug_log import log_bug
from cliptag.casebook import Casebook, repair_casebook
from cliptag.clip import digest_of, open_clip
from cliptag.desk.remembered import Remembered
from cliptag.errors import CasebookError
from cliptag.measure.tracking import Placement, TrackStore, track
from cliptag.review import load_review, save_review

SECRETS = {
    "name": "Wilhelmina Storch",
    "contact": "storch@example.org",
    "notes": "left hip, since the fall in May",
    "note": "The left knee wanders inwards.",
    "file": "balcony-door.mp4",
    "message": "I agree that you look at my clips.",
    "mark": "pixels of the balcony door",
}


@pytest.fixture
def storch(book: Casebook, new_clip, home: Path) -> Casebook:
    """With a client who left traces everywhere, between two others."""
    book.add_client(SECRETS["name"], contact=SECRETS["contact"], notes=SECRETS["notes"])
    book.add_client("Otto", notes="stays")
    book.add("Ines", [new_clip("ines.mp4")], received_at=noon(MONDAY))
    source = new_clip(SECRETS["file"], SECRETS["mark"])
    clip = book.add(SECRETS["name"], [source])[0].clip
    book.plan(SECRETS["name"], starts_on=MONDAY, topics=["stairs of the old mill"])
    book.record_consent(
        SECRETS["name"], ["public"], given_on=MONDAY, how="letter", message=SECRETS["message"]
    )
    for _ in range(3):  # so that the review has backups
        review = say_something(book, clip.id, SECRETS["note"])
    save_review(load_review(review), review.with_name("other.review.json"))
    with open_clip(book.clip_path(clip)) as opened:  # fills the cache of frame indexes
        digest = opened.digest
    film = DrawnFilm(5, MovingCloth(lambda i: (320.0, 240.0)))
    film.digest = digest
    track(film, {"knee": [Placement(0, 320.0, 240.0, 1.0)]}, store=TrackStore())
    (home / "cache" / "cliptag" / "heads").mkdir()
    (home / "cache" / "cliptag" / "heads" / f"{digest}-1.heads").write_bytes(b"heads of a person")
    spare = home / "data" / "cliptag" / "reviews" / f"balcony.{digest[:12]}.review.json"
    spare.parent.mkdir(parents=True)
    spare.write_text(SECRETS["note"])
    pairing = home / "data" / "cliptag" / "pairings" / "weeks 1 and 10.json"
    pairing.parent.mkdir()
    pairing.write_text(json.dumps({"first": digest, "title": "two weeks compared"}))
    remembered = Remembered()
    remembered.add_recent(book.review_path(clip))
    remembered.add_recent(book.review_path(book.clip(1)))
    try:
        raise ValueError(f"could not draw {SECRETS['name']}")
    except ValueError:
        log_bug()
    source.unlink()
    book._store.db.back_up("v0")
    return book


def found(folder: Path, needles: list[bytes]) -> list[tuple[str, bytes]]:
    """Where any of the needles stands: in a name or in a byte of a file."""
    return [
        (path, needle)
        for path, content in everything_in(folder).items()
        for needle in needles
        if needle in content or needle in path.encode()
    ]


def needles_of(book: Casebook) -> list[bytes]:
    (clip,) = book.clips(SECRETS["name"])
    texts = [*SECRETS.values(), "old mill", digest_of(book.clip_path(clip)), clip.checksum]
    texts += ["heads of a person", "two weeks compared", clip.digest[:12], Path(clip.review).name]
    return [text.encode() for text in texts]


def test_nothing_of_an_erased_client_is_left_in_any_byte(storch: Casebook, home: Path):
    needles = needles_of(storch)
    assert {needle for _, needle in found(storch.folder, needles) + found(home, needles)} == set(
        needles
    )
    others = everything_in(storch.folder / "clients" / "Ines")
    erased = storch.erase(SECRETS["name"])
    assert found(storch.folder, needles) == []
    assert found(home, needles) == []
    assert (erased.files >= 6, erased.traces, erased.outside) == (True, 7, ())
    assert everything_in(storch.folder / "clients" / "Ines") == others
    assert Remembered().recent == (storch.review_path(storch.clip(1)),)
    assert [client.name for client in storch.clients()] == ["Ines", "Otto"]
    assert storch.check() == ()
    storch.close()
    assert found(storch.folder, needles) == []


def test_what_remains_is_a_random_number_and_the_day(storch: Casebook):
    erased = storch.erase(SECRETS["name"])
    assert storch.tombstones() == ((erased.tombstone, dt.date.today()),)
    assert len(erased.tombstone) == 16 and int(erased.tombstone, 16) >= 0
    text = (storch.folder / "erased.txt").read_text("utf-8")
    assert text == f"{erased.tombstone} {dt.date.today()}\n"
    assert len(list((storch.folder / "backups").glob("*.db"))) == 1  # a new one, of what remains


def test_an_erased_number_is_not_given_to_another(storch: Casebook, new_clip):
    (gone,) = storch.clips(SECRETS["name"])
    storch.erase(SECRETS["name"])
    assert storch.add("Otto", [new_clip("new.mp4")])[0].clip.id > gone.id
    assert storch.add_client(SECRETS["name"]).notes == ""


def test_what_lies_elsewhere_is_told_and_left_alone(book: Casebook, new_clip, tmp_path: Path):
    source = new_clip()
    clip = book.add("Ines", [source])[0].clip
    sent = tmp_path / "for-ines"
    sent.mkdir()
    (sent / "commentary.mp4").write_bytes(b"video")
    book.mark_sent(clip.id, folder=sent)
    assert set(book.erase("Ines").outside) == {source, sent}
    assert source.exists() and sent.exists()


def test_an_erasure_that_was_broken_off_goes_on_at_the_next_start(
    storch: Casebook, home: Path, monkeypatch: pytest.MonkeyPatch
):
    needles = needles_of(storch)

    def breaks_off(*_: object) -> None:
        raise PermissionError(13, "Permission denied", "balcony-door.mp4")

    with monkeypatch.context() as patch:
        patch.setattr("cliptag.casebook.erasing.shred_tree", breaks_off)
        with pytest.raises(CasebookError, match="it goes on by itself"):
            storch.erase(SECRETS["name"])
    # From its beginning on the client is gone from every list.
    assert [client.name for client in storch.clients()] == ["Ines", "Otto"]
    assert storch.find("Storch").clients == () and len(storch.clips()) == 1
    assert storch.tombstones() == ()
    storch.close()
    with Casebook.open(storch.folder) as again:
        assert found(again.folder, needles) == [] and found(home, needles) == []
        assert len(again.tombstones()) == 1


def test_a_rebuilt_database_knows_the_erased_still(storch: Casebook):
    storch.erase(SECRETS["name"])
    before = storch.tombstones()
    storch.close()
    (storch.folder / "casebook.db").unlink()
    repair_casebook(storch.folder)
    with Casebook.open(storch.folder) as again:
        assert again.tombstones() == before


def test_lists_and_logs_keep_what_is_not_of_the_client(storch: Casebook, home: Path):
    state = home / "state" / "cliptag"
    (state / "phrases.json").write_text(json.dumps({"phrases": ["Sit tall."]}))
    log = next(home.rglob("cliptag.log"))
    before = log.read_text("utf-8").splitlines()
    storch.erase(SECRETS["name"])
    assert json.loads((state / "phrases.json").read_text("utf-8")) == {"phrases": ["Sit tall."]}
    after = log.read_text("utf-8").splitlines()
    assert [line for line in before if SECRETS["name"] not in line] == after
