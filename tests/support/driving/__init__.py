"""Visits of Chromium to a page, driven from outside it: any size, any scheme, by file or server."""

from __future__ import annotations

import http.server
import json
import re
import shutil
import subprocess
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, Final

import pytest
from support.npm import packages_of, program

HERE: Final = Path(__file__).parent
_CHROMIUMS: Final = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


@dataclass(frozen=True)
class Visit:
    """One visit in a fresh profile.

    ``steps`` are scripts whose values become ``results``, or one of: 'axe' (the violations of
    axe-core's rules), 'reload', 'press KEY', 'picture FILE', 'whole picture FILE', 'paper FILE'.
    ``before`` runs before the page's own script.
    """

    url: str
    steps: tuple[str, ...]
    width: int = 1280
    height: int = 900
    scheme: str = "light"
    scripts: bool = True
    before: str = ""
    sharpness: float = 1.0


@dataclass(frozen=True)
class Answer:
    """What the steps gave, what the page said on its console, and what it asked for."""

    results: list[Any] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)


def drive(visits: Sequence[Visit], patience_s: float = 150) -> list[Answer]:
    """The answers to all visits, in one start of the browser."""
    chromium = next(filter(None, map(shutil.which, _CHROMIUMS)), None)
    if chromium is None:
        pytest.skip("Chromium isn't installed, so it can't be asked")
    done = subprocess.run(
        [program("node"), str(HERE / "drive.mjs"), str(packages_of(HERE)), chromium],
        input=json.dumps([asdict(visit) for visit in visits]),
        capture_output=True,
        encoding="utf-8",
        timeout=patience_s,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return [Answer(**answer) for answer in json.loads(done.stdout)]


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """A plain static server of a folder on this machine alone; gives its address."""
    handler = partial(_Quiet, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Python's own server, and parts of files: without them no browser can seek in a video."""

    def do_GET(self) -> None:
        part = re.fullmatch(r"bytes=(\d+)-(\d*)", self.headers.get("Range", ""))
        file = Path(self.translate_path(self.path))
        if part is None or not file.is_file():
            super().do_GET()
            return
        body = file.read_bytes()
        first, last = int(part[1]), min(int(part[2] or len(body)), len(body) - 1)
        self.send_response(206)
        self.send_header("Content-Type", self.guess_type(str(file)))
        self.send_header("Content-Range", f"bytes {first}-{last}/{len(body)}")
        self.send_header("Content-Length", str(last + 1 - first))
        self.send_header("Accept-Ranges", "bytes")
        self.end_headers()
        with suppress(ConnectionError):  # the browser breaks off what it doesn't need any more
            self.wfile.write(body[first : last + 1])

    def log_message(self, *_: object) -> None:
        pass
