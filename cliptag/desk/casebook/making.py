"""All take-homes that are due, made by the casebook in worker processes."""

from __future__ import annotations

from pathlib import Path

from cliptag.casebook import Casebook, ExportOutcome
from cliptag.desk.casebook.job import JobStopped, Step
from cliptag.desk.casebook.news import Made
from cliptag.export import ExportOptions


def make_all_due(folder: Path, options: ExportOptions, step: Step) -> Made:
    """Make them; what is finished when it is stopped stays. Raises CasebookError."""
    with Casebook.open(folder) as book:

        def heard(_: ExportOutcome, done: int, total: int) -> None:
            step(done, total)

        def beat() -> None:
            if step.is_stopping:
                raise JobStopped

        step(0, 0)
        outcomes = book.export_due(options=options, heard=heard, beat=beat)
        clips = {outcome.clip_id: book.clip(outcome.clip_id) for outcome in outcomes}
        return Made(
            outcomes=outcomes,
            clients={id_: kept.client for id_, kept in clips.items()},
            refused=frozenset(
                id_ for id_ in clips if book.why_not_allowed(id_, options.shown_for) is not None
            ),
            folders={
                outcome.clip_id: folder / outcome.folder
                for outcome in outcomes
                if not outcome.failure
            },
        )
