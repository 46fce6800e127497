"""The summary page and its PDF: whole, safe, and saying what was found."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from PyQt6.QtPdf import QPdfDocument

from cliptag.paint import LinePlot, Series, ensure_painter_ready
from cliptag.pairing import Comparison, Row
from cliptag.pairing.export import plan_pairing, telling_pictures
from cliptag.pairing.page import page_of
from cliptag.pairing.pdf import write_pdf
from cliptag.pairing.plot_svg import svg_of
from cliptag.pairing.summary import Summary, summary_of
from cliptag.pairing.telling import rows_to_show
from cliptag.pairing.transcript import transcript_of

EVIL = '"><script>alert(1)</script>\u202e<img src=x onerror=alert(2)>&amp;\x00'


@pytest.fixture(scope="module")
def summary(lift: Comparison) -> Summary:
    return summary_of(lift, telling_pictures(lift, plan_pairing(lift)))


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def parsed(page: str) -> _Tags:
    reader = _Tags()
    reader.feed(page)
    return reader


def hostile(summary: Summary) -> Summary:
    """Every text as bad as can be."""
    row = Row(EVIL, EVIL, EVIL, EVIL, EVIL, EVIL, True, EVIL)
    known = np.array([0.0, 1.0])
    plot = LinePlot(EVIL, EVIL, (Series(EVIL, known, known, known),), (0, 1), ((0, EVIL),),
                    ((0.5, EVIL),))  # fmt: skip
    return replace(
        summary,
        title=EVIL,
        heading=EVIL,
        about=(EVIL,),
        names=(EVIL, EVIL),
        lead=EVIL,
        rows=(row,),
        more=EVIL,
        plots=(plot,),
        said=((EVIL, EVIL),),
        warnings=(EVIL,),
        foot=(EVIL,),
        caution=EVIL,
    )


def test_hostile_text_makes_no_element_and_no_attribute(summary: Summary):
    good, bad = parsed(page_of(summary)), parsed(page_of(hostile(summary)))
    assert "script" not in {tag for tag, _ in bad.tags}
    assert not any(name.startswith("on") for _, attrs in bad.tags for name in attrs)
    images = [attrs["src"] for tag, attrs in bad.tags if tag == "img"]
    assert len(images) == len([1 for tag, _ in good.tags if tag == "img"])
    assert all(str(src).startswith("data:image/jpeg;base64,") for src in images)


def test_the_page_may_load_nothing_and_asks_for_nothing(summary: Summary):
    page = page_of(summary)
    policy = next(
        attrs["content"]
        for tag, attrs in parsed(page).tags
        if attrs.get("http-equiv") == "Content-Security-Policy"
    )
    assert "default-src 'none'" in str(policy)
    assert "unsafe" not in str(policy)
    assert not re.search(r"(https?:)?//[a-z]", re.sub(r"base64,[^\"]+", "", page))
    assert not [attrs for _, attrs in parsed(page).tags if "style" in attrs]


def test_the_page_says_every_line_of_the_table(summary: Summary, lift: Comparison):
    said = " ".join(parsed(page_of(summary)).text)
    assert len(summary.rows) == len(rows_to_show(lift.differences))
    for row in summary.rows:
        for text in (row.words, row.first, row.second, row.change, row.verdict):
            assert text in said
    assert summary.caution in said


def test_curves_are_drawn_with_bands_and_told_to_who_cannot_see(summary: Summary):
    plot = next(plot for plot in summary.plots if plot.title == "Trunk tilt")
    svg = svg_of(plot)
    assert svg.count('class="band first"') == 1
    assert svg.count('class="line second"') == 1
    assert "Week 1 from" in svg and "Week 10 from" in svg


@pytest.mark.parametrize("texts", ["usual", "hostile", "long"])
def test_the_pdf_is_one_sheet_of_a4(summary: Summary, tmp_path: Path, texts: str):
    ensure_painter_ready()
    shown = {"usual": summary, "hostile": hostile(summary)}.get(texts)
    if shown is None:
        shown = replace(
            summary,
            rows=summary.rows * 4,
            warnings=("A long warning. " * 20,) * 4,
            said=(("Keep this · Hips", "Words of the coach. " * 30),),
        )
    path = tmp_path / "summary.pdf"
    write_pdf(shown, path)
    document = QPdfDocument(None)
    document.load(str(path))
    assert document.pageCount() == 1
    size = document.pagePointSize(0)
    assert (round(size.width()), round(size.height())) == (595, 842)
    if texts == "usual":
        words = document.getAllText(0).text()
        assert "Trunk lean" in words
        assert "not a medical diagnosis" in words


def test_the_transcript_has_no_controls_and_every_line_of_the_table(
    summary: Summary, lift: Comparison
):
    text = transcript_of(hostile(summary), plan_pairing(lift))
    assert "\x00" not in text
    usual = transcript_of(summary, plan_pairing(lift))
    for row in summary.rows:
        assert row.first in usual and row.verdict in usual


def test_the_telling_pictures_are_those_of_both_panels(lift: Comparison, summary: Summary):
    for picture, panel in zip(summary.pictures, lift.sheet.panels, strict=True):
        assert picture.shape == (panel.height, panel.width, 3)
    assert not np.array_equal(*summary.pictures)
