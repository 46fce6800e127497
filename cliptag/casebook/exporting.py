"""Every take-home that is due, made by many workers and put down one by one."""

from __future__ import annotations

import datetime as dt
import hashlib
import shutil
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, TypeAlias

from cliptag.casebook.consents import why_not_allowed
from cliptag.casebook.job import ExportOutcome, ExportTask, sweep
from cliptag.casebook.model import ReceivedClip
from cliptag.casebook.names import TAKE_HOME
from cliptag.casebook.reviews import clip, clips, keep_take_home, refresh
from cliptag.casebook.store import Store
from cliptag.casebook.versions import fingerprint
from cliptag.casebook.workers import Beat, OnDone, default_workers, run_here
from cliptag.consent import CLIENTS
from cliptag.errors import CliptagError, ConsentError
from cliptag.review import load_review

if TYPE_CHECKING:
    from cliptag.export import ExportOptions

Runner: TypeAlias = Callable[[Sequence[ExportTask], OnDone], None]
Heard: TypeAlias = Callable[[ExportOutcome, int, int], None]
"""Told each outcome, how many are done, and how many there are."""


def export_due(
    store: Store,
    *,
    options: ExportOptions,
    workers: int | None = None,
    scheduler: str | None = None,
    heard: Heard | None = None,
    beat: Beat | None = None,
) -> tuple[ExportOutcome, ...]:
    """Make the take-home of every review that is done; gives what became of each.

    A clip that may not be shown for the purpose of ``options`` is not touched. A take-home is
    put down, and its review counts as exported, when its folder is there. With ``scheduler`` the
    workers of a cluster do it, else ``workers`` processes here.
    """
    refresh(store)
    refused: list[ExportOutcome] = []
    tasks: list[ExportTask] = []
    for kept in clips(store, state="done"):
        try:
            tasks.append(_task(store, kept, options))
        except CliptagError as error:
            refused.append(ExportOutcome(kept.id, "", failure=str(error)))
    total, outcomes = len(tasks) + len(refused), list[ExportOutcome]()

    def on_done(task: ExportTask, outcome: ExportOutcome) -> None:
        if not outcome.failure:
            _put_down(store, task, outcome)
        sweep(task)
        outcomes.append(outcome)
        if heard:
            heard(outcome, len(outcomes), total)

    for outcome in refused:
        outcomes.append(outcome)
        if heard:
            heard(outcome, len(outcomes), total)
    try:
        if tasks:
            _runner(workers, scheduler, beat)(tasks, on_done)
    finally:
        for task in tasks:
            sweep(task)
    return tuple(outcomes)


def _runner(workers: int | None, scheduler: str | None, beat: Beat | None) -> Runner:
    if scheduler is None:
        return partial(run_here, workers=workers or default_workers(), beat=beat)
    from cliptag.casebook.cluster import run_on_cluster  # loads an engine that few have

    return partial(run_on_cluster, address=scheduler)


def _task(store: Store, kept: ReceivedClip, options: ExportOptions) -> ExportTask:
    """Raises ConsentError, ReviewError."""
    sentence = why_not_allowed(store, kept, options.shown_for, dt.date.today())
    if sentence:
        raise ConsentError(sentence)
    home = store.client_folder(kept.folder)
    mark = fingerprint(load_review(home / kept.review))
    # One folder for each version, so that a job that is done twice makes it once.
    version = hashlib.blake2b(f"{mark} {options}".encode(), digest_size=4).hexdigest()
    folder = PurePosixPath(kept.path).with_suffix(f"{TAKE_HOME}-{version}").as_posix()
    return ExportTask(
        casebook=str(store.folder),
        clip_id=kept.id,
        review=f"{CLIENTS}/{kept.folder}/{kept.review}",
        fingerprint=mark,
        folder=f"{CLIENTS}/{kept.folder}/{folder}",
        options=options,
    )


def _put_down(store: Store, task: ExportTask, outcome: ExportOutcome) -> None:
    kept = clip(store, task.clip_id)
    home = store.client_folder(kept.folder)
    folder = Path(task.casebook, task.folder)
    below = folder.relative_to(home).as_posix()
    unsent = [made for made in store.take_homes(kept.id) if not made.sent_at]
    with store.writing(kept.client_id):
        now = dt.datetime.now(dt.UTC)
        keep_take_home(store, kept.id, below, task.options.shown_for, now, outcome.digest)
        store.db.do("UPDATE clips SET state = 'exported' WHERE id = ?", (kept.id,))
        for made in unsent:
            if made.folder != below:
                store.db.do("DELETE FROM take_homes WHERE id = ?", (made.id,))
    for made in unsent:  # the newer one takes the place of what nobody was sent
        if made.folder != below and not Path(made.folder).is_absolute():
            with suppress(OSError):
                shutil.rmtree(home / made.folder)
