"""A desk in a process of its own, which records the chosen note through the system's microphone.

Arguments: the review, and 'stop' (after some seconds) or 'never'.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

os.environ["QT_QPA_PLATFORM"] = "offscreen"

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QApplication

from cliptag.desk.voice import input_names
from cliptag.desk.window import DeskWindow

SECONDS = 6


def main(review: Path, is_ended: bool) -> None:
    application = QApplication(sys.argv)
    window = DeskWindow()
    window.show()
    assert window.open_path(review), window.bar.sentence
    window.state.choose("n1")
    print("microphones", *input_names(), flush=True)
    window.commands.action("speak").trigger()
    watch = QTimer()
    told: list[int] = []

    def look() -> None:
        booth = window.booth
        if booth.length_us and not told:
            told.append(1)
            print("listening", flush=True)
            if is_ended:
                QTimer.singleShot(SECONDS * 1000, window.commands.action("speak").trigger)
        if told and booth.state == "idle":
            watch.stop()
            window.close()
            application.quit()

    watch.timeout.connect(look)
    watch.start(20)
    QTimer.singleShot(40_000, application.quit)
    application.exec()


main(Path(sys.argv[1]), sys.argv[2] == "stop")
