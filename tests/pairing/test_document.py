"""A pairing's file: read strictly, written all or nothing."""

from __future__ import annotations

import json
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import PairingError
from cliptag.pairing import LAYOUTS, Pairing, PairingNote, load_pairing, save_pairing
from cliptag.review import CLIMB, KIND_WORDS, MOMENT_WORDS

notes = st.builds(
    PairingNote,
    percent=st.floats(0, 100),
    text=st.text(st.characters(codec="utf-8"), min_size=1, max_size=80),
    region=st.sampled_from(CLIMB),
    kind=st.sampled_from(list(KIND_WORDS)),
)
pairings = st.builds(
    Pairing,
    reviews=st.just(("a.review.json", "b.review.json", "week 10.review.json")),
    layout=st.sampled_from(LAYOUTS),
    match=st.sampled_from(["moments", "true_speed"]),
    from_moment=st.none() | st.sampled_from(list(MOMENT_WORDS)),
    mirror=st.sampled_from(["auto", "yes", "no"]),
    goals=st.dictionaries(
        st.text(st.characters(codec="utf-8"), min_size=1, max_size=20),
        st.sampled_from(["less", "more"]),
    ),
    notes=st.lists(notes, max_size=4).map(tuple),
)


@given(pairings)
def test_what_is_saved_is_loaded(tmp_path_factory: pytest.TempPathFactory, pairing: Pairing):
    folder = tmp_path_factory.mktemp("pairing")
    whole = msgspec.structs.replace(
        pairing, reviews=tuple(str(folder / name) for name in pairing.reviews)
    )
    path = save_pairing(whole, folder / "ines.pairing.json")
    assert load_pairing(path) == whole


def test_review_paths_are_kept_relative_so_that_a_folder_can_move(tmp_path: Path):
    reviews = tuple(str(tmp_path / "clips" / f"week{n}.review.json") for n in (1, 10))
    path = save_pairing(Pairing(reviews=reviews), tmp_path / "a.pairing.json")
    kept = json.loads(path.read_text("utf-8"))["reviews"]
    assert kept == ["clips/week1.review.json", "clips/week10.review.json"]
    moved = tmp_path / "elsewhere"
    moved.mkdir()
    path.rename(moved / path.name)
    loaded = load_pairing(moved / path.name)
    assert loaded.reviews[0] == str(moved / "clips" / "week1.review.json")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("{", "is not a sound pairing"),
        ('{"schema": "cliptag-pairing/2", "reviews": []}', "newer cliptag"),
        ('{"schema": "cliptag-pairing/1", "reviews": ["a"]}', "length >= 2"),
        ('{"schema": "cliptag-review/1", "reviews": ["a", "b"]}', "schema"),
        ('{"schema": "cliptag-pairing/1", "reviews": ["a", "b"], "more": 1}', "more"),
        ('{"schema": "cliptag-pairing/1", "reviews": ["a", "b"], "goals": {"x": "up"}}', "goals"),
        (
            '{"schema": "cliptag-pairing/1", "reviews": ["a", "b"], '
            '"notes": [{"percent": 101, "text": "x"}]}',
            "percent",
        ),
    ],
)
def test_a_damaged_file_is_refused_in_one_sentence(tmp_path: Path, text: str, words: str):
    path = tmp_path / "x.pairing.json"
    path.write_text(text, "utf-8")
    with pytest.raises(PairingError, match=words) as told:
        load_pairing(path)
    assert "\n" not in str(told.value)
    assert path.read_text("utf-8") == text


def test_a_missing_file_is_told(tmp_path: Path):
    with pytest.raises(PairingError, match="can't be read"):
        load_pairing(tmp_path / "none.pairing.json")


def test_an_unsound_pairing_is_not_saved(tmp_path: Path):
    path = tmp_path / "x.pairing.json"
    with pytest.raises(PairingError, match="isn't sound"):
        save_pairing(Pairing(reviews=("a", "b"), layout="beside"), path)  # type: ignore[arg-type]
    assert not path.exists()
