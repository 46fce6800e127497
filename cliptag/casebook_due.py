"""What ``cliptag export --all-due`` does."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

from cliptag.casebook import Casebook, ExportOutcome, default_folder
from cliptag.printing import print_json

if TYPE_CHECKING:
    from cliptag.export import ExportOptions

DONE, COULD_NOT = 0, 1


def export_due(options: Namespace, wishes: ExportOptions) -> int:
    """Make every take-home that is due."""
    console = Console(stderr=True)
    with (
        Casebook.open(folder_of(options)) as book,
        Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            MofNCompleteColumn(),
            console=console,
            disable=not console.is_terminal,
        ) as bar,
    ):
        task = bar.add_task("Making the take-homes", total=None)

        def heard(_: ExportOutcome, done: int, total: int) -> None:
            bar.update(task, completed=done, total=total)

        outcomes = book.export_due(
            options=wishes, workers=options.workers, scheduler=options.scheduler, heard=heard
        )
        names = {clip.id: clip.client for clip in book.clips()}
    failed = [outcome for outcome in outcomes if outcome.failure]
    if options.json:
        print_json({"exported": [_outcome_facts(outcome) for outcome in outcomes]})
    else:
        for outcome in outcomes:
            if not outcome.failure:
                print(f"{names[outcome.clip_id]}, clip {outcome.clip_id}: {outcome.folder}")
        if not outcomes:
            print("Nothing is due: say which reviews are done (cliptag casebook review N --done).")
    for outcome in failed:
        print(f"cliptag: {outcome.failure}", file=sys.stderr)
    return COULD_NOT if failed else DONE


def _outcome_facts(outcome: ExportOutcome) -> dict[str, Any]:
    return {
        "clip": outcome.clip_id,
        "folder": outcome.folder,
        "digest": outcome.digest,
        "failure": outcome.failure,
    }


def folder_of(options: Namespace) -> Path:
    """Which casebook is meant."""
    return Path(options.book or default_folder())
