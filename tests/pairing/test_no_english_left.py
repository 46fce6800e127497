"""Nothing that a client is given of a pairing is English by itself: in an invented language no
Latin is left.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
import pypdfium2
import pytest
from support.invented_language import INVENTED
from support.pairs import demo_pairing

from cliptag.export import take_home, write_captions, write_chapters
from cliptag.pairing import Comparison, Pairing, PairingNote, compare_reviews, export, trend_of
from cliptag.pairing.comparison import labels_on
from cliptag.pairing.export import plan_pairing, telling_pictures
from cliptag.pairing.page import page_of
from cliptag.pairing.pdf import write_pdf
from cliptag.pairing.placing import Placing
from cliptag.pairing.summary import summary_of
from cliptag.pairing.transcript import transcript_of
from cliptag.pairing.trend_page import trend_page
from cliptag.pairing.views import view_warnings
from cliptag.review import load_review, save_review

LATIN_WORD = re.compile("[A-Za-z]{2,}")
NOT_WORDS = {"cm", "ms", "mm"}
"""The signs of units are the same in every language."""


def latin(text: str) -> set[str]:
    return set(LATIN_WORD.findall(text)) - NOT_WORDS


class _Seen(HTMLParser):
    """What a page shows or says: its text, and the attributes that a person may meet."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self._is_silent = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._is_silent = tag == "style" or (self._is_silent and tag != "body")
        spoken = ("alt", "aria-label", "data-is")
        self.said += [value or "" for name, value in attrs if name in spoken]

    def handle_endtag(self, tag: str) -> None:
        self._is_silent = False

    def handle_data(self, data: str) -> None:
        if not self._is_silent:
            self.said.append(data)


def said_on(page: str) -> str:
    seen = _Seen()
    seen.feed(page)
    return " ".join(seen.said)


def in_greek(path: Path, folder: Path) -> str:
    """The same review by a coach who writes Greek."""
    review = load_review(path)
    clip = msgspec.structs.replace(review.clip, path=(path.parent / review.clip.path).as_posix())
    notes = tuple(
        msgspec.structs.replace(
            note,
            text="Γόνατα.",
            marks=tuple(msgspec.structs.replace(mark, label="γ") for mark in note.marks),
        )
        for note in review.notes
    )
    facts = {"client": "Ίνες", "coach": "Μάρα", "language": "qaa"}
    # The CLDR has no names of months in a language that there isn't.
    made = msgspec.structs.replace(review, clip=clip, notes=notes, recorded_on=None, **facts)
    return str(save_review(made, folder / path.name))


@pytest.fixture(scope="module", params=["sit_to_stand", "lift"])
def pairing(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Pairing:
    demo = demo_pairing(request.param)
    folder = tmp_path_factory.mktemp("greek")
    return msgspec.structs.replace(
        demo,
        reviews=tuple(in_greek(Path(path), folder) for path in demo.reviews),
        goals={"peak_trunk_lean": "less", "repetition_time": "more"},
        notes=(PairingNote(percent=40, text="Καλό.", region="hips", kind="good"),),
    )


@pytest.fixture(scope="module")
def comparison(pairing: Pairing) -> Iterator[Comparison]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(take_home, "words_of", lambda language: INVENTED)
        with compare_reviews(pairing) as comparison:
            yield comparison


def test_captions_chapters_and_transcript_hold_no_english(comparison: Comparison):
    plan = plan_pairing(comparison)
    captions = re.sub(r" line:\S+", "", write_captions(plan.cues).removeprefix("WEBVTT"))
    assert len(plan.cues) > 5
    assert latin(captions) == set()
    assert latin(write_chapters(plan.chapters).removeprefix("WEBVTT")) == set()
    assert latin(" ".join(cue.heading or "" for cue in plan.cues)) == set()
    summary = summary_of(comparison, telling_pictures(comparison, plan))
    assert latin(transcript_of(summary, plan)) == set()


def test_labels_and_the_title_card_hold_no_english(
    comparison: Comparison, monkeypatch: pytest.MonkeyPatch
):
    labels = labels_on(
        comparison.sides, comparison.sheet, comparison.placing, comparison.alignment, INVENTED
    )
    assert latin(" ".join(f"{label.name} {label.about}" for label in labels)) == set()
    said: list[Any] = []

    def listening(size: Any, text: Any) -> Any:
        said.append(text)
        return title_card(size, text)

    title_card = export.title_card
    monkeypatch.setattr(export, "title_card", listening)
    export._cards(comparison, plan_pairing(comparison))
    (text,) = said
    assert latin(
        " ".join(str(getattr(text, n)) for n in text.__slots__ if n != "right_to_left")
    ) == (set())


def test_page_paper_and_trend_hold_no_english(
    pairing: Pairing, comparison: Comparison, tmp_path: Path
):
    summary = summary_of(comparison, telling_pictures(comparison, plan_pairing(comparison)))
    said = said_on(page_of(summary))
    assert len(said) > 1000
    assert latin(said) == set()
    write_pdf(summary, tmp_path / "summary.pdf")
    with pypdfium2.PdfDocument(tmp_path / "summary.pdf") as document:
        printed = document[0].get_textpage().get_text_range()
    assert len(printed) > 500
    assert latin(printed) == set()
    trend = said_on(trend_page(trend_of(pairing, comparison)))
    assert len(trend) > 500
    assert latin(trend) == set()


def test_every_warning_of_the_views_holds_no_english(comparison: Comparison):
    found = view_warnings(*comparison.sides, _mirrored(comparison.placing), INVENTED)
    assert found
    assert latin(" ".join(warning.sentence for warning in found)) == set()


def _mirrored(placing: Placing) -> Any:
    """The same with a body twice as large, seen from the other side."""
    assert placing.body_px is not None
    first, second = placing.body_px
    larger = SimpleNamespace(value=2 * second.value, sd=second.sd)
    assert np.isfinite(first.value)
    return SimpleNamespace(is_mirrored=True, body_px=(first, larger))
