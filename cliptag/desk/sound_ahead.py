"""Sound read a little ahead of what is heard, in a thread of its own."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Final, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.clip import SoundReader, Tempo
from cliptag.errors import CliptagError

RATE: Final = SoundReader.rate
CHANNELS: Final = SoundReader.channels
Samples: TypeAlias = NDArray[np.int16]
"""(n, 2) at ``RATE``."""

_AHEAD: Final = RATE * 4 // 10
_BLOCK_US: Final = 40_000


class SoundSource(Protocol):
    """Sound on a clock of its own; silence where there is none."""

    def read(self, start_us: int, stop_us: int) -> Samples:
        """The samples between two times."""

    def close(self) -> None:
        """Let go of it."""


OpenSource: TypeAlias = Callable[[], SoundSource | None]


class SoundAhead:
    """Keeps some tenths of a second of a source ready, from wherever it is told to begin.

    The source is opened, read and closed in the thread. What can't be read is silent.
    """

    def __init__(self, open_source: OpenSource) -> None:
        self._open_source = open_source
        self._wake = threading.Condition()
        self._run_on: _Run | None = None
        self._ready = _nothing()
        self._is_closing = False
        self._thread = threading.Thread(target=self._serve, name="desk sound", daemon=True)
        self._thread.start()

    @property
    def ready(self) -> int:
        """How many samples can be taken now."""
        return len(self._ready)

    def begin(self, from_us: int, speed: float) -> None:
        """Forget what is ready, and get ready what is heard from a time on at this speed."""
        with self._wake:
            self._run_on, self._ready = _Run(from_us, speed), _nothing()
            self._wake.notify()

    def end(self) -> None:
        """Forget what is ready, and read no more."""
        with self._wake:
            self._run_on, self._ready = None, _nothing()

    def take(self, most: int) -> Samples:
        """The next samples, at most so many, of those that are ready."""
        with self._wake:
            taken, self._ready = self._ready[:most], self._ready[most:]
            self._wake.notify()
        return taken

    def close(self) -> None:
        """End the thread."""
        with self._wake:
            self._is_closing = True
            self._wake.notify()
        self._thread.join()

    def _serve(self) -> None:
        source: SoundSource | None = None
        try:
            source = self._open_source()
            while source is not None:
                run = self._next_run()
                if run is None:
                    break
                self._add(run, run.next_block(source))
        except CliptagError:
            pass  # a clip whose sound can't be read is silent; its pictures tell what is wrong
        finally:
            if source is not None:
                source.close()

    def _next_run(self) -> _Run | None:
        """What is to be read on; None at the end."""
        with self._wake:
            self._wake.wait_for(
                lambda: self._is_closing or (self._run_on and len(self._ready) < _AHEAD)
            )
            return None if self._is_closing else self._run_on

    def _add(self, run: _Run, block: Samples) -> None:
        with self._wake:
            if run is self._run_on:
                self._ready = np.concatenate([self._ready, block])


class _Run:
    """One stretch that is read from its start on."""

    def __init__(self, from_us: int, speed: float) -> None:
        self._tempo = None if speed == 1.0 else Tempo(speed)
        self._at_us = from_us if self._tempo is None else from_us - Tempo.LEAD_US

    def next_block(self, source: SoundSource) -> Samples:
        start_us, self._at_us = self._at_us, self._at_us + _BLOCK_US
        block = source.read(start_us, self._at_us)
        return block if self._tempo is None else self._tempo.feed(block)


def _nothing() -> Samples:
    return np.zeros((0, CHANNELS), np.int16)
