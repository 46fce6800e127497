"""Whatever stands in a field of a review comes out harmless and whole, wherever a client looks."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, Final

import numpy as np
import pypdfium2
import pytest
from support.media import make_clip
from support.reviews import note
from support.webvtt_tools import by_ffmpeg

from cliptag.clip import open_clip
from cliptag.export import ClientView, check_vtt, plan_export
from cliptag.export.cards import title_words
from cliptag.export.handout import write_handouts
from cliptag.export.plain_text import clean
from cliptag.export.transcript import transcript_of
from cliptag.export.vtt import write_captions, write_chapters
from cliptag.opening import start_review
from cliptag.review import Joint, Number, Point, Review, edit

TEXTS: Final = {
    "script": "<script>alert(1)</script><img src=x onerror=alert(2)>",
    "attribute": '" onmouseover="alert(1)" x=\'{{ 1234*5678 }} {0} {week} %s',
    "end of a cue": "a --> b\n\n00:00.000 --> 99:00.000\nNOTE x\nSTYLE",
    "signs": "Tom & Ann < 3 &amp; &lt;b&gt; ]]> <!-- </style></title> \\N{x}",
    "controls": "a\x00b\x07c\x1b[31md\u2028e\ufefff",
    "turned round": "abc \u202e gnp.exe \u2066\u2067 x \u202d",
    "emoji": "\U0001f9d8\u200d\u2640\ufe0f\U0001f44d\U0001f3fd e\u0301\u0327 \ufdfd",
    "half a character": "a \ud83d b",
}
LONG: Final = "Slowly and long, " * 600
SHORT: Final = 200
LINKS: Final = r"#|commentary\.mp4|summary\.pdf|transcript\.txt|data:image/webp;base64,"


def _marked(label: str) -> Joint:
    a, b, c = Point(40.0, 50.0), Point(100.0, 90.0), Point(60.0, 200.0)
    return Joint(id="j", joint="knee", proximal=a, vertex=b, distal=c, label=label)


def _number(**fields: Any) -> Number:
    return Number(**({"name": "x", "words": "Lean", "value": 4.0, "sd": 0.5, "unit": "°"} | fields))


FIELDS: Final[dict[str, Callable[[Review, str], Review]]] = {
    "client": lambda review, text: edit.with_fields(review, client=text[:SHORT]),
    "coach": lambda review, text: edit.with_fields(review, coach=text[:SHORT]),
    "impression": lambda review, text: edit.with_fields(review, impression=text),
    "caution": lambda review, text: edit.with_fields(review, caution=text),
    "note": lambda review, text: edit.with_note_fields(review, "n1", text=text),
    "exercise": lambda review, text: edit.with_note_fields(review, "n2", text=text),
    "repetitions": lambda review, text: edit.with_note_fields(
        review, "n2", repetitions=text[:SHORT]
    ),
    "label": lambda review, text: edit.with_mark(review, "n1", _marked(text[:SHORT])),
    "number's words": lambda review, text: edit.with_note_fields(
        review, "n1", numbers=(_number(words=text[:SHORT]),)
    ),
    "number's way": lambda review, text: edit.with_note_fields(
        review, "n1", numbers=(_number(sense=text[:SHORT]),)
    ),
    "number's unit": lambda review, text: edit.with_note_fields(
        review, "n1", numbers=(_number(unit=text[:40]),)
    ),
}


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    folder = tmp_path_factory.mktemp("clip")
    with open_clip(make_clip(folder / "a.mp4", size=(180, 320), seconds=0.4)) as clip:
        yield clip


class _Page(HTMLParser):
    """The page as a parser sees it: its elements, its attributes, and the text of each part."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text = ""
        self._open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        self._open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] not in ("script", "style"):
            self.text += data


def _plain(clip: Any) -> Review:
    notes = (
        note(1, start_us=0, end_us=100_000, text="See.", marks=(_marked("x"),)),
        note(2, start_us=200_000, end_us=300_000, kind="exercise", text="Do."),
    )
    return edit.with_fields(start_review(clip), notes=notes, client="Ines", coach="Mara")


def _words_of(text: str) -> list[str]:
    """The words that must come through, without the marks of direction that none may see."""
    shown = re.sub("[\u2066-\u2069\u202a-\u202e]", " ", clean(text))
    return shown.split()


@pytest.mark.parametrize("which", [*TEXTS, "long"])
@pytest.mark.parametrize("field", FIELDS)
def test_a_field_comes_out_harmless_everywhere(clip: Any, tmp_path: Path, field: str, which: str):
    text = LONG if which == "long" else TEXTS[which]
    calm = _plain(clip)
    hostile = FIELDS[field](calm, text)
    plan = plan_export(hostile, clip)

    write_handouts(tmp_path, hostile, clip, plan, "commentary.mp4", "transcript.txt")
    page = _Page((tmp_path / "index.html").read_text("utf-8"))
    _page_is_harmless(page)
    _captions_are_sound(write_captions(plan.cues), write_chapters(plan.chapters))

    transcript = transcript_of(hostile, plan.timeline, plan.readings, plan.words)
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]", transcript + title_words(hostile))
    for line in transcript.split("\n"):
        opened = len(re.findall("[\u202a\u202b\u202d\u202e\u2066-\u2068]", line))
        assert opened == len(re.findall("[\u202c\u2069]", line)), line

    with pypdfium2.PdfDocument(tmp_path / "summary.pdf") as document:
        printed = " ".join(sheet.get_textpage().get_text_range() for sheet in document)
        assert all("URI" not in str(sheet.get_objects()) for sheet in document)
    if which in ("script", "signs") and field not in ("number's unit", "label"):
        kept = _words_of(text[:SHORT])
        squeezed = re.sub(r"\s", "", printed)
        assert all(word in squeezed for word in kept), printed
        assert all(word in "".join(page.text.split()) for word in kept)

    view = ClientView(clip, hostile)
    try:
        picture = view.picture(len(view) // 2)
        assert picture.dtype == np.uint8 and picture.shape[2] == 3
    finally:
        view.close()
    assert calm != hostile


def _page_is_harmless(page: _Page) -> None:
    assert page.elements.count("script") == page.elements.count("style") == 1
    assert page.elements.count("video") == page.elements.count("title") == 1
    assert page.elements.count("img") <= 1
    assert "iframe" not in page.elements and "object" not in page.elements
    assert not [name for name, _ in page.attributes if name.startswith("on")]
    for name, value in page.attributes:
        if name in ("href", "src", "poster"):
            assert re.match(
                r"#|commentary\.mp4|summary\.pdf|transcript\.txt|data:image/webp;base64,", value
            )
    assert "7006652" not in page.text  # 1234 * 5678 is not worked out


def _captions_are_sound(captions: str, chapters: str) -> None:
    for written, kind in ((captions, "captions"), (chapters, "chapters")):
        found = check_vtt(written.encode("utf-8"), kind=kind)  # type: ignore[arg-type]
        assert [finding for finding in found if finding.severity == "error"] == []
        cues = written.count(" --> ")
        if cues:
            assert len(by_ffmpeg(written).cues) == cues
