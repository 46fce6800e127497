"""Work on a terminal: a bar while it lasts, and Ctrl-C that asks for its end."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from rich.console import Console
from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn


@dataclass(frozen=True, slots=True)
class Working:
    """``advance`` takes the part that is done, 0 to 1; ``is_stopped`` whether to end."""

    advance: Callable[[float, float | None], None]
    is_stopped: Callable[[], bool]


@contextlib.contextmanager
def working(words: str) -> Iterator[Working]:
    """A bar on the terminal, with the time that is left; nothing where errors go to a file."""
    console = Console(stderr=True)
    with (
        stop_on_ctrl_c() as is_stopped,
        Progress(
            TextColumn("{task.description}"),
            BarColumn(),
            TimeRemainingColumn(),
            console=console,
            disable=not console.is_terminal,
        ) as bar,
    ):
        task = bar.add_task(words, total=1.0)
        yield Working(lambda done, _: bar.update(task, completed=done), is_stopped)


@contextlib.contextmanager
def stop_on_ctrl_c() -> Iterator[Callable[[], bool]]:
    """Let Ctrl-C ask for the end, so that it can't break in where something is half-made.

    A second Ctrl-C breaks in all the same.
    """
    asked = threading.Event()

    def ask(*_: object) -> None:
        asked.set()
        signal.signal(signal.SIGINT, before)

    before = signal.signal(signal.SIGINT, ask)
    try:
        yield asked.is_set
    finally:
        signal.signal(signal.SIGINT, before)
