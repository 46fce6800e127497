"""A take's outline, to be drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.voice.reader import TAKE_RATE, read_take

_BLOCK_US: Final = 1_000_000


def outline_of(path: Path, length_us: int, columns: int) -> NDArray[np.float32]:
    """(columns, 2): the lowest and the highest sample of each column, from -1 to 1.

    Raises VoiceError when the take can't be read.
    """
    lowest = np.zeros(columns, np.float32)
    highest = np.zeros(columns, np.float32)
    total = max(1, length_us * TAKE_RATE // 1_000_000)
    at = 0
    for block in read_take(path, 0, length_us, _BLOCK_US):
        mono = block.astype(np.float32) / 32_768
        column = np.minimum((at + np.arange(len(mono))) * columns // total, columns - 1)
        np.minimum.at(lowest, column, mono)
        np.maximum.at(highest, column, mono)
        at += len(block)
    return np.stack([lowest, highest], axis=1)
