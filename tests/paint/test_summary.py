"""The summary as others read it: PDFium for its text and its pages, pypdf for its structure."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from cliptag.paint import SummaryFinding, SummaryText, ensure_painter_ready, write_summary
from cliptag.paint.summary_blocks import Columns, Stack, Text, mm
from cliptag.paint.summary_sheet import flow_blocks

SENTENCES = [f"Sentence {n}: slide both heels back and lean from the hips." for n in range(200)]
LONG = " ".join(SENTENCES)
PICTURE = np.full((600, 480, 3), 90, np.uint8)


def _finding(number: int, **fields: object) -> SummaryFinding:
    usual = {"kind": "try", "title": f"Knees {number}", "text": f"Finding number {number}."}
    return SummaryFinding(**(usual | fields))  # type: ignore[arg-type]


def _summary(**fields: object) -> SummaryText:
    usual = {
        "heading": "Movement review for Ines",
        "about": ("Bending, week 1", "4 March 2026"),
        "impression_heading": "In general",
        "impression": "You reach the wood store easily.",
        "findings_heading": "What I saw",
        "findings": tuple(_finding(n, picture=PICTURE) for n in range(8)),
        "exercises_heading": "Your exercises",
        "exercises": (("Stand with your back to a wall.", "2 × 8"),),
        "caution_heading": "Please remember",
        "caution": "Stop if anything hurts.",
    }
    return SummaryText(**(usual | fields))  # type: ignore[arg-type]


def _written(folder: Path, **fields: object) -> Path:
    ensure_painter_ready()
    write_summary(folder / "summary.pdf", _summary(**fields))
    return folder / "summary.pdf"


def _text(path: Path) -> str:
    with pypdfium2.PdfDocument(path) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in document)


def test_every_word_can_be_read_back_in_its_order(tmp_path: Path):
    numbers = (("Knee flexion", "92° ± 2°"), ("Trunk lean, at most", "48.3° ± 0.4° forward"))
    findings = (_finding(1, numbers=numbers), _finding(2))
    text = _text(_written(tmp_path, findings=findings, sureness="± tells how sure it is."))
    wanted = [
        *("Movement review for Ines", "In general", "What I saw", "Knees 1", "Finding number 1."),
        *("Knee flexion", "92° ± 2°", "48.3° ± 0.4° forward"),
        *(
            "Knees 2",
            "± tells how sure it is.",
            "Your exercises",
            "2 × 8",
            "Stop if anything hurts.",
        ),
    ]
    places = [text.find(words) for words in wanted]
    assert -1 not in places, (wanted[places.index(-1)], text)
    assert places == sorted(places)


def test_a_usual_review_takes_one_or_two_a4_pages(tmp_path: Path):
    with pypdfium2.PdfDocument(_written(tmp_path)) as document:
        assert 1 <= len(document) <= 2
        for page in document:
            assert page.get_size() == pytest.approx((595.3, 841.9), abs=1.0)  # ISO 216, in points


def test_title_language_and_direction_are_told(tmp_path: Path):
    reader = PdfReader(_written(tmp_path, language="he", right_to_left=True))
    assert reader.metadata is not None
    assert reader.metadata.title == "Movement review for Ines"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "he"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert root["/ViewerPreferences"]["/Direction"] == "/R2L"


def test_all_fonts_are_embedded_with_a_way_back_to_text(tmp_path: Path):
    reader = PdfReader(_written(tmp_path, impression="Ünïcode שלום مرحبا 腰 😀"))
    fonts = [
        font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()
    ]
    assert len(fonts) >= 4
    for font in fonts:
        assert "/ToUnicode" in font
        (inner,) = font["/DescendantFonts"]
        descriptor = inner.get_object()["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)


@pytest.mark.parametrize("field", ["impression", "caution", "finding", "exercise"])
def test_a_text_of_ten_thousand_characters_is_printed_whole(tmp_path: Path, field: str):
    fields: dict[str, object] = {field: LONG}
    if field == "finding":
        fields = {"findings": (_finding(1), _finding(2, text=LONG, picture=PICTURE), _finding(3))}
    elif field == "exercise":
        fields = {"exercises": ((LONG, "2 × 8"), ("Nod.", ""))}
    text = _text(_written(tmp_path, **fields))
    assert len(LONG) > 10_000
    # Where a page ends, its number stands between the words.
    words = text.split()
    numbers = [int(word[:-1]) for word in words if re.fullmatch(r"\d+:", word)]
    assert numbers == list(range(len(SENTENCES)))
    assert words.count("hips.") == len(SENTENCES)
    assert "Stop if anything hurts." in text or field == "caution"


def test_a_page_of_right_to_left_is_the_mirror_of_the_other(tmp_path: Path):
    """The plumb line and the pictures stand on the other side."""
    sides = {}
    for rtl in (False, True):
        folder = tmp_path / str(rtl)
        folder.mkdir()
        with pypdfium2.PdfDocument(_written(folder, right_to_left=rtl)) as document:
            picture = document[0].render(scale=1.0, grayscale=True).to_numpy().squeeze()
        dark = picture < 110
        half = picture.shape[1] // 2
        top = dark[:40]  # only the plumb line reaches the upper edge
        sides[rtl] = top[:, :half].sum() > top[:, half:].sum()
    assert sides == {False: True, True: False}


def test_a_coachs_own_words_run_in_their_own_direction_on_every_sheet(tmp_path: Path):
    """UAX #9: in a paragraph of left to right the full stop stands after the last word."""
    with pypdfium2.PdfDocument(_written(tmp_path, right_to_left=True, findings=())) as document:
        page = document[0].get_textpage()
        text = page.get_text_range()
        # PDFium reads the words of such a document from the right, so it gives the stop first.
        stop = text.index(".easily")
        stop_left, word_right = page.get_charbox(stop)[0], page.get_charbox(stop + 6)[2]
    assert stop_left >= word_right - 0.5


def test_blocks_flow_without_loss_and_headings_stay_with_what_they_head():
    ensure_painter_ready()
    line = Text("One line.")
    height = line.height(mm(100.0))
    row = Stack((Text("Head"), Columns((line, None), (1.0, 1.0), mm(5.0))))
    pages = flow_blocks([line] * 7 + [row], mm(100.0), 8.5 * height)
    assert [len(page) for page in pages] == [7, 1]
    assert pages[1][0].block is row
    long = Text("word " * 400)
    parts = [one.block for page in flow_blocks([long], mm(60.0), mm(50.0)) for one in page]
    assert len(parts) > 2
    assert " ".join(part.text.strip() for part in parts).split() == long.text.split()  # type: ignore[attr-defined]
