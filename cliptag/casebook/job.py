"""One export as a job that any process, here or on another machine, can do.

It only reads and writes files. The database is left to whoever gives the job out: SQLite's
write-ahead log works on one machine only (https://www.sqlite.org/wal.html, "does not work over a
network filesystem"), while the casebook's folder may well be shared.
"""

from __future__ import annotations

import shutil
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from cliptag.casebook.versions import fingerprint, folder_digest
from cliptag.errors import CasebookError, CliptagError
from cliptag.files import sync_folder
from cliptag.review import load_review

if TYPE_CHECKING:
    from cliptag.export import ExportOptions


@dataclass(frozen=True, slots=True)
class ExportTask:
    """What is to be made of which review; ``review`` and ``folder`` are below the casebook.

    ``fingerprint`` is of the version of the review that the coach said is done.
    """

    casebook: str
    clip_id: int
    review: str
    fingerprint: str
    folder: str
    options: ExportOptions


@dataclass(frozen=True, slots=True)
class ExportOutcome:
    """What became of a task: the digest of the take-home, or the sentence that says why not."""

    clip_id: int
    folder: str
    digest: str = ""
    failure: str = ""


def export_job(task: ExportTask) -> ExportOutcome:
    """Make a take-home; its folder appears at once and whole.

    Done twice, as when a worker was thought lost, the folder that came first stays. Whoever gives
    the job out has asked for the client's consent.
    """
    try:
        return ExportOutcome(task.clip_id, task.folder, digest=_made(task))
    except CliptagError as error:
        return ExportOutcome(task.clip_id, task.folder, failure=str(error))


def _made(task: ExportTask) -> str:
    # Loaded on use: it takes a second that a look into the casebook should not wait.
    from cliptag.export import make_take_home

    review_path = Path(task.casebook, task.review)
    target = Path(task.casebook, task.folder)
    if target.is_dir():
        return folder_digest(target)
    _check_version(task, review_path)
    try:
        part = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent))
    except OSError as error:
        raise CasebookError(
            f"{target.parent} can't be written ({error.strerror or error}): free some space, or "
            "see that this machine may write there."
        ) from error
    try:
        make_take_home(review_path, part, options=task.options)
        _check_version(task, review_path)
        part.chmod(0o755)
        with suppress(OSError):  # another worker was first, and made the same
            part.rename(target)
        sync_folder(target.parent)
        return folder_digest(target)
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _check_version(task: ExportTask, review_path: Path) -> None:
    if fingerprint(load_review(review_path)) != task.fingerprint:
        raise CasebookError(
            f"{review_path.name} was changed after it was said to be done: look through it, say "
            "that it is done, then export again."
        )


def sweep(task: ExportTask) -> None:
    """Remove what workers that were lost left half-made of a task."""
    target = Path(task.casebook, task.folder)
    for part in target.parent.glob(f".{target.name}.*.part"):
        shutil.rmtree(part, ignore_errors=True)
