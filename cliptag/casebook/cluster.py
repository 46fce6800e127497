"""Jobs on several machines, through dask.distributed (the extra ``cluster``)."""

from __future__ import annotations

import platform
from collections.abc import Sequence
from typing import Any, Final

import av

import cliptag
from cliptag.casebook.job import ExportOutcome, ExportTask, export_job
from cliptag.casebook.workers import MOST_TRIES, OnDone
from cliptag.errors import CasebookError
from cliptag.export import ffmpeg_version

_SECONDS_TO_ANSWER: Final = 15


def run_on_cluster(tasks: Sequence[ExportTask], on_done: OnDone, address: str) -> None:
    """Do all tasks on the workers of a scheduler; ``on_done`` hears of each once.

    The casebook's folder is at the same path on every machine. A lost worker's tasks are done
    again by others. Raises CasebookError when the scheduler doesn't answer, has no workers, or a
    worker has other versions of what the result depends on.
    """
    distributed = _engine()
    try:
        client = distributed.Client(address, timeout=_SECONDS_TO_ANSWER, set_as_default=False)
    except (OSError, TimeoutError, ValueError) as error:
        raise CasebookError(
            f"No scheduler answers at {address} ({error}): start one with dask scheduler, and give "
            "its address as it prints it."
        ) from error
    with client:
        _check_workers(client)
        futures = {
            client.submit(export_job, task, pure=False, retries=MOST_TRIES - 1): task
            for task in tasks
        }
        try:
            for future in distributed.as_completed(list(futures), loop=client.loop):
                on_done(futures[future], _outcome(futures[future], future))
        finally:
            client.cancel(list(futures))


def machine_facts() -> dict[str, str]:
    """The versions on which an export's bytes depend."""
    return {
        "cliptag": cliptag.__version__,
        "PyAV": av.__version__,
        "ffmpeg": ffmpeg_version(),
        "processor": platform.machine(),
    }


def _engine() -> Any:
    try:
        import distributed
    except ImportError as error:
        raise CasebookError(
            "Exports on several machines need dask.distributed: install it with "
            "pip install 'cliptag[cluster]'."
        ) from error
    return distributed


def _check_workers(client: Any) -> None:
    facts: dict[str, Any] = client.run(machine_facts, on_error="return")
    facts = {worker: told for worker, told in facts.items() if not isinstance(told, OSError)}
    if not facts:
        raise CasebookError("The scheduler has no workers: start some with dask worker ADDRESS.")
    own = machine_facts()
    for worker, told in facts.items():
        if isinstance(told, Exception):
            raise CasebookError(f"The worker {worker} can't export: {told}") from told
        differing = [name for name, version in own.items() if told.get(name) != version]
        if differing:
            name = differing[0]
            raise CasebookError(
                f"The worker {worker} has {name} {told.get(name)}, this machine {own[name]}: "
                "install the same versions everywhere, so that all make the same videos."
            )


def _outcome(task: ExportTask, future: Any) -> ExportOutcome:
    error = future.exception()
    if error is None:
        outcome = future.result()
        assert isinstance(outcome, ExportOutcome)
        return outcome
    sentence = f"No worker could do it ({type(error).__name__}: {error}): export it again."
    return ExportOutcome(task.clip_id, task.folder, failure=sentence)
