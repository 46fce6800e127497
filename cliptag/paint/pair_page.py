"""The summary of two reviews on one sheet of paper, A4, as a PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QMarginsF, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QImage, QPageLayout, QPageSize, QPainter, QPdfWriter, QPen

from cliptag.paint.line_plot import GRID, INK, QUIET, SERIES, LinePlot, paint_line_plot
from cliptag.paint.pdf_times import take_times_out
from cliptag.paint.summary_sheet import SheetFacts, tell_language
from cliptag.paint.text import TextBlock, clean_line, lay_out
from cliptag.paint.typefaces import REGULAR, STRONG

DPI: Final = 200
WIDTH_PX: Final = round(210 / 25.4 * DPI)
HEIGHT_PX: Final = round(297 / 25.4 * DPI)
_MARGIN: Final = round(12 / 25.4 * DPI)
_SCALES: Final = (1.0, 0.93, 0.86, 0.8, 0.74, 0.68)
"""Of the words, until all fit on the page; at the least the table's last lines go."""
_NARROW: Final = 1.9
"""Two pictures that are no wider together, in heights, have the plots beside them."""
_COLUMNS: Final = (0.27, 0.165, 0.165, 0.15, 0.11, 0.14)


@dataclass(frozen=True, slots=True, eq=False)
class PairPage:
    """What stands on the page, as it should read. ``table`` has its headings in its first line.

    ``strong_rows`` are the lines of the table, counted from 1, that are set in bold.
    """

    title: str
    heading: str
    about: tuple[str, ...]
    names: tuple[str, str]
    pictures: tuple[NDArray[np.uint8], NDArray[np.uint8]]
    table: tuple[tuple[str, ...], ...]
    strong_rows: frozenset[int]
    plots: tuple[LinePlot, ...]
    said: tuple[str, ...]
    warnings: tuple[str, ...]
    foot: tuple[str, ...]
    caution: str
    language: str = "en"
    right_to_left: bool = False


def write_pair_pdf(page: PairPage, path: Path) -> None:
    """Write the page; its title and language are told in it, and no time. Raises OSError."""
    writer = QPdfWriter(str(path))
    writer.setPageLayout(
        QPageLayout(
            QPageSize(QPageSize.PageSizeId.A4),
            QPageLayout.Orientation.Portrait,
            QMarginsF(0, 0, 0, 0),
        )
    )
    writer.setResolution(DPI)
    writer.setTitle(clean_line(page.title))
    writer.setCreator("cliptag")
    painter = QPainter()
    if not painter.begin(writer):
        raise OSError(f"{path.name} can't be written")
    paint_pair_page(painter, page)
    painter.end()
    title = clean_line(page.title)
    tell_language(path, SheetFacts(title, page.language, page.right_to_left, lambda *_: ""))
    take_times_out(path)


def paint_pair_page(painter: QPainter, page: PairPage) -> None:
    """Paint the page at (0, 0), ``WIDTH_PX`` by ``HEIGHT_PX``."""
    for scale in _SCALES:
        sheet = _Sheet(page, scale)
        if sheet.fits:
            break
    sheet.paint(painter)


class _Sheet:
    """The page laid out from its top, with words of one size."""

    def __init__(self, page: PairPage, scale: float) -> None:
        self._page = page
        self._px = round(25 * scale)
        self._width = float(WIDTH_PX - 2 * _MARGIN)
        self._rtl = page.right_to_left
        rtl = self._rtl or None
        self._head = [_block(page.heading, round(1.7 * self._px), self._width, STRONG, rtl)]
        self._head += [_block(line, self._px, self._width, rtl=rtl) for line in page.about]
        small = round(0.88 * self._px)
        notes = [f"! {line}" for line in page.warnings] + [line for line in page.said if line]
        self._notes = [_block(line, self._px, self._width, rtl=rtl) for line in notes]
        self._foot = [_block(line, small, self._width, rtl=rtl) for line in page.foot]
        self._caution = _block(page.caution, self._px, self._width - 2 * self._px, STRONG, rtl)
        self._rows = [_table_row(row, n in page.strong_rows, small, self._width, rtl)
                      for n, row in enumerate(page.table)]  # fmt: skip
        self._gap = 0.6 * self._px

    @property
    def fits(self) -> bool:
        return self._free_height >= 0.2 * HEIGHT_PX

    def paint(self, painter: QPainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        y = self._flow(painter, self._head, float(_MARGIN)) + self._gap
        picture_height = min(max(self._free_height, 0.12 * HEIGHT_PX), 0.36 * HEIGHT_PX)
        y = self._pictures(painter, y, picture_height) + self._gap
        y = self._flow(painter, self._notes, y) + (self._gap if self._notes else 0)
        y = self._table(painter, y) + self._gap
        if not self._has_column:
            y = self._plots(painter, y)
        y = self._flow(painter, self._foot, y, QUIET)
        self._paint_caution(painter)

    @property
    def _has_column(self) -> bool:
        """Whether the plots stand beside the pictures: two upright ones leave room for them."""
        widths = [picture.shape[1] / picture.shape[0] for picture in self._page.pictures]
        return bool(self._page.plots) and sum(widths) < _NARROW

    @property
    def _plot_height(self) -> float:
        """Of the row of plots beneath the table."""
        return 0.15 * HEIGHT_PX if self._page.plots and not self._has_column else 0.0

    @property
    def _caution_height(self) -> float:
        return self._caution.height + 1.4 * self._px if self._page.caution else 0.0

    @property
    def _free_height(self) -> float:
        """What is left for the two pictures."""
        used = sum(block.height for block in (*self._head, *self._notes, *self._foot))
        used += sum(_row_height(row) for row in self._rows) + self._plot_height
        used += self._caution_height + 7 * self._gap + 2 * self._px
        return HEIGHT_PX - 2 * _MARGIN - used

    def _flow(
        self, painter: QPainter, blocks: Sequence[TextBlock], y: float, colour: str = INK
    ) -> float:
        for block in blocks:
            block.paint(painter, _MARGIN, y, QColor(colour))
            y += block.height
        return y

    def _pictures(self, painter: QPainter, y: float, height: float) -> float:
        room = (self._width - self._gap) / (3.2 if self._has_column else 2)
        left = float(_MARGIN)
        shapes = [p.shape[0] / p.shape[1] for p in self._page.pictures]
        height = min(height, room * max(shapes))
        for number, (name, picture) in enumerate(
            zip(self._page.names, self._page.pictures, strict=True)
        ):
            image = _image(picture)
            scale = min(room / image.width(), height / image.height())
            size = image.width() * scale, image.height() * scale
            painter.drawImage(QRectF(left, y, *size), image)
            words = _block(name, self._px, room, STRONG, rtl=False)
            key = QPen(QColor(SERIES[number]), 0.2 * self._px)
            key.setStyle(Qt.PenStyle.DashLine if number else Qt.PenStyle.SolidLine)
            painter.setPen(key)
            middle = y + height + 0.3 * self._px + words.height / 2
            painter.drawLine(QPointF(left, middle), QPointF(left + 1.8 * self._px, middle))
            words.paint(painter, left + 2.3 * self._px, middle - words.height / 2, QColor(INK))
            left += size[0] + self._gap
        if self._has_column:
            column = QRectF(left + self._gap, y, WIDTH_PX - _MARGIN - left - self._gap, height)
            self._plots_in(painter, column)
        return y + height + 1.7 * self._px

    def _table(self, painter: QPainter, y: float) -> float:
        last = HEIGHT_PX - _MARGIN - self._caution_height - self._plot_height
        for number, row in enumerate(self._rows):
            height = _row_height(row)
            if y + height > last:
                break
            x = float(_MARGIN)
            cells = list(zip(row, _COLUMNS, strict=True))
            for block, share in reversed(cells) if self._rtl else cells:
                block.paint(painter, x, y + 0.12 * self._px, QColor(INK if number else QUIET))
                x += share * self._width
            y += height
            painter.setPen(QPen(QColor(GRID), 1.5))
            painter.drawLine(QPointF(_MARGIN, y), QPointF(WIDTH_PX - _MARGIN, y))
        return y

    def _plots(self, painter: QPainter, y: float) -> float:
        count = len(self._page.plots)
        if not count:
            return y
        gap = self._gap
        width = (self._width - (count - 1) * gap) / count
        for number, plot in enumerate(self._page.plots):
            box = QRectF(_MARGIN + number * (width + gap), y, width, self._plot_height)
            paint_line_plot(painter, plot, box, round(0.72 * self._px))
        return y + self._plot_height + self._gap

    def _plots_in(self, painter: QPainter, column: QRectF) -> None:
        """The plots beneath each other."""
        count = len(self._page.plots)
        each = (column.height() - (count - 1) * 0.5 * self._gap) / count
        for number, plot in enumerate(self._page.plots):
            top = column.top() + number * (each + 0.5 * self._gap)
            box = QRectF(column.left(), top, column.width(), each)
            paint_line_plot(painter, plot, box, round(0.72 * self._px))

    def _paint_caution(self, painter: QPainter) -> None:
        if not self._page.caution:
            return
        height = self._caution_height
        box = QRectF(_MARGIN, HEIGHT_PX - _MARGIN - height, self._width, height)
        painter.fillRect(box, QColor("#FFF3DF"))
        self._caution.paint(painter, box.left() + self._px, box.top() + 0.7 * self._px, QColor(INK))


def _block(
    text: str, px: int, width: float, weight: int = REGULAR, rtl: bool | None = None
) -> TextBlock:
    """``rtl`` None: as the text itself begins."""
    return lay_out(clean_line(text), px, width, weight=weight, right_to_left=rtl)


def _table_row(
    row: tuple[str, ...], is_strong: bool, px: int, width: float, rtl: bool | None
) -> list[TextBlock]:
    weight = STRONG if is_strong else REGULAR
    return [
        _block(text, px, share * width - 0.5 * px, weight if place in (0, 5) else REGULAR, rtl)
        for place, (text, share) in enumerate(zip(row, _COLUMNS, strict=True))
    ]


def _row_height(row: list[TextBlock]) -> float:
    return max(block.height for block in row) + 5.0


def _image(picture: NDArray[np.uint8]) -> QImage:
    rgb = np.ascontiguousarray(picture)
    height, width = rgb.shape[:2]
    return QImage(rgb.tobytes(), width, height, 3 * width, QImage.Format.Format_RGB888).copy()
