"""A loudspeaker and a sound made of numbers, on a clock that goes on when it is told to."""

from __future__ import annotations

import numpy as np

RATE = 48_000
PERIOD = 30_000
"""The numbered sound counts its own samples up to this, then begins again."""


class Clock:
    """Stands for the ``time`` module."""

    def __init__(self) -> None:
        self.now_s = 1000.0

    def monotonic(self) -> float:
        return self.now_s


class NumberedSound:
    """Every sample holds its own number."""

    def __init__(self) -> None:
        self.is_closed = False

    def read(self, start_us: int, stop_us: int) -> np.ndarray:
        first, stop = (round(time_us * RATE / 1e6) for time_us in (start_us, stop_us))
        numbers = (np.arange(first, stop) % PERIOD).astype(np.int16)
        return np.repeat(numbers[:, None], 2, axis=1)

    def close(self) -> None:
        self.is_closed = True


class ToneSound(NumberedSound):
    """A tone of 1000 Hz."""

    def read(self, start_us: int, stop_us: int) -> np.ndarray:
        first, stop = (round(time_us * RATE / 1e6) for time_us in (start_us, stop_us))
        wave = 12_000 * np.sin(np.arange(first, stop) * (2 * np.pi * 1000 / RATE))
        return np.repeat(wave.astype(np.int16)[:, None], 2, axis=1)


class FakeOutput:
    """Plays what is in its buffer, after a delay, at a rate of its own, in whole periods."""

    def __init__(
        self,
        clock: Clock,
        *,
        delay_s: float = 0.05,
        skew: float = 0.0,
        period: int = 480,
        buffer: int = RATE // 5,
    ) -> None:
        self._clock = clock
        self._delay_s = delay_s
        self._rate = RATE * (1 + skew)
        self._period = period
        self._buffer = buffer
        self.volume: float | None = None
        self.begun = self.ended = 0
        self.is_unplugged = self.is_stuck = self.is_refusing = False
        self._forget()

    def _forget(self) -> None:
        self._written: list[np.ndarray] = []
        self._count = 0
        self._played = 0.0
        self._at_s = self._clock.now_s + self._delay_s

    def _play_on(self) -> None:
        now_s = self._clock.now_s
        if now_s > self._at_s:
            if not self.is_stuck:
                self._played = min(self._count, self._played + (now_s - self._at_s) * self._rate)
            self._at_s = now_s

    @property
    def written(self) -> np.ndarray:
        """(n, 2) all that was written since ``begin``."""
        return np.concatenate([np.zeros((0, 2), np.int16), *self._written])

    @property
    def truly_heard(self) -> int:
        """Samples played by now, without the coarseness of what a device tells."""
        self._play_on()
        return int(self._played)

    def begin(self) -> bool:
        self.begun += 1
        self._forget()
        return not self.is_refusing

    def end(self) -> None:
        self.ended += 1

    def free(self) -> int:
        self._play_on()
        return max(0, self._buffer - (self._count - int(self._played)))

    def write(self, samples: np.ndarray) -> int:
        self._play_on()
        if len(samples):
            self._written.append(samples)
            self._count += len(samples)
        return len(samples)

    def heard(self) -> int:
        self._play_on()
        return int(self._played) // self._period * self._period

    def set_volume(self, volume: float) -> None:
        self.volume = volume

    def is_alive(self) -> bool:
        return not self.is_unplugged
