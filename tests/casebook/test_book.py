"""A coach's days with the casebook: clients, plans, clips, what waits and what was sent."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import av
import pytest
from support.casebooks import MONDAY, TOPICS, everything_in, noon, say_something, with_ines
from support.media import make_clip

from cliptag.casebook import Casebook, default_folder
from cliptag.casebook.names import key_of, safe_name
from cliptag.clip import digest_of, open_clip
from cliptag.errors import CasebookError, ClipError
from cliptag.opening import review_path_of, start_review
from cliptag.review import Note, Voice, edit, load_review, save_review

WEEK = dt.timedelta(days=7)


def test_a_client_is_found_whatever_the_case_and_accents(book: Casebook):
    added = book.add_client("José Álvarez", language="PT")
    assert book.client("jose alvarez") == added == book.client(" JOSÉ  ÁLVAREZ ")
    assert added.language == "pt"
    with pytest.raises(CasebookError, match="a client called jose alvarez already"):
        book.add_client("jose alvarez")
    with pytest.raises(CasebookError, match="did you mean Ines"):
        book.client("Inez")
    with pytest.raises(CasebookError, match="no language"):
        book.add_client("Otto", language="deutsch")
    with pytest.raises(CasebookError, match="needs a name"):
        book.add_client(" / ")
    assert [client.name for client in book.clients()] == ["Ines", "José Álvarez"]


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Ines", "Ines"),
        ("../../etc", "_.._etc"),
        ("a/b\\c:d*e?f", "a_b_c_d_e_f"),
        ("CON", "_CON"),
        ("aux.txt", "_aux.txt"),
        ("dots...", "dots"),
        ("\x00\x1f", "__"),
        (" . ", "_"),
        ("Ми́ла 🎻", "Ми́ла 🎻"),
    ],
)
def test_a_name_becomes_a_file_name_that_every_system_takes(name: str, safe: str):
    assert safe_name(name) == safe
    long = safe_name("ż" * 300 + ".mp4")
    assert len(long.encode()) <= 120 and long.endswith(".mp4")


def test_clients_whose_names_make_one_folder_name_get_two(book: Casebook):
    one, two = book.add_client("A/B"), book.add_client("A:B")
    assert (one.folder, two.folder) == ("A_B", "A_B-2")


def test_a_clip_goes_into_the_week_of_its_day_and_brings_an_empty_review(book: Casebook, new_clip):
    source = new_clip()
    (told,) = book.add("ines", [source], received_at=noon(MONDAY + 5 * WEEK))
    clip = told.clip
    assert told.is_new and "clip 1 of Ines" in told.sentence
    assert (clip.week, clip.topic, clip.state) == (6, "bending", "new")
    assert clip.path == "week-06/IMG_0412.mp4"
    assert book.clip_path(clip).read_bytes() == source.read_bytes()
    assert clip.due_on == MONDAY + 5 * WEEK + dt.timedelta(days=3)
    review = load_review(book.review_path(clip))
    assert (review.client, review.week, review.movement) == ("Ines", 6, "bend")
    assert (review.clip.digest, review.clip.path) == (digest_of(source), "IMG_0412.mp4")
    assert review.language == "en" and review.notes == ()


def test_week_topic_and_days_can_be_said(book: Casebook, new_clip):
    due = MONDAY + 3 * WEEK
    (told,) = book.add(
        "Ines", [new_clip()], week=2, topic="kneeling", received_at=noon(MONDAY), due_on=due
    )
    assert (told.clip.week, told.clip.topic, told.clip.due_on) == (2, "kneeling", due)
    assert load_review(book.review_path(told.clip)).movement == "other"
    for week, sentence in ((0, "count from 1"), (11, "has 10 weeks, not 11")):
        with pytest.raises(CasebookError, match=sentence):
            book.add("Ines", [new_clip("other.mp4")], week=week, received_at=noon(MONDAY))


def test_a_clip_from_before_or_after_the_plan_has_no_week(book: Casebook, new_clip):
    book.add_client("Otto")
    early = book.add("Ines", [new_clip("a.mp4")], received_at=noon(MONDAY - WEEK))[0].clip
    late = book.add("Ines", [new_clip("b.mp4")], received_at=noon(MONDAY + 10 * WEEK))[0].clip
    free = book.add("Otto", [new_clip("c.mp4")], week=3)[0].clip
    assert (early.week, late.week, free.week) == (None, None, 3)
    assert early.path == "no-week/a.mp4" and free.path == "week-03/c.mp4"


def test_a_second_programme_has_weeks_of_its_own(book: Casebook, new_clip):
    second = book.plan("Ines", starts_on=MONDAY + 20 * WEEK, topics=["lifting"] * 2, title="Again")
    assert (second.number, second.name) == (2, "Again")
    clip = book.add("Ines", [new_clip()], received_at=noon(MONDAY + 20 * WEEK))[0].clip
    assert (clip.path, clip.topic) == ("programme-2/week-01/IMG_0412.mp4", "lifting")
    longer = book.change_plan(second, ["lifting", "standing", "my own"])
    assert [week.topic for week in longer.weeks] == ["lifting", "standing", "my own"]
    assert book.programmes("Ines")[1] == longer
    for topics in ([], ["sitting", " "]):
        with pytest.raises(CasebookError, match="a topic for each of its weeks"):
            book.plan("Ines", starts_on=MONDAY, topics=topics)


def test_the_same_clip_is_told_and_not_taken_in_twice(book: Casebook, new_clip):
    book.add_client("Otto")
    source = new_clip()
    first = book.add("Ines", [source])[0]
    before = everything_in(book.folder / "clients")
    renamed = source.rename(source.with_name("another name.mp4"))
    again, others = book.add("Ines", [renamed])[0], book.add("Otto", [renamed])[0]
    assert not again.is_new and again.clip == first.clip
    assert "is there already, as" in again.sentence
    assert not others.is_new and "as a clip of Ines" in others.sentence
    assert everything_in(book.folder / "clients") == before
    assert book.clips("Otto") == ()


def test_clips_of_one_name_in_one_week_stay_apart(book: Casebook, new_clip):
    names = ("IMG.mp4", "IMG.mp4", "img.MP4")
    clips = [
        book.add("Ines", [new_clip(name, f"mark {n}")], week=1, received_at=noon(MONDAY))[0].clip
        for n, name in enumerate(names)
    ]
    assert [clip.path for clip in clips] == [
        "week-01/IMG.mp4",
        "week-01/IMG-2.mp4",
        "week-01/img-3.MP4",
    ]
    assert len({clip.review for clip in clips}) == 3
    assert book.check() == ()


def test_a_file_that_is_no_clip_leaves_nothing_behind(book: Casebook, tmp_path: Path):
    before = everything_in(book.folder / "clients")
    text = tmp_path / "letter.mp4"
    text.write_text("Dear coach")
    with pytest.raises(ClipError, match=r"letter\.mp4"):
        book.add("Ines", [text])
    with pytest.raises(ClipError, match="no file"):
        book.add("Ines", [tmp_path / "nothing.mp4"])
    assert everything_in(book.folder / "clients") == before and book.clips() == ()


def test_what_a_file_tells_of_place_and_device_is_noted(book: Casebook, tmp_path: Path):
    telling = make_clip(
        tmp_path / "telling.mov",
        *("-metadata", "com.apple.quicktime.make=Maker", "-metadata", "location=+47.4+008.5/"),
        *("-movflags", "use_metadata_tags"),
        seconds=0.2,
    )
    with av.open(str(telling)) as container:
        assert "com.apple.quicktime.make" in container.metadata
    told = book.add("Ines", [telling, make_clip(tmp_path / "silent.mp4", seconds=0.3)])
    assert [(t.clip.tells_place, t.clip.tells_device) for t in told] == [
        (True, True),
        (False, False),
    ]
    assert "where it was filmed and on which device; a take-home never does" in told[0].sentence


def test_a_review_is_in_work_once_it_says_something(book: Casebook, new_clip):
    clip = book.add("Ines", [new_clip()])[0].clip
    assert book.refresh() == ()
    book.record_consent("Ines", ["public"], given_on=MONDAY, how="form")
    assert book.refresh() == ()  # a changed consent is no work at the review
    say_something(book, clip.id)
    assert [changed.state for changed in book.refresh()] == ["in_work"]
    assert book.set_state(clip.id, "done").state == "done"
    assert book.refresh() == ()
    say_something(book, clip.id, "Breathe.")
    assert [changed.state for changed in book.refresh()] == ["in_work"]
    for state in ("exported", "sent"):
        with pytest.raises(CasebookError, match=f"becomes {state} by being {state}"):
            book.set_state(clip.id, state)


def test_the_day_tells_what_waits_what_is_late_and_who_owes_a_clip(book: Casebook, new_clip):
    friday = MONDAY + 3 * WEEK + dt.timedelta(days=4)  # of week 4
    waiting = book.add("Ines", [new_clip("a.mp4")], received_at=noon(friday))[0].clip
    late = book.add("Ines", [new_clip("b.mp4")], week=2, received_at=noon(MONDAY + WEEK))[0].clip
    done = book.add("Ines", [new_clip("c.mp4")], week=2, received_at=noon(friday))[0].clip
    say_something(book, done.id)
    book.set_state(done.id, "done")
    book.record_consent(
        "Ines", ["private_feedback"], given_on=MONDAY, how="e-mail", clip_id=late.id
    )
    book.add_client("Otto")
    book.plan("Otto", starts_on=MONDAY + 3 * WEEK, topics=TOPICS)
    day = book.day(friday)
    assert [clip.id for clip in day.to_review] == [late.id, waiting.id]
    assert [clip.id for clip in day.to_export] == [done.id]
    assert [clip.id for clip in day.late] == [late.id]
    assert {id_: (t.clips, t.waiting) for id_, t in book.tallies().items()} == {1: (3, 3)}
    assert day.without_consent == (waiting.id, done.id)
    owed = [(gap.client, gap.week, gap.is_late) for gap in day.missing]
    assert owed == [("Ines", 1, True), ("Ines", 3, True), ("Otto", 1, False)]
    assert [gap.client for gap in book.missing(friday, week=1)] == ["Ines", "Otto"]
    assert book.missing(friday, week=4) == ()


def test_a_programme_that_is_long_over_asks_for_nothing(book: Casebook):
    over = MONDAY + 10 * WEEK
    assert len(book.missing(over)) == 10
    assert len(book.missing(over + 2 * WEEK - dt.timedelta(days=1))) == 10
    assert book.missing(over + 2 * WEEK) == ()


def test_what_was_sent_is_kept_with_its_day_and_digest(book: Casebook, new_clip, tmp_path: Path):
    clip = book.add("Ines", [new_clip()])[0].clip
    with pytest.raises(CasebookError, match="Nothing was exported"):
        book.mark_sent(clip.id)
    folder = tmp_path / "for-ines"
    folder.mkdir()
    with pytest.raises(CasebookError, match="no take-home in"):
        book.mark_sent(clip.id, folder=folder)
    (folder / "commentary.mp4").write_bytes(b"video")
    made = book.mark_sent(clip.id, how="messenger", sent_at=noon(MONDAY), folder=folder)
    assert (made.folder, made.sent_how, made.sent_at) == (
        str(folder),
        "messenger",
        noon(MONDAY).astimezone(dt.UTC),
    )
    assert book.clip(clip.id).state == "sent"
    assert book.day().to_review == ()
    (folder / "commentary.mp4").write_bytes(b"another")
    again = book.mark_sent(clip.id, folder=folder)
    assert again.digest == made.digest  # what was sent first stays on record


def test_searching_looks_through_clients_notes_and_file_names(book: Casebook, new_clip):
    book.add_client("José", notes="carries crates of übergroße boards")
    clip = book.add("Ines", [new_clip("Kitchen chair.mp4")])[0].clip
    assert [found.name for found in book.find("JOSE ubergrosse").clients] == ["José"]
    assert [found.name for found in book.find("violin").clients] == ["Ines"]
    found = book.find("chair ines")
    assert found.clients == () and [kept.id for kept in found.clips] == [clip.id]
    assert book.find("") == book.find("nothing like that")
    assert key_of("ÜBERGROSSE  Straße") == key_of("übergroße strasse")


def test_a_renamed_client_keeps_everything_in_a_renamed_folder(book: Casebook, new_clip):
    clip = book.add("Ines", [new_clip()])[0].clip
    renamed = book.change_client("Ines", new_name="Ines Q.", contact="new@example.org")
    assert (renamed.folder, renamed.contact, renamed.notes) == (
        "Ines Q",
        "new@example.org",
        "repairs violins",
    )
    assert book.clip_path(book.clip(clip.id)).is_file()
    assert not (book.folder / "clients" / "Ines").exists()
    assert book.check() == ()
    assert book.change_client("Ines Q.", new_name="INES Q.").name == "INES Q."
    assert book.check() == ()
    book.add_client("Otto")
    with pytest.raises(CasebookError, match="another client called OTTO"):
        book.change_client("ines q.", new_name="OTTO")


def test_a_file_in_the_folder_leads_to_its_clip(book: Casebook, new_clip, tmp_path: Path):
    clip = book.add("Ines", [new_clip()])[0].clip
    assert (
        book.clip_of_file(book.review_path(clip)) == clip == book.clip_of_file(book.clip_path(clip))
    )
    assert book.clip_of_file(tmp_path / "elsewhere.mp4") is None
    assert book.clip_of_file(book.folder / "README.txt") is None


def test_a_casebook_is_begun_only_where_nothing_else_is(tmp_path: Path):
    with pytest.raises(CasebookError, match="There is no casebook at"):
        Casebook.open(tmp_path / "nowhere")
    assert not (tmp_path / "nowhere").exists()
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_text("")
    with pytest.raises(CasebookError, match=r"something else \(letter\.txt\)"):
        Casebook.make(tmp_path / "full")
    with with_ines(tmp_path / "new") as book:
        assert Casebook.make(book.folder).clients() == book.clients()
        assert (book.folder.stat().st_mode & 0o777) == 0o700


def test_the_casebook_lies_where_one_says(monkeypatch: pytest.MonkeyPatch, home: Path):
    assert default_folder() == home / "data" / "cliptag" / "casebook"
    monkeypatch.setenv("CLIPTAG_CASEBOOK", "/somewhere/else")
    assert default_folder() == Path("/somewhere/else")


def test_what_the_coach_said_comes_along_with_a_review(book: Casebook, new_clip, tmp_path: Path):
    source = new_clip()
    with open_clip(source) as clip:
        review = start_review(clip)
    takes = source.with_name("IMG_0412.voice")
    takes.mkdir()
    (takes / "note-1-1.flac").write_bytes(b"a take")
    voice = Voice(path="IMG_0412.voice/note-1-1.flac", start_us=0, end_us=1000, digest="0" * 32)
    note = Note(id="note-1", region="knees", kind="try", start_us=0, end_us=1, voice=voice)
    save_review(edit.with_note(review, note), review_path_of(source))
    clip = book.add("Ines", [source])[0].clip
    brought = load_review(book.review_path(clip))
    assert clip.state == "in_work"
    take = book.review_path(clip).parent / brought.notes[0].voice.path
    assert take.read_bytes() == b"a take" and take.is_relative_to(book.folder)
    assert book.check() == ()
