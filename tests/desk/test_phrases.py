"""The phrase book: found by beginnings, kept through crashes and damage, in any script."""

from __future__ import annotations

import json
import stat
import unicodedata
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cliptag.desk import phrases as module
from cliptag.desk.phrases import PhraseBook
from cliptag.errors import CliptagError

HEELS = "Slide your heels back before you stand up."
BACK = "Keep your back long."
HANDS = "Leave your hands at home."
DAY_S = 86_400.0


class Clock:
    """Stands for the time of day."""

    def __init__(self) -> None:
        self.now_s = 1_770_000_000.0

    def time(self) -> float:
        self.now_s += 1.0
        return self.now_s


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr(module, "time", clock)
    return clock


@pytest.fixture
def book(tmp_path: Path, clock: Clock) -> PhraseBook:
    return PhraseBook(tmp_path / "phrases.json")


def test_the_beginnings_of_words_find_a_sentence(book):
    for phrase in (HEELS, BACK, HANDS):
        book.remember(phrase)
    assert book.matching("he ba") == (HEELS,)
    assert set(book.matching("yo ha")) == {HANDS}
    assert book.matching("BACK") == (BACK, HEELS)
    assert book.matching("eels") == ()
    assert book.matching("  ") == ()


def test_each_beginning_needs_a_word_of_its_own(book):
    book.remember("Heels down.")
    assert book.matching("he he") == ()
    assert book.matching("h he") == ()
    book.remember("Head over heels.")
    assert book.matching("h he") == ("Head over heels.",)
    book.remember("Heels hang.")
    assert set(book.matching("h he")) == {"Head over heels.", "Heels hang."}


def test_a_sentence_that_begins_so_comes_before_words_in_order_and_those_before_any_order(book):
    book.remember("Back and heels are one line.")
    book.remember("The heels slide back.")
    book.remember("Heels back.")
    book.remember("Nothing of it.")
    assert book.matching("heels ba") == (
        "Heels back.",
        "The heels slide back.",
        "Back and heels are one line.",
    )


@pytest.mark.parametrize(
    ("phrase", "typed"),
    [
        ("膝盖不要超过脚尖", "脚尖"),
        ("かかとを後ろに引いてください", "後ろ"),
        ("ยืนขึ้นช้าๆ", "ช้า"),
        ("الركبتان فوق القدمين", "فو القد"),
        ("घुटने मोड़ो और बैठो", "मो बै"),
        ("Lève l'épaule gauche", "epau"),
        ("STRASSE oder Straße", "strass stras"),
        ("Don’t lock your knees", "don't"),
        ("Колени не прямые", "пря кол"),
        ("무릎을 굽히세요", "굽히"),
    ],
)
def test_any_script_is_found(book, phrase, typed):
    book.remember(phrase)
    assert book.matching(typed) == (unicodedata.normalize("NFC", phrase),)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    words=st.lists(
        st.text(st.characters(categories=["Ll", "Lu"], max_codepoint=0x24F), min_size=1),
        min_size=1,
        max_size=6,
    ),
    data=st.data(),
)
def test_beginnings_of_any_of_its_words_in_any_order_find_a_sentence(tmp_path, words, data):
    book = PhraseBook(tmp_path / "any.json")
    phrase = " ".join(words)
    book.remember(phrase)
    chosen = data.draw(st.permutations(range(len(words))).map(lambda p: p[: max(1, len(p) // 2)]))
    typed = " ".join(words[i][: data.draw(st.integers(1, len(words[i])))] for i in chosen)
    assert unicodedata.normalize("NFC", phrase) in book.matching(typed, limit=10**6)


def test_what_is_used_lately_and_often_comes_first(book, clock):
    for phrase in (HEELS, BACK, HANDS):
        book.remember(phrase)
    assert book.phrases == (HANDS, BACK, HEELS)
    for _ in range(3):
        book.used(HEELS)
    assert book.phrases[0] == HEELS
    clock.now_s += 200 * DAY_S
    book.used(BACK)
    assert book.phrases == (BACK, HEELS, HANDS)


def test_a_use_counts_half_after_thirty_days(book, clock):
    book.remember(HEELS)
    book.used(HEELS)
    clock.now_s += 30 * DAY_S
    book.remember(BACK)
    # Two uses a half-life ago weigh as much as one now; the one second between decides.
    assert book.phrases == (BACK, HEELS)
    book.used(HEELS)
    assert book.phrases == (HEELS, BACK)


def test_a_sentence_is_kept_once_in_its_newest_spelling(book):
    book.remember("keep your back long.")
    book.remember("  Keep your back LONG.\n")
    assert book.phrases == ("Keep your back LONG.",)
    assert book.knows("keep  your back long.")
    book.remember("   ")
    assert len(book.phrases) == 1


def test_using_what_is_not_kept_keeps_nothing(book):
    book.used(HEELS)
    assert book.phrases == ()
    assert not book.path.exists()


def test_only_as_many_as_asked_for_are_offered(book):
    for number in range(20):
        book.remember(f"Sentence number {number}")
    assert len(book.matching("sen", limit=6)) == 6
    assert book.matching("sen", limit=1) == ("Sentence number 19",)


def test_the_book_is_there_again_the_next_day(book, clock):
    book.remember(HEELS)
    book.remember("Zwei Zeilen\nund 🎻")
    again = PhraseBook(book.path)
    assert again.phrases == book.phrases
    assert again.message is None
    again.forget(HEELS)
    assert PhraseBook(book.path).phrases == ("Zwei Zeilen\nund 🎻",)


def test_two_windows_do_not_lose_each_others_sentences(book):
    other = PhraseBook(book.path)
    book.remember(HEELS)
    other.remember(BACK)
    assert set(PhraseBook(book.path).phrases) == {HEELS, BACK}
    book.used(HEELS)
    assert set(book.phrases) == {HEELS, BACK}


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"{",
        b"\xff\xfe\x00",
        b"[]",
        b'{"schema": "cliptag-phrases/2", "phrases": []}',
        b'{"phrases": [{"text": "", "used_at": "2026-01-01T00:00:00Z"}]}',
        b'{"phrases": [{"text": "a", "used_at": "2026-01-01T00:00:00"}]}',
        b'{"phrases": [{"text": "a", "uses": -1, "used_at": "2026-01-01T00:00:00Z"}]}',
    ],
)
def test_a_damaged_file_is_kept_aside_and_told_of(tmp_path, damage):
    path = tmp_path / "phrases.json"
    path.write_bytes(damage)
    book = PhraseBook(path)
    assert book.phrases == ()
    assert book.message is not None
    assert "starts anew" in book.message
    aside = tmp_path / "phrases.damaged-1.json"
    assert aside.read_bytes() == damage
    assert str(aside) in book.message
    book.remember(HEELS)
    assert PhraseBook(path).phrases == (HEELS,)
    path.write_bytes(damage)
    PhraseBook(path)
    assert (tmp_path / "phrases.damaged-2.json").exists()


def test_damage_while_the_desk_is_open_loses_nothing(book):
    book.remember(HEELS)
    book.path.write_bytes(b"{")
    book.remember(BACK)
    assert set(PhraseBook(book.path).phrases) == {HEELS, BACK}


def test_what_can_not_be_written_is_said_in_a_sentence(tmp_path):
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    book = PhraseBook(blocked / "phrases.json")
    with pytest.raises(CliptagError, match="phrase book"):
        book.remember(HEELS)
    assert book.phrases == ()


def test_a_book_that_can_not_be_read_is_not_overwritten(tmp_path):
    path = tmp_path / "phrases.json"
    path.mkdir()
    book = PhraseBook(path)
    assert book.message is not None
    assert "can't be read" in book.message
    with pytest.raises(CliptagError, match="can't be read"):
        book.remember(HEELS)
    assert path.is_dir()


def test_the_file_is_replaced_as_a_whole_and_readable(book):
    book.remember(HEELS)
    assert [entry["text"] for entry in json.loads(book.path.read_text("utf-8"))["phrases"]] == [
        HEELS
    ]
    assert [file.name for file in book.path.parent.iterdir()] == [book.path.name]
    assert book.path.stat().st_mode & stat.S_IRUSR


def test_without_a_path_the_book_is_in_the_users_own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("HOME", str(tmp_path))
    assert tmp_path in PhraseBook().path.parents
