"""A PDF that is made twice is one and the same, and readers open it as before."""

from __future__ import annotations

import time
from pathlib import Path

import pypdf
import pypdfium2
from PyQt6.QtGui import QFont, QPainter, QPdfWriter

from cliptag.paint.pdf_times import take_times_out


def made(path: Path, words: str = "Sit tall.") -> Path:
    writer = QPdfWriter(str(path))
    writer.setTitle("For Ines")
    painter = QPainter(writer)
    painter.drawText(500, 500, words)
    painter.setFont(QFont("Noto Sans", 20, QFont.Weight.Bold))
    painter.drawText(500, 900, words)
    painter.end()
    return path


def test_the_same_page_is_the_same_file_and_another_has_another_identifier(tmp_path: Path):
    first = made(tmp_path / "a.pdf")
    time.sleep(1.1)  # their times are kept to the second
    for number in range(7):
        made(tmp_path / f"between-{number}.pdf", f"{number}")
    again = made(tmp_path / "b.pdf")
    other = made(tmp_path / "c.pdf", "Stand tall.")
    assert first.read_bytes() != again.read_bytes()
    for path in (first, again, other):
        take_times_out(path)
    assert first.read_bytes() == again.read_bytes()
    ids = [pypdf.PdfReader(path).trailer["/ID"][0] for path in (first, other)]
    assert ids[0] != ids[1]


def test_readers_find_title_and_words_but_no_day(tmp_path: Path):
    path = made(tmp_path / "a.pdf")
    assert pypdf.PdfReader(path).metadata.creation_date is not None
    take_times_out(path)
    reader = pypdf.PdfReader(path, strict=True)
    assert reader.metadata.title == "For Ines"
    assert reader.metadata.creation_date is None and reader.metadata.modification_date is None
    assert reader.xmp_metadata is None or reader.xmp_metadata.xmp_create_date is None
    with pypdfium2.PdfDocument(path) as document:
        assert "Sit tall." in document[0].get_textpage().get_text_range()
        assert document.get_metadata_value("CreationDate") == ""
