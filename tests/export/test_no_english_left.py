"""Nothing that a client sees is English by itself: in an invented language no Latin is left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from support.invented_language import INVENTED
from support.media import make_clip
from support.reviews import every_mark, note

from cliptag.clip import open_clip
from cliptag.export import ExportOptions, cards, plan_export, take_home
from cliptag.export.cards import closing_pages, title_picture, title_words
from cliptag.export.handout import write_handouts
from cliptag.export.scene import Scene, Shown
from cliptag.export.transcript import transcript_of
from cliptag.export.vtt import write_captions, write_chapters
from cliptag.opening import start_review
from cliptag.review import CLIMB, MOVEMENT_WORDS, Number, Review, edit

GREEK = "Γόνατα μπροστά."
LATIN_WORD = re.compile("[A-Za-z]{2,}")
NOT_WORDS = {"cm", "ms", "mm"}
"""The signs of units are the same in every language."""


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    folder = tmp_path_factory.mktemp("clip")
    with open_clip(make_clip(folder / "a.mp4", size=(360, 640), seconds=1.0)) as clip:
        yield clip


@pytest.fixture(autouse=True)
def invented(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(take_home, "words_of", lambda language: INVENTED)


def _review(clip: Any) -> Review:
    number = Number(
        name="peak_trunk_lean", words="Trunk lean, at most", value=48.3, sd=0.4, unit="°",
        sense="forward", at_us=0, repetition=2,
    )  # fmt: skip
    marks = tuple(mark for mark in every_mark())
    kinds = ("seen", "good", "try", "exercise", "care")
    notes = [
        note(place, region=region, kind=kinds[place % 5], start_us=place * 40_000,
             end_us=place * 40_000 + 20_000, text=GREEK, repetitions="2 × 8",
             marks=marks if place == 1 else (), numbers=(number,) if place == 2 else ())
        for place, region in enumerate(CLIMB)
    ]  # fmt: skip
    fields = {"client": "Ίνες", "coach": "Μάρα", "impression": GREEK, "week": 3, "facing": "left"}
    return edit.with_fields(start_review(clip), notes=tuple(notes), **fields)


def _latin(text: str) -> set[str]:
    return set(LATIN_WORD.findall(text)) - NOT_WORDS


def test_texts_chapters_captions_and_titles_hold_no_english(clip: Any):
    review = _review(clip)
    plan = plan_export(review, clip)
    transcript = transcript_of(review, plan.timeline, plan.readings, plan.words)
    assert _latin(transcript) == set()
    captions = write_captions(plan.cues).removeprefix("WEBVTT")
    chapters = write_chapters(plan.chapters).removeprefix("WEBVTT")
    assert _latin(re.sub(" line:0", "", captions) + chapters) == set()
    scene = Scene(review, plan.timeline, plan.cues, plan.readings, plan.words)
    for number in range(len(plan.cues)):
        overlay = scene.overlay(Shown("n1", number, is_still=True))
        assert overlay.caption is not None
        assert _latin(overlay.caption.heading) == set()
        assert _latin(" ".join(mark.reading or "" for mark in overlay.marks)) == set()


@pytest.mark.parametrize("movement", MOVEMENT_WORDS)
def test_cards_hold_no_english(clip: Any, monkeypatch: pytest.MonkeyPatch, movement: Any):
    said: list[Any] = []

    def listening(paint: Any) -> Any:
        def painted(size: Any, text: Any) -> Any:
            said.append(text)
            return paint(size, text)

        return painted

    monkeypatch.setattr(cards, "title_card", listening(cards.title_card))
    monkeypatch.setattr(cards, "closing_card", listening(cards.closing_card))
    review = edit.with_fields(_review(clip), movement=movement)
    title_picture(review, (360, 640), INVENTED)
    closing_pages(review, (360, 640), INVENTED)
    closing_pages(edit.with_fields(review, notes=()), (360, 640), INVENTED)
    assert len(said) == 3
    assert _latin(title_words(review, INVENTED)) == set()
    for text in said:
        fields = [getattr(text, name) for name in text.__slots__]
        assert _latin(" ".join(field for field in fields if isinstance(field, str))) == set()


class _Seen(HTMLParser):
    """What a page shows or says: its text, and the attributes that a person may meet."""

    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []
        self._silent = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("style", "script"):
            self._silent = tag
        spoken = ("alt", "title", "aria-label", "data-words", "data-days", "data-label")
        self.said += [value or "" for name, value in attrs if name in spoken]

    def handle_endtag(self, tag: str) -> None:
        if tag == self._silent:
            self._silent = ""

    def handle_data(self, data: str) -> None:
        if not self._silent:
            self.said.append(data)


@pytest.mark.parametrize("is_clean", [False, True])
def test_the_page_and_the_summary_hold_no_english(clip: Any, tmp_path: Path, is_clean: bool):
    review = _review(clip)
    plan = plan_export(review, clip, ExportOptions())
    write_handouts(tmp_path, review, clip, plan, "1.mp4", "2.txt", has_burned_captions=not is_clean)
    seen = _Seen()
    seen.feed((tmp_path / "index.html").read_text("utf-8"))
    said = " ".join(seen.said).replace("{days}", "").replace("1.mp4", "")
    assert len(said) > 1000
    assert _latin(said) == set()
    with pypdfium2.PdfDocument(tmp_path / "summary.pdf") as document:
        printed = " ".join(page.get_textpage().get_text_range() for page in document)
    assert len(printed) > 1000
    assert _latin(printed) == set()
