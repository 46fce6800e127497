"""A desk that changes its review all the time and tells when: crash_desk.py CLIP

Each line of its output is the number that was just written into the review, and the second of the
steady clock at which that was done.
"""

from __future__ import annotations

import sys
import time
from itertools import count
from pathlib import Path

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QApplication

from cliptag.desk.bar import Bar
from cliptag.desk.keeping import Keeper
from cliptag.desk.remembered import Remembered
from cliptag.desk.state import DeskState
from cliptag.review import edit


def main(clip: Path) -> int:
    application = QApplication([])
    state, bar = DeskState(), Bar()
    Keeper(state, bar, Remembered(), state)
    assert state.open(clip)
    numbers = count(1)

    def change() -> None:
        assert state.document is not None
        number = next(numbers)
        review = edit.with_fields(state.document.review, impression=f"Change {number}")
        state.document.do(review, "write", run="typing")
        print(number, time.monotonic(), flush=True)

    timer = QTimer()
    timer.timeout.connect(change)
    timer.start(10)
    return application.exec()


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
