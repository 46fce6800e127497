"""What a check of a caption file found."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from cliptag.export.plain_text import one_line

Severity = Literal["error", "advice"]

MOST_FINDINGS: Final = 1000
_QUOTED: Final = 40


@dataclass(frozen=True, slots=True)
class Finding:
    """One remark on a line of a file; lines count from 1.

    An error breaks the WebVTT standard; advice says what makes the captions hard to read.
    """

    line: int
    severity: Severity
    code: str
    sentence: str


class EnoughError(Exception):
    """``MOST_FINDINGS`` are found; to look further helps nobody."""


class Findings:
    """Collects remarks, ``MOST_FINDINGS`` at most: a damaged file can break a rule on each line.

    One more raises EnoughError, after a last remark that says so.
    """

    def __init__(self) -> None:
        self._found: list[Finding] = []

    def error(self, line: int, code: str, sentence: str) -> None:
        self._add(Finding(line, "error", code, sentence))

    def advice(self, line: int, code: str, sentence: str) -> None:
        self._add(Finding(line, "advice", code, sentence))

    def in_order(self) -> tuple[Finding, ...]:
        return tuple(sorted(self._found, key=lambda finding: finding.line))

    def _add(self, finding: Finding) -> None:
        if len(self._found) == MOST_FINDINGS:
            sentence = "The rest wasn't checked; mend the first of these and check again."
            self._found.append(Finding(finding.line, finding.severity, "more", sentence))
            raise EnoughError
        self._found.append(finding)


def quoted(text: str) -> str:
    """A piece of a file, short and safe to print on a terminal."""
    shown = one_line(text[: 4 * _QUOTED])
    return f"‘{shown[:_QUOTED]}…’" if len(shown) > _QUOTED or len(text) > 160 else f"‘{shown}’"
