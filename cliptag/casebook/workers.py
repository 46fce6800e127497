"""Jobs in processes of this machine: each in one of its own, done again when it is lost."""

from __future__ import annotations

import collections
import multiprocessing
import os
import signal
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess
from typing import Final, TypeAlias

from cliptag.casebook.job import ExportOutcome, ExportTask, export_job

OnDone: TypeAlias = Callable[[ExportTask, ExportOutcome], None]
MOST_TRIES: Final = 3
LOST: Final = (
    "The export of this review was broken off {tries} times without a word: free some memory or "
    "disk space, then export again."
)


def default_workers() -> int:
    """Each export keeps about two cores busy: painting, and the encoder."""
    return max(1, (os.cpu_count() or 1) // 2)


def run_here(tasks: Sequence[ExportTask], on_done: OnDone, workers: int) -> None:
    """Do all tasks, so many at a time; ``on_done`` hears of each once, in this thread.

    A worker that dies is replaced and its task done again. When ``on_done`` raises, or the person
    stops it, all workers are ended.
    """
    waiting = collections.deque((task, 1) for task in tasks)
    running: dict[Connection, tuple[BaseProcess, ExportTask, int]] = {}
    try:
        while waiting or running:
            while waiting and len(running) < workers:
                task, tries = waiting.popleft()
                pipe, process = _start(task)
                running[pipe] = (process, task, tries)
            for ready in wait(list(running)):
                assert isinstance(ready, Connection)
                process, task, tries = running.pop(ready)
                outcome = _heard(ready, process)
                if outcome is not None:
                    on_done(task, outcome)
                elif tries < MOST_TRIES:
                    waiting.append((task, tries + 1))
                else:
                    sentence = LOST.format(tries=tries)
                    on_done(task, ExportOutcome(task.clip_id, task.folder, failure=sentence))
    finally:
        for process, _, _ in running.values():
            process.kill()
        for process, _, _ in running.values():
            process.join()


def _start(task: ExportTask) -> tuple[Connection, BaseProcess]:
    context = multiprocessing.get_context("spawn")  # Qt and FFmpeg don't survive a fork
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_work, args=(task, theirs), daemon=True)
    process.start()
    theirs.close()
    return ours, process


def _heard(pipe: Connection, process: BaseProcess) -> ExportOutcome | None:
    """What a worker says at its end; None when it died first."""
    try:
        outcome = pipe.recv()
    except EOFError:
        outcome = None
    pipe.close()
    process.join()
    return outcome if isinstance(outcome, ExportOutcome) else None


def _work(task: ExportTask, pipe: Connection) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one who gave the job out
    pipe.send(export_job(task))
    pipe.close()
