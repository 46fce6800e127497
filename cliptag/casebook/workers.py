"""Jobs in processes of this machine: each in one of its own, done again when it is lost."""

from __future__ import annotations

import collections
import multiprocessing
import os
import signal
from collections.abc import Callable, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection, wait
from typing import Final, TypeAlias

from cliptag.casebook.job import ExportOutcome, ExportTask, export_job

OnDone: TypeAlias = Callable[[ExportTask, ExportOutcome], None]
Beat: TypeAlias = Callable[[], object]
MOST_TRIES: Final = 3
BEAT_S: Final = 0.2
LOST: Final = (
    "The export of this review was broken off {tries} times without a word: free some memory or "
    "disk space, then export again."
)


def default_workers() -> int:
    """Each export keeps about two cores busy: painting, and the encoder."""
    return max(1, (os.cpu_count() or 1) // 2)


def run_here(
    tasks: Sequence[ExportTask], on_done: OnDone, workers: int, beat: Beat | None = None
) -> None:
    """Do all tasks, so many at a time; ``on_done`` hears of each once, in this thread.

    A worker that dies is replaced and its task done again. When ``on_done`` or ``beat``, which is
    called a few times a second, raises, or the person stops it, all workers are ended.
    """
    waiting = collections.deque((task, 1) for task in tasks)
    idle: list[_Worker] = []
    busy: dict[Connection, tuple[_Worker, ExportTask, int]] = {}
    try:
        while waiting or busy:
            while waiting and len(busy) < workers:
                task, tries = waiting.popleft()
                worker = idle.pop() if idle else _Worker()
                worker.begin(task)
                busy[worker.pipe] = (worker, task, tries)
            ready = wait(list(busy), timeout=None if beat is None else BEAT_S)
            if beat is not None:
                beat()
            for pipe in ready:
                assert isinstance(pipe, Connection)
                worker, task, tries = busy.pop(pipe)
                outcome = worker.heard()
                if outcome is not None:
                    idle.append(worker)
                    on_done(task, outcome)
                elif tries < MOST_TRIES:
                    waiting.append((task, tries + 1))
                else:
                    sentence = LOST.format(tries=tries)
                    on_done(task, ExportOutcome(task.clip_id, task.folder, failure=sentence))
    finally:
        for worker in (*idle, *(worker for worker, _, _ in busy.values())):
            worker.end()


class _Worker:
    """A process that does one task after the other."""

    def __init__(self) -> None:
        context = multiprocessing.get_context("spawn")  # Qt and FFmpeg don't survive a fork
        self.pipe, theirs = context.Pipe()
        self._process = context.Process(target=_work, args=(theirs,), daemon=True)
        self._process.start()
        theirs.close()

    def begin(self, task: ExportTask) -> None:
        with suppress(OSError):  # it died meanwhile: then its pipe has an end to be heard
            self.pipe.send(task)

    def heard(self) -> ExportOutcome | None:
        """What became of its task; None when it died first."""
        try:
            outcome = self.pipe.recv()
        except (EOFError, OSError):
            self.end()
            return None
        assert isinstance(outcome, ExportOutcome)
        return outcome

    def end(self) -> None:
        self.pipe.close()
        self._process.kill()
        self._process.join()


def _work(pipe: Connection) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the one who gave the job out
    with suppress(EOFError):
        while True:
            pipe.send(export_job(pipe.recv()))
