"""Clips put into the casebook one after the other; one that can't be doesn't stop the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cliptag.casebook import Casebook, Imported
from cliptag.desk.casebook.job import Step
from cliptag.errors import CliptagError


@dataclass(frozen=True, slots=True)
class Brought:
    """What became of each file of an import."""

    client: str
    imported: tuple[Imported, ...]
    failures: tuple[str, ...]

    @property
    def new_count(self) -> int:
        return sum(1 for one in self.imported if one.is_new)


def bring(
    folder: Path, client: str, paths: Sequence[Path], week: int | None, step: Step
) -> Brought:
    """Add files to a client, to the week of the day unless another is said.

    Raises CasebookError when the casebook can't be opened.
    """
    imported: list[Imported] = []
    failures: list[str] = []
    with Casebook.open(folder) as book:
        for number, path in enumerate(paths):
            step(number, len(paths))
            try:
                imported += book.add(client, [path], week=week)
            except CliptagError as error:
                failures.append(str(error))
        return Brought(book.client(client).name, tuple(imported), tuple(failures))
