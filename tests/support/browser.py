"""Chromium as a witness: it opens a page from this machine, and the page posts what it found."""

from __future__ import annotations

import http.server
import json
import re
import shutil
import subprocess
import tempfile
import threading
from collections.abc import Mapping
from contextlib import suppress
from typing import Any, Final

import pytest

_CHROMIUMS: Final = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
_FLAGS: Final = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-port=0",
    "--autoplay-policy=no-user-gesture-required",
)


def ask_chromium(files: Mapping[str, tuple[str, bytes]], *, patience_s: float = 90) -> Any:
    """What the page at ``/`` posts to ``/answers`` as JSON.

    ``files`` are (content type, bytes) by path. The test that asked is skipped, with the reason,
    where Chromium isn't installed or doesn't start.
    """
    chromium = next(filter(None, map(shutil.which, _CHROMIUMS)), None)
    if chromium is None:
        pytest.skip("Chromium isn't installed, so it can't be asked")
    with _Server(files) as server, tempfile.TemporaryDirectory() as profile:
        address = f"http://127.0.0.1:{server.server_port}/"
        browser = subprocess.Popen(
            [chromium, *_FLAGS, f"--user-data-dir={profile}", address],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            is_answered = server.answered.wait(patience_s)
        finally:
            browser.terminate()
            with suppress(subprocess.TimeoutExpired):
                browser.wait(20)
            browser.kill()
            browser.wait()
    if not is_answered and not server.was_asked:
        pytest.skip("Chromium is installed but didn't open the page")
    assert is_answered, f"the page didn't answer within {patience_s} seconds"
    return server.answers


class _Server(http.server.ThreadingHTTPServer):
    """Serves the page and its files to the browser on this machine alone."""

    daemon_threads = True

    def __init__(self, files: Mapping[str, tuple[str, bytes]]) -> None:
        super().__init__(("127.0.0.1", 0), _Handler)
        self.files = files
        self.answers: Any = None
        self.answered = threading.Event()
        self.was_asked = False

    def __enter__(self) -> _Server:
        threading.Thread(target=self.serve_forever, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self.shutdown()
        self.server_close()

    def handle_error(self, request: object, client_address: object) -> None:
        pass  # the browser breaks off what it doesn't need any more


class _Handler(http.server.BaseHTTPRequestHandler):
    server: _Server

    def do_GET(self) -> None:
        self.server.was_asked = True
        if self.path not in self.server.files:
            self.send_error(404)
            return
        kind, body = self.server.files[self.path]
        # A video can only be sought in when parts of it can be asked for.
        part = re.fullmatch(r"bytes=(\d+)-(\d*)", self.headers.get("Range", ""))
        if part is None:
            self._answer(200, kind, body)
        else:
            first = int(part[1])
            last = min(int(part[2] or len(body) - 1), len(body) - 1)
            where = f"bytes {first}-{last}/{len(body)}"
            self._answer(206, kind, body[first : last + 1], {"Content-Range": where})

    def do_POST(self) -> None:
        self.server.answers = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
        self._answer(200, "text/plain", b"")
        self.server.answered.set()

    def log_message(self, *_: object) -> None:
        pass

    def _answer(
        self, status: int, kind: str, body: bytes, more: Mapping[str, str] | None = None
    ) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(body)))
        self.send_header("Accept-Ranges", "bytes")
        for name, value in (more or {}).items():
            self.send_header(name, value)
        self.end_headers()
        self.wfile.write(body)
