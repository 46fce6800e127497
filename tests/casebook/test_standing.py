"""How a client stands: weeks, consent, what to compare; and noticing another program's changes."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from pathlib import Path

import pytest
from support.casebooks import MONDAY, clip_file, noon, with_ines

from cliptag.casebook import Casebook, Watch, consent_of, present_programme, to_compare, weeks_of
from cliptag.consent import PURPOSES

WEEK = dt.timedelta(days=7)


@pytest.fixture
def book(tmp_path: Path):
    with with_ines(tmp_path / "book") as made:
        yield made


def add(book: Casebook, tmp_path: Path, mark: str, day: dt.date, **wish: object) -> int:
    clip = clip_file(tmp_path / "in", f"{mark}.mp4", mark, tmp_path)
    (brought,) = book.add("Ines", [clip], received_at=noon(day), **wish)
    return brought.clip.id


def states(book: Casebook, on_date: dt.date) -> list[tuple[str, bool]]:
    (programme,) = book.programmes("Ines")
    weeks = weeks_of(programme, book.clips("Ines"), on_date)
    return [(week.state, week.is_late) for week in weeks]


def test_a_week_tells_what_it_brought_and_whether_it_is_late(book: Casebook, tmp_path: Path):
    first = add(book, tmp_path, "one", MONDAY)
    add(book, tmp_path, "two", MONDAY + WEEK)
    on_date = MONDAY + 2 * WEEK  # week 2's clip came eight days ago, three were promised
    assert states(book, on_date)[:4] == [
        ("waits", True),
        ("waits", True),
        ("nothing_sent", False),
        ("ahead", False),
    ]
    assert states(book, on_date + WEEK)[2] == ("nothing_sent", True)
    for state, seen in (("in_work", "in_work"), ("done", "ready")):
        book.set_state(first, state)
        assert states(book, MONDAY)[0] == (seen, False)


def test_of_several_clips_the_one_that_is_least_far_tells_for_the_week(
    book: Casebook, tmp_path: Path
):
    done, _ = add(book, tmp_path, "one", MONDAY), add(book, tmp_path, "two", MONDAY)
    book.set_state(done, "done")
    assert states(book, MONDAY)[0] == ("waits", False)


def test_a_sent_week_is_never_late(book: Casebook, tmp_path: Path):
    folder = tmp_path / "sent"
    folder.mkdir()
    (folder / "transcript.txt").write_text("Sit tall.")
    book.mark_sent(add(book, tmp_path, "one", MONDAY), folder=folder)
    assert states(book, MONDAY + 5 * WEEK)[0] == ("sent", False)


def test_the_weeks_lie_end_to_end(book: Casebook):
    (programme,) = book.programmes("Ines")
    weeks = weeks_of(programme, (), MONDAY)
    assert weeks[0].starts_on == MONDAY and weeks[-1].ends_on == MONDAY + 10 * WEEK - WEEK / 7
    for one, other in pairwise(weeks):
        assert other.starts_on - one.ends_on == WEEK / 7


def test_before_the_first_programme_begins_it_is_the_one_that_is_shown(book: Casebook):
    programmes = book.programmes("Ines")
    assert present_programme(programmes, MONDAY - WEEK) == programmes[0]
    book.plan("Ines", starts_on=MONDAY + 10 * WEEK, topics=["lifting"])
    programmes = book.programmes("Ines")
    assert present_programme(programmes, MONDAY) == programmes[0]
    assert present_programme(programmes, MONDAY + 11 * WEEK) == programmes[1]
    assert present_programme((), MONDAY) is None


def test_consent_in_words_agrees_with_what_may_be_exported(book: Casebook, tmp_path: Path):
    """For all clips and each one, on each day round every word that was said."""
    clip_id = add(book, tmp_path, "one", MONDAY)
    day = dt.timedelta(days=1)
    give, end = book.record_consent, book.withdraw_consent
    give("Ines", ["private_feedback"], given_on=MONDAY, how="e-mail", until=MONDAY + 5 * day)
    give("Ines", ["public"], given_on=MONDAY + 2 * day, how="form")
    end("Ines", ["public"], withdrawn_on=MONDAY + 4 * day, how="call")
    give("Ines", ["face_covered"], given_on=MONDAY + 3 * day, how="form", clip_id=clip_id)
    words = book.record("Ines").consent
    for after in range(-1, 8):
        on_date = MONDAY + after * day
        told = {(one.purpose, one.clip_id): one.state for one in consent_of(words, on_date)}
        for purpose in PURPOSES:
            state = told.get((purpose, clip_id), told[purpose, None])
            is_allowed = book.why_not_allowed(clip_id, purpose, on_date) is None
            assert (state == "agreed") == is_allowed, (purpose, after, state)


def test_the_first_and_newest_of_the_topic_that_came_last_are_compared(
    book: Casebook, tmp_path: Path
):
    ids = [add(book, tmp_path, str(week), MONDAY + week * WEEK) for week in range(5)]
    assert to_compare(book.clips("Ines")) is None, "nothing was worked at"
    for clip_id in ids:
        book.set_state(clip_id, "in_work")
    first, newest = to_compare(book.clips("Ines"))
    assert (first.week, newest.week, first.topic, newest.topic) == (4, 5, "standing", "standing")
    book.set_state(ids[3], "new")
    first, newest = to_compare(book.clips("Ines"))
    assert (first.week, newest.week, newest.topic) == (1, 3, "sitting")


def test_a_watch_hears_of_each_change_once_whoever_made_it(book: Casebook):
    watch = Watch(book.folder)
    assert not watch.has_changed()
    book.add_client("Pavel")
    assert watch.has_changed() and not watch.has_changed()
    book.clients()
    assert not watch.has_changed(), "looking is no change"
    with Casebook.open(book.folder) as other:
        other.add_client("Mira")
    assert watch.has_changed()
    watch.close()


def test_a_watch_on_nothing_hears_nothing(tmp_path: Path):
    watch = Watch(tmp_path / "nowhere")
    assert not watch.has_changed() and not watch.has_changed()
    assert not (tmp_path / "nowhere").exists()
