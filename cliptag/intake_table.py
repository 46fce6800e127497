"""The intake check as ``cliptag inspect --intake`` tells it."""

from __future__ import annotations

import dataclasses
from typing import Any, Final

import rich
from rich.table import Table

from cliptag.clip import Clip
from cliptag.intake import GRADE_WORDS, Grade, intake_of
from cliptag.words import words_of

_STYLES: Final[dict[Grade, str]] = {"fine": "green", "care": "yellow", "again": "bold red"}


def intake_facts(clip: Clip, language: str) -> dict[str, Any]:
    """As plain facts."""
    intake = intake_of(clip)
    return {
        "grade": intake.grade,
        "findings": [dataclasses.asdict(finding) for finding in intake.findings],
        "message": intake.message(words_of(language)),
    }


def print_intake(clip: Clip, language: str) -> None:
    """As a table, with the words to send."""
    intake = intake_of(clip)
    table = Table(title=f"To measure from: {GRADE_WORDS[intake.grade]}", title_justify="left")
    for heading in ("", "of", "what was seen", "why that matters"):
        table.add_column(heading)
    for finding in intake.findings:
        grade = f"[{_STYLES[finding.grade]}]{GRADE_WORDS[finding.grade]}[/]"
        why = "" if finding.grade == "fine" else finding.why
        table.add_row(grade, finding.name, finding.sentence, why)
    rich.print(table)
    message = intake.message(words_of(language))
    if message:
        print("\nTo send to the client:\n")
        print(message)
