"""How soon the desk shows what is searched for: 500 clients with 20 clips each.

    python tests/bench/bench_casebook_desk.py [--clients N]

For each text: from typing it until the list shows what was found, and for how long the window's
thread was held at most meanwhile. Best of several.
"""

from __future__ import annotations

import argparse
import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from bench_casebook import CLIPS, TRIES, fill
from PyQt6.QtWidgets import QApplication

from cliptag.casebook import FOLDER_VARIABLE, Casebook

TEXTS = ("c", "client 1", "client 123 ubermuth", "img", "img_25007", "nobody at all")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--clients", type=int, default=500)
    count = parser.parse_args().clients
    with tempfile.TemporaryDirectory() as folder:
        for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"):
            os.environ[name] = str(Path(folder, name.lower()))
        os.environ[FOLDER_VARIABLE] = str(Path(folder, "book"))
        with Casebook.make(Path(folder, "book")) as book:
            fill(book, count)
        print(f"{count} clients x {CLIPS} clips")
        measure()


def measure() -> None:
    """Needs the folders set."""
    application = QApplication([])
    from cliptag.desk.window import DeskWindow

    window = DeskWindow()
    window.show()
    window.show_casebook()
    model, search = window.casebook.model, window.casebook.view.search
    wait(application, lambda: model.now is not None)
    for text in TEXTS:
        times = []
        for _ in range(TRIES):
            search.clear()
            wait(application, lambda: model.found is None)
            started = time.perf_counter()
            search.setText(text)
            held_ms = wait(application, lambda: model.found is not None)
            times.append(((time.perf_counter() - started) * 1000, held_ms))
        assert model.found is not None
        found = f"{len(model.found.clients)} clients, {len(model.found.clips)} clips"
        shown_ms, held_ms = min(times)
        print(f"{text!r:24}{found:28}{shown_ms:6.1f} ms, window held {held_ms:5.1f} ms")
    window.close()


def wait(application: QApplication, is_so: Callable[[], bool]) -> float:
    """Let the window work; gives the longest that one turn of it took, in milliseconds."""
    longest = 0.0
    while True:
        started = time.perf_counter()
        application.processEvents()
        longest = max(longest, time.perf_counter() - started)
        if is_so():
            return longest * 1000
        time.sleep(0.0005)


if __name__ == "__main__":
    main()
