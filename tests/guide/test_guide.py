"""The shot guide says everything in every language, on one sheet and on one page of its own."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import pypdfium2
import pytest

from cliptag.cli import main
from cliptag.errors import ExportError
from cliptag.guide import guide_page, shot_guide, write_guide
from cliptag.guide.sketches import PAPER_COLOURS, SIZE
from cliptag.review import Movement
from cliptag.words import ENGLISH, LANGUAGES, words_of

MOVEMENTS = get_args(Movement)


class _Seen(HTMLParser):
    """The page's text, and every attribute that could load something."""

    def __init__(self) -> None:
        super().__init__()
        self.text: list[str] = []
        self.loads: list[str] = []

    def handle_starttag(self, tag: str, attrs) -> None:
        self.loads += [value for name, value in attrs if name in ("src", "href", "srcset")]

    def handle_data(self, data: str) -> None:
        self.text.append(data.strip())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("movement", MOVEMENTS)
def test_page_and_sheet_say_every_step_and_the_caution(tmp_path: Path, language, movement):
    guide = shot_guide(words_of(language), movement, "Ines")
    page, sheet = write_guide(guide, tmp_path)
    seen = _Seen()
    seen.feed(page.read_text("utf-8"))
    said = [guide.heading, guide.about, *guide.caution, guide.closing]
    for step in guide.steps:
        said += [step.title, *step.sentences]
    assert all(sentence in seen.text for sentence in said)
    with pypdfium2.PdfDocument(sheet) as document:
        assert len(document) == 1, "one sheet of paper"
        size = document[0].get_size()
        assert size == pytest.approx((595, 842), abs=1)  # ISO 216: A4 is 210 x 297 mm
        if language != "he":  # how a reader orders it is a matter of the PDF reader
            printed = re.sub(r"\s+", " ", document[0].get_textpage().get_text_range())
            assert all(sentence in printed for sentence in said)


@pytest.mark.parametrize("language", [code for code in LANGUAGES if code != "en"])
def test_no_english_is_left_in_another_language(language: str):
    english, other = shot_guide(ENGLISH), shot_guide(words_of(language))
    for one, two in zip(english.steps, other.steps, strict=True):
        assert one.title != two.title
        assert not set(one.sentences) & set(two.sentences)
    assert not set(english.caution) & set(other.caution)


def test_the_page_loads_nothing_and_its_policy_allows_just_its_own_style():
    page = guide_page(shot_guide(ENGLISH, "lift", "<script>alert(1)</script> & Ines"))
    seen = _Seen()
    seen.feed(page)
    assert seen.loads == [] and "<script" not in page
    assert "For <script>alert(1)</script> & Ines" in seen.text
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)
    assert style is not None
    digest = base64.b64encode(hashlib.sha256(style[1].encode()).digest()).decode()
    assert f"default-src 'none'; style-src 'sha256-{digest}'" in page.replace("&#39;", "'")


def test_the_page_reads_from_right_to_left_where_the_language_does():
    assert '<html lang="he" dir="rtl">' in guide_page(shot_guide(words_of("he")))
    assert '<html lang="de" dir="ltr">' in guide_page(shot_guide(words_of("de")))


@pytest.mark.parametrize("movement", MOVEMENTS)
def test_every_drawing_is_sound_svg_within_its_frame_and_without_words(movement: Movement):
    for step in shot_guide(ENGLISH, movement).steps:
        drawing = ElementTree.fromstring(step.sketch(PAPER_COLOURS))
        assert drawing.attrib["viewBox"] == f"0 0 {SIZE[0]} {SIZE[1]}"
        assert not [node for node in drawing.iter() if node.tag.endswith("text")]
        for node in drawing.iter():
            xs = [float(node.attrib[name]) for name in ("x", "cx") if name in node.attrib]
            ys = [float(node.attrib[name]) for name in ("y", "cy") if name in node.attrib]
            assert all(0 <= x <= SIZE[0] for x in xs) and all(0 <= y <= SIZE[1] for y in ys)


def test_a_folder_that_cannot_be_made_is_told_of(tmp_path: Path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(ExportError, match="choose another folder"):
        write_guide(shot_guide(ENGLISH), tmp_path / "file" / "below")


def test_the_command_writes_both_and_tells_where(tmp_path: Path, capsys):
    out = tmp_path / "out"
    assert main(["guide", "--out", str(out), "--language", "es", "--json"]) == 0
    files = [Path(name) for name in json.loads(capsys.readouterr().out)["files"]]
    assert [file.name for file in files] == ["filming.html", "filming.pdf"]
    assert all(file.stat().st_size for file in files)
    assert "Cómo grabarte" in files[0].read_text("utf-8")
