"""The summary that a client can print: one or two sheets, findings from the ground up."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage

from cliptag.paint.card_page import ACCENT, INK, QUIET_INK
from cliptag.paint.summary_blocks import (
    Block,
    Boxes,
    Columns,
    Marked,
    Panel,
    Picture,
    Stack,
    Text,
    mm,
)
from cliptag.paint.summary_sheet import SheetFacts, write_sheets
from cliptag.paint.text import clean_line, clean_paragraphs, is_right_to_left
from cliptag.paint.typefaces import REGULAR, STRONG
from cliptag.review import Kind

_LONG_TEXT: Final = 700
"""Characters; a finding that says more goes over the whole width."""


@dataclass(frozen=True, slots=True, eq=False)
class SummaryFinding:
    """One finding; ``numbers`` are names with values, ``picture`` is (H, W, 3) R'G'B'."""

    kind: Kind
    title: str
    text: str
    numbers: tuple[tuple[str, str], ...] = ()
    picture: NDArray[np.uint8] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class SummaryText:
    """What the summary says, as it should read; what is empty is left out."""

    heading: str
    about: tuple[str, ...] = ()
    impression_heading: str = ""
    impression: str = ""
    findings_heading: str = ""
    findings: tuple[SummaryFinding, ...] = ()
    sureness: str = ""
    exercises_heading: str = ""
    exercises: tuple[tuple[str, str], ...] = ()
    """What to do and how often."""
    caution_heading: str = ""
    caution: str = ""
    language: str = "en"
    right_to_left: bool = False
    page_words: Callable[[int, int], str] = "{} / {}".format


def write_summary(path: Path, text: SummaryText) -> int:
    """Write the summary as a PDF; gives how many pages it takes. Raises OSError."""
    return _Summary(text).write(path)


class _Summary:
    def __init__(self, text: SummaryText) -> None:
        self._text = text
        self._rtl = text.right_to_left

    def write(self, path: Path) -> int:
        text = self._text
        facts = SheetFacts(clean_line(text.heading), text.language, self._rtl, text.page_words)
        blocks = [*self._impression(), *self._findings(), *self._exercises(), *self._caution()]
        return write_sheets(path, self._head(), blocks, facts)

    def _say(
        self,
        text: str,
        points: float = 10.0,
        *,
        strong: bool = False,
        colour: str = INK,
        before: float = 0.0,
        is_coachs: bool = False,
    ) -> Text:
        """``is_coachs``: the coach's own words, which may be in another script than the rest."""
        words = clean_paragraphs(text)
        return Text(
            words,
            points,
            STRONG if strong else REGULAR,
            colour,
            mm(before),
            is_right_to_left(words, self._rtl) if is_coachs else self._rtl,
        )

    def _head(self) -> Block:
        about = "  ·  ".join(map(clean_line, self._text.about))
        rows = [self._say(self._text.heading, 21, strong=True)]
        if about:
            rows.append(self._say(about, 10.5, colour=QUIET_INK, before=1.0))
        return Stack((*rows, self._say(" ", 4)))

    def _heading(self, text: str) -> Text:
        return self._say(text, 13.5, strong=True, colour=ACCENT)

    def _impression(self) -> Iterator[Block]:
        if self._text.impression:
            yield Stack(
                (
                    self._heading(self._text.impression_heading),
                    self._say(self._text.impression, 11.5, before=1.2, is_coachs=True),
                ),
                mm(6.0),
            )

    def _findings(self) -> Iterator[Block]:
        findings = self._text.findings
        rows: list[Block] = []
        short: list[SummaryFinding] = []
        for finding in findings:
            if len(finding.text) > _LONG_TEXT:
                rows += [*self._grid(short), self._finding(finding)]
                short = []
            else:
                short.append(finding)
        rows += self._grid(short)
        if rows:
            heading = self._heading(self._text.findings_heading)
            yield Stack((heading, Stack((rows[0],), mm(2.0))), mm(6.0))
            yield from rows[1:]
        if self._text.sureness and any(finding.numbers for finding in findings):
            yield self._say(self._text.sureness, 8.5, colour=QUIET_INK, before=3.5)

    def _grid(self, findings: Sequence[SummaryFinding]) -> Iterator[Block]:
        for place in range(0, len(findings), 2):
            cells: tuple[Block | None, ...] = tuple(map(self._finding, findings[place : place + 2]))
            cells += (None,) * (2 - len(cells))
            yield Columns(cells, (1.0, 1.0), mm(7.0), self._rtl, mm(5.0))

    def _finding(self, finding: SummaryFinding) -> Block:
        title = self._say(finding.title, 10.5, strong=True)
        rows: list[Block] = [Marked(finding.kind, title, 10.5, self._rtl)]
        if finding.text:
            rows.append(self._say(finding.text, 9.5, before=0.8, is_coachs=True))
        for name, value in finding.numbers:
            rows.append(self._say(name, 8.5, colour=QUIET_INK, before=1.0))
            rows.append(self._say(value.replace(" ± ", "\u00a0±\u00a0"), 10.5, strong=True))
        words = Stack(tuple(rows), mm(5.0))
        if finding.picture is None:
            return words
        shares = (0.42, 0.58) if len(finding.text) <= _LONG_TEXT else (0.2, 0.8)
        picture = Picture(_image(finding.picture))
        return Columns((picture, words), shares, mm(3.0), self._rtl, mm(5.0))

    def _exercises(self) -> Iterator[Block]:
        tasks: list[Block] = []
        for words, often in self._text.exercises:
            rows: list[Block] = [self._say(words, 10.5, is_coachs=True)]
            if often:
                rows.append(
                    self._say(often, 10.5, strong=True, colour=ACCENT, before=0.4, is_coachs=True)
                )
            rows.append(Boxes(right_to_left=self._rtl, space_before=mm(1.4)))
            tasks.append(
                Marked("exercise", Stack(tuple(rows)), 10.5, self._rtl, mm(4.0 if tasks else 2.5))
            )
        if tasks:
            heading = self._heading(self._text.exercises_heading)
            yield Panel(Stack((heading, *tasks)), space_before=mm(8.0))

    def _caution(self) -> Iterator[Block]:
        if self._text.caution:
            rows = (
                self._say(self._text.caution_heading, 10.5, strong=True),
                self._say(self._text.caution, 10.0, before=0.6, is_coachs=True),
            )
            yield Panel(Marked("care", Stack(rows), 10.5, self._rtl), space_before=mm(6.0))


def _image(rgb: NDArray[np.uint8]) -> QImage:
    height, width = rgb.shape[:2]
    data = np.ascontiguousarray(rgb).tobytes()
    return QImage(data, width, height, 3 * width, QImage.Format.Format_RGB888).copy()
