"""What came of things that took long, until the coach has read it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from cliptag.casebook import Erased, ExportOutcome, Problem
from cliptag.desk.casebook.importing import Brought
from cliptag.desk.casebook.telling import count_words


@dataclass(frozen=True, slots=True)
class News:
    """A sentence; with ``client`` its page can be opened, and a missing consent recorded there."""

    sentence: str
    is_trouble: bool = False
    client: str = ""
    clip_id: int | None = None
    wants_consent: bool = False
    folder: Path | None = None
    """What can be looked at in the system's own file window."""


def of_import(brought: Brought) -> tuple[News, ...]:
    """What came in; what was there already is told as well."""
    return tuple(
        News(one.sentence, not one.is_new and one.clip.client != brought.client, one.clip.client)
        for one in brought.imported
    ) + tuple(News(sentence, is_trouble=True) for sentence in brought.failures)


def import_words(brought: Brought) -> str:
    """An import in a sentence."""
    known = len(brought.imported) - brought.new_count
    words = f"{count_words(brought.new_count, 'clip')} came in for {brought.client}"
    if known:
        words += f"; {known} {'was' if known == 1 else 'were'} there already"
    if brought.failures:
        words += f"; {len(brought.failures)} could not be added"
    return f"{words}."


@dataclass(frozen=True, slots=True)
class Made:
    """What an export of all that was due came to."""

    outcomes: tuple[ExportOutcome, ...]
    clients: Mapping[int, str]
    """Whose clip each is."""
    refused: frozenset[int]
    """The clips that may not be sent."""
    folders: Mapping[int, Path]


def of_export(made: Made) -> tuple[News, ...]:
    """What was made, and why the rest was not."""
    return tuple(
        News(
            outcome.failure or f"The take-home for {made.clients[outcome.clip_id]} is made.",
            is_trouble=bool(outcome.failure),
            client=made.clients[outcome.clip_id],
            clip_id=outcome.clip_id,
            wants_consent=outcome.clip_id in made.refused,
            folder=None if outcome.failure else made.folders.get(outcome.clip_id),
        )
        for outcome in made.outcomes
    )


def export_words(made: Made) -> str:
    """An export in a sentence."""
    failed = sum(1 for outcome in made.outcomes if outcome.failure)
    done = len(made.outcomes) - failed
    if not made.outcomes:
        return "No take-home is due: say of a review that it is done, then export."
    if not done:
        return "No take-home could be made: the page says why."
    words = f"{count_words(done, 'take-home')} {'is' if done == 1 else 'are'} made"
    return f"{words}; {failed} could not be made." if failed else f"{words}."


def of_check(problems: Sequence[Problem]) -> tuple[News, ...]:
    """What is not as it should be."""
    if not problems:
        return (News("The casebook is whole: its file is sound, and nothing is missing."),)
    return tuple(News(problem.sentence, is_trouble=True) for problem in problems)


def of_erasure(name: str, erased: Erased) -> tuple[News, ...]:
    """What was erased, and what is left to the coach."""
    first = News(
        f"{name} is erased: {count_words(erased.files, 'file')} overwritten and removed, with all "
        f"that was kept elsewhere on this computer. What remains is the number {erased.tombstone}."
    )
    return first, *(
        News(
            f"{path} lies outside the casebook and was left alone: delete it yourself.",
            is_trouble=True,
        )
        for path in erased.outside
    )
