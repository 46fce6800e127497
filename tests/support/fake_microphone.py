"""A microphone that hears what a test tells it."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cliptag.desk.voice import SoundInput


class FakeMicrophone:
    """Gives samples when a test calls ``hear``."""

    name = "Fake microphone"

    def __init__(self, *, works: bool = True) -> None:
        self._works = works
        self._heard: Callable[[np.ndarray], None] | None = None
        self.is_plugged_in = True

    def begin(self, heard: Callable[[np.ndarray], None]) -> bool:
        self._heard = heard if self._works else None
        return self._works

    def end(self) -> None:
        self._heard = None

    def is_alive(self) -> bool:
        return self.is_plugged_in

    @property
    def is_on(self) -> bool:
        return self._heard is not None

    def hear(self, samples: np.ndarray) -> None:
        """Have the desk hear this."""
        assert self._heard is not None, "nobody listens"
        for start in range(0, len(samples), 1024):
            self._heard(samples[start : start + 1024])


def opener(*microphones: FakeMicrophone | None) -> Callable[[str], SoundInput | None]:
    """Gives one microphone after the other."""
    waiting = list(microphones)
    return lambda _name: waiting.pop(0) if len(waiting) > 1 else waiting[0]
