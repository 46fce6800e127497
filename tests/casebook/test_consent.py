"""Who may be shown, for what, when: the rules, and that every export obeys them."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.casebooks import say_something

import cliptag
from cliptag.casebook import Casebook
from cliptag.consent import PURPOSES, ConsentWord, consent_in_force, why_not
from cliptag.demo import demo_folder
from cliptag.errors import CasebookError, ConsentError, ExportError
from cliptag.export import ExportOptions, export_take_home
from cliptag.review import Consent, Part, edit, load_review, save_review

DAY = dt.date(2026, 3, 1)
LATER = DAY + dt.timedelta(days=100)


def word(
    *covers: str,
    on: dt.date = DAY,
    given: bool = True,
    clip: int | None = None,
    until: dt.date | None = None,
    number: int = 1,
) -> ConsentWord:
    return ConsentWord(
        id=number,
        clip_id=clip,
        is_given=given,
        covers=covers,
        said_on=on,
        how="e-mail",
        until=until,
    )


@pytest.mark.parametrize(
    ("words", "purpose", "reason"),
    [
        ((), "private_feedback", "There is no consent for private feedback"),
        ((word("private_feedback"),), "private_feedback", None),
        ((word("private_feedback"),), "face_covered", "no consent for being shown with the face"),
        ((word("private_feedback"),), "public", "no consent for being shown openly"),
        ((word("public"),), "face_covered", None),
        ((word("public"),), "private_feedback", "no consent for private feedback"),
        ((word("face_covered"),), "public", "no consent for being shown openly"),
        ((word("public", until=DAY),), "public", f"ended on {DAY}"),
        ((word("public", until=LATER),), "public", None),
        ((word("public", on=LATER + dt.timedelta(1)),), "public", "There is no consent"),
        ((word("public", clip=7),), "public", None),
        ((word("public", clip=8),), "public", "There is no consent"),
        (
            (word("public"), word("public", given=False, on=LATER, number=2)),
            "public",
            f"withdrawn on {LATER}",
        ),
        # A word on this clip comes before a word on all of them, though it is older.
        (
            (word("public", given=False, clip=7), word("public", on=LATER, number=2)),
            "public",
            "withdrawn",
        ),
        ((word("public"), word("public", given=False, clip=8, number=2)), "public", None),
        # Agreed anew after a withdrawal of the same day: what was recorded last counts.
        ((word("public", given=False), word("public", number=2)), "public", None),
        # Not to be shown openly any more doesn't end the consent to be shown with a covered face.
        (
            (word("face_covered", "public"), word("public", given=False, number=2)),
            "face_covered",
            None,
        ),
        (
            (word("public"), word("face_covered", given=False, number=2)),
            "face_covered",
            "withdrawn",
        ),
    ],
)
def test_the_newest_word_on_the_clip_else_on_the_client_counts(words, purpose, reason):
    told = why_not(words, 7, purpose, LATER)
    assert (told is None) if reason is None else (reason in (told or ""))


WORDS = st.lists(
    st.builds(
        ConsentWord,
        id=st.integers(1, 99),
        clip_id=st.sampled_from([None, 7, 8]),
        is_given=st.booleans(),
        covers=st.lists(st.sampled_from(PURPOSES), min_size=1, unique=True).map(tuple),
        said_on=st.dates(DAY, LATER),
        how=st.just("e-mail"),
        until=st.none() | st.dates(DAY, LATER),
        message=st.none(),
    ),
    max_size=8,
    unique_by=lambda word: word.id,
)


@given(words=WORDS, purpose=st.sampled_from(PURPOSES), day=st.dates(DAY, LATER))
def test_nothing_is_allowed_that_nobody_agreed_to(words, purpose, day):
    wider = {"face_covered": ("face_covered", "public")}.get(purpose, (purpose,))
    if why_not(words, 7, purpose, day) is None:
        assert any(
            word.is_given
            and word.clip_id in (None, 7)
            and word.said_on <= day <= (word.until or day)
            and set(word.covers) & set(wider)
            for word in words
        )


@given(words=WORDS, purpose=st.sampled_from(PURPOSES), day=st.dates(DAY, LATER))
def test_a_withdrawal_always_ends_it_and_a_new_consent_to_the_clip_brings_it_back(
    words, purpose, day
):
    end = word(purpose, on=day, given=False, clip=7, number=100)
    assert why_not([*words, end], 7, purpose, day) is not None
    again = word(purpose, on=day, clip=7, number=101)
    assert why_not([*words, end, again], 7, purpose, day) is None


@given(words=WORDS, day=st.dates(DAY, LATER))
def test_a_review_is_told_just_what_is_allowed(words, day):
    allowed = tuple(p for p in PURPOSES if why_not(words, 7, p, day) is None)
    consent = consent_in_force(words, 7, day)
    assert (consent.covers if consent else ()) == allowed
    if consent is not None:
        assert consent.given_on <= day <= (consent.until or day)


@pytest.fixture
def bend(tmp_path: Path) -> Path:
    """The demo's bend, cut to a moment so that its export is quick."""
    for suffix in (".mp4", ".review.json"):
        shutil.copy(demo_folder() / f"bend_week01{suffix}", tmp_path)
    path = tmp_path / "bend_week01.review.json"
    part = Part(start_us=0, end_us=100_000)
    fields = {"part": part, "impression": "", "notes": (), "moments": (), "tracked": ()}
    return save_review(edit.with_fields(load_review(path), **fields), path)


def consented(path: Path, *covers: str, until: dt.date | None = None) -> Path:
    consent = Consent(given_on=DAY, covers=covers, reference="form", until=until)
    return save_review(edit.with_fields(load_review(path), consent=consent), path)


@pytest.mark.parametrize(
    ("covers", "until", "shown_for", "sentence"),
    [
        (("public",), None, "private_feedback", "no consent for private feedback"),
        (("private_feedback",), None, "public", "no consent for being shown openly"),
        (("private_feedback",), DAY, "private_feedback", f"ended on {DAY}"),
        (("private_feedback",), None, "face_covered", "with the face covered"),
    ],
)
def test_an_export_is_refused_for_what_the_review_says_nobody_agreed_to(
    bend: Path, tmp_path: Path, covers, until, shown_for, sentence
):
    consented(bend, *covers, until=until)
    with pytest.raises(ExportError, match=sentence):
        export_take_home(bend, tmp_path / "out", options=ExportOptions(shown_for=shown_for))
    assert not (tmp_path / "out").exists()


def test_a_first_try_without_consent_works_for_private_feedback_only(bend: Path, tmp_path: Path):
    save_review(edit.with_fields(load_review(bend), consent=None), bend)
    made = export_take_home(bend, tmp_path / "out")
    assert any("No written consent" in sentence for sentence in made.advice)
    with pytest.raises(ConsentError, match="no consent for being shown openly"):
        export_take_home(bend, tmp_path / "shown", options=ExportOptions(shown_for="public"))


def test_in_a_casebook_the_casebook_is_asked_and_not_the_review(
    book: Casebook, new_clip, tmp_path: Path
):
    clip = book.add("Ines", [new_clip()])[0].clip
    path = say_something(book, clip.id)
    consented(path, "private_feedback")  # as a desk does that was open since before
    out = tmp_path / "out"
    with pytest.raises(ConsentError, match="no consent for private feedback"):
        export_take_home(path, out)
    book.record_consent("Ines", ["private_feedback"], given_on=DAY, how="e-mail")
    assert export_take_home(path, out).files
    today = dt.date.today()
    book.withdraw_consent("Ines", ["private_feedback"], withdrawn_on=today, how="by phone")
    consented(path, "private_feedback")
    with pytest.raises(ConsentError, match=f"withdrawn on {today}"):
        cliptag.export_take_home(path, tmp_path / "again")
    # A copy of the review elsewhere, as the desk exports it, is of a clip in the casebook still.
    review = load_review(path)
    where = edit.with_fields(review.clip, path=str(book.clip_path(clip)))
    elsewhere = save_review(edit.with_fields(review, clip=where), tmp_path / "copy.review.json")
    with pytest.raises(ConsentError, match="withdrawn"):
        export_take_home(elsewhere, tmp_path / "again")


def test_the_casebook_fills_the_reviews_with_the_consent_in_force(book: Casebook, new_clip):
    first, other = (
        entry.clip for entry in book.add("Ines", [new_clip("a.mp4"), new_clip("b.mp4")])
    )
    book.record_consent("Ines", ["private_feedback"], given_on=DAY, how="e-mail", until=None)
    book.record_consent(
        "Ines", ["public"], given_on=DAY, how="signed form", clip_id=first.id, until=LATER
    )
    reviews = [load_review(book.review_path(clip)).consent for clip in (first, other)]
    today = dt.date.today()
    covers = ("private_feedback", "face_covered", "public")
    assert reviews[0] is not None and reviews[1] is not None
    assert reviews[0].covers == (covers if today <= LATER else covers[:1])
    assert (reviews[1].covers, reviews[1].reference) == (("private_feedback",), "e-mail")
    assert book.clip(first.id).state == "new"


def test_the_written_message_is_kept_as_a_file(book: Casebook, tmp_path: Path):
    said = book.record_consent(
        "Ines", ["public"], given_on=DAY, how="e-mail", message="Yes, show it. Ines"
    )
    home = book.folder / "clients" / "Ines"
    assert said.message == f"consent/{DAY} given.txt"
    assert (home / said.message).read_text("utf-8") == "Yes, show it. Ines"
    letter = tmp_path / "letter.eml"
    letter.write_bytes(b"From: Ines\n\nNo more.\n")
    ended = book.withdraw_consent(
        "Ines", ["public"], withdrawn_on=DAY, how="e-mail", message=letter
    )
    assert (home / str(ended.message)).read_bytes() == letter.read_bytes()
    again = book.withdraw_consent(
        "Ines", ["public"], withdrawn_on=DAY, how="e-mail", message=letter
    )
    assert again.message != ended.message


def test_a_review_that_comes_along_brings_its_consent(book: Casebook, bend: Path):
    clip = book.add("Ines", [bend.with_name("bend_week01.mp4")])[0].clip
    (said,) = book.record("Ines").consent
    brought = load_review(bend).consent
    assert brought is not None
    assert (said.clip_id, said.covers, said.how) == (clip.id, brought.covers, brought.reference)
    assert book.why_not_allowed(clip.id, "private_feedback") is None
    assert "no consent" in (book.why_not_allowed(clip.id, "public") or "")


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"covers": []}, "Say what the consent is for"),
        ({"how": " "}, "Say how it was said"),
        ({"until": DAY - dt.timedelta(1)}, "before it was given"),
        ({"message": Path("no such file")}, "can't be read"),
        ({"clip_id": 99}, "no clip 99"),
        ({"name": "Otto"}, "no client called Otto"),
    ],
)
def test_a_consent_that_makes_no_sense_is_not_recorded(book: Casebook, change, sentence):
    wishes = {"name": "Ines", "covers": ["public"], "given_on": DAY, "how": "e-mail"} | change
    with pytest.raises(CasebookError, match=sentence):
        book.record_consent(wishes.pop("name"), wishes.pop("covers"), **wishes)
    assert book.record("Ines").consent == ()


def test_a_casebook_that_lost_its_database_lets_nothing_leave(
    book: Casebook, new_clip, tmp_path: Path
):
    book.record_consent("Ines", ["private_feedback"], given_on=DAY, how="e-mail")
    path = book.review_path(book.add("Ines", [new_clip()])[0].clip)
    book.close()
    (book.folder / "casebook.db").unlink()
    with pytest.raises(CasebookError, match="can't be asked for the client's consent"):
        export_take_home(path, tmp_path / "out")
    assert not (book.folder / "casebook.db").exists()


def test_a_clip_in_the_folder_that_the_casebook_does_not_know_stays(
    book: Casebook, new_clip, tmp_path: Path
):
    clip = book.add("Ines", [new_clip("a.mp4")])[0].clip
    stranger = shutil.copy(new_clip("b.mp4"), book.clip_path(clip).parent)
    with cliptag.open_clip(stranger) as opened:
        path = save_review(cliptag.start_review(opened), Path(stranger).with_suffix(".review.json"))
    with pytest.raises(ConsentError, match="doesn't know it: add it to a client"):
        export_take_home(path, tmp_path / "out")
