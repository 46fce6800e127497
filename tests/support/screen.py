"""A screen without a monitor, and a program in a window on it that is used by key and mouse.

Needs Xvfb and xdotool; without them the test that asked is skipped and says why. What is on the
screen is only ever learnt from the screen's own pixels.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Final, TypeVar

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageGrab

Picture = NDArray[np.uint8]
T = TypeVar("T")

_KEY_MS: Final = 12
_STILL_S: Final = 0.3
_TRIES: Final = 5
_LEAST_MATCHES: Final = 25
_FOLDERS: Final = ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME")


def until(ask: Callable[[], T | None], what: str, timeout_s: float = 40.0) -> T:
    """What ``ask`` gives as soon as it is something true; fails with ``what`` was waited for."""
    end_s = time.monotonic() + timeout_s
    while True:
        found = ask()
        if found:
            return found
        if time.monotonic() > end_s:
            pytest.fail(f"waited {timeout_s:.0f} s in vain for {what}")
        time.sleep(0.05)


@dataclass(frozen=True)
class Place:
    """Where a picture lies on the screen: ``zoom`` screen pixels to each of its own."""

    zoom: float
    left: float
    top: float

    def on_screen(self, x: float, y: float) -> tuple[int, int]:
        """The screen pixel over a place of the picture."""
        return round(self.left + x * self.zoom), round(self.top + y * self.zoom)


class Screen:
    """A display of its own with folders of its own, so that no person's settings are touched."""

    def __init__(self, display: str, size: tuple[int, int], home: Path) -> None:
        self.size = size
        self._display = display
        self._home = home
        self._clean = {k: v for k, v in os.environ.items() if not k.startswith(("QT_", "WAYLAND"))}
        self.environment = self._clean | {
            "DISPLAY": display,
            "HOME": str(home),
            "QT_QPA_PLATFORM": "xcb",
            **{name: str(home / name.lower()) for name in _FOLDERS},
        }

    def start(self, *arguments: str | Path, **more: str) -> Program:
        """Start cliptag as a person would from a terminal."""
        log = (self._home / "terminal.txt").open("ab")
        process = subprocess.Popen(
            [sys.executable, "-m", "cliptag", *arguments],
            env=self.environment | more,
            cwd=self._home,
            stdout=log,
            stderr=log,
        )
        log.close()
        return Program(self, process)

    def terminal(self) -> str:
        """What the programs have written so far."""
        return (self._home / "terminal.txt").read_text("utf-8", "replace")

    def pixels(self) -> Picture:
        """What the screen shows: uint8, (height, width, 3), RGB."""
        return np.asarray(ImageGrab.grab(xdisplay=self._display).convert("RGB"))

    def still(self) -> Picture:
        """What the screen shows once nothing on it moves any more."""
        before = self.pixels()
        end_s = time.monotonic() + 20.0
        while time.monotonic() < end_s:
            time.sleep(_STILL_S)
            now = self.pixels()
            if np.array_equal(before, now):
                return now
            before = now
        pytest.fail("the screen never stood still")

    def keep(self, path: Path) -> Path:
        """Write what the screen shows to a file; gives its path."""
        Image.fromarray(self.pixels()).save(path)
        return path

    def xdotool(self, *words: str | int) -> str:
        """Run xdotool; gives what it wrote, which is empty where it found nothing."""
        done = subprocess.run(
            ["xdotool", *map(str, words)],
            env=self._clean | {"DISPLAY": self._display},
            capture_output=True,
            text=True,
            timeout=30,
            check=False,
        )
        return done.stdout.strip()

    def find(self, picture: Picture) -> Place | None:
        """Where a picture is shown, at any size; None if it isn't (yet)."""
        sift = cv2.SIFT_create(nfeatures=4000)
        # Half the size is nearer to what is shown, and quicker to go through.
        half = cv2.resize(picture, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
        wanted, wanted_like = sift.detectAndCompute(half, None)
        shown, shown_like = sift.detectAndCompute(self.pixels(), None)
        if wanted_like is None or shown_like is None or len(shown) < 2:
            return None
        pairs = cv2.BFMatcher().knnMatch(wanted_like, shown_like, k=2)
        sure = [best for best, other in pairs if best.distance < 0.75 * other.distance]
        if len(sure) < _LEAST_MATCHES:
            return None
        source = np.array([wanted[m.queryIdx].pt for m in sure]) * 2.0 + 0.5
        target = np.array([shown[m.trainIdx].pt for m in sure])
        affine, inliers = cv2.estimateAffinePartial2D(source, target, ransacReprojThreshold=1.5)
        if affine is None or inliers.sum() < _LEAST_MATCHES or abs(affine[1, 0]) > 0.01:
            return None
        return Place(*(float(value) for value in (affine[0, 0], affine[0, 2], affine[1, 2])))


class Program:
    """One run of cliptag and its window."""

    def __init__(self, screen: Screen, process: subprocess.Popen[bytes]) -> None:
        self._screen = screen
        self._process = process

    def wait_for_title(self, words: str, timeout_s: float = 40.0) -> str:
        """Wait for a window whose title matches a regular expression; gives its id."""

        def found() -> str | None:
            if self._process.poll() is not None:
                pytest.fail(f"cliptag ended by itself: {self._screen.terminal()}")
            ids = self._screen.xdotool("search", "--onlyvisible", "--name", words)
            return ids.splitlines()[-1] if ids else None

        return until(found, f"a window called '{words}'", timeout_s)

    def fill_screen(self, window: str) -> None:
        """Make the window as large as the screen, and give it the keyboard."""
        tell, (width, height) = self._screen.xdotool, self._screen.size
        tell("windowmove", window, 0, 0)
        tell("windowsize", "--sync", window, width, height)
        tell("windowfocus", "--sync", window)

    def press(self, *keys: str) -> None:
        """Press keys one after the other, such as 'u' or 'ctrl+e'."""
        self._screen.xdotool("key", "--delay", _KEY_MS, *keys)

    def type(self, text: str) -> None:
        """Type a text."""
        self._screen.xdotool("type", "--delay", _KEY_MS, text)

    def click(self, x: int, y: int) -> None:
        """Move the mouse to a pixel of the screen and click."""
        self._screen.xdotool("mousemove", x, y, "sleep", 0.05, "click", 1, "sleep", 0.05)

    def drag(self, start: tuple[int, int], end: tuple[int, int]) -> None:
        """Drag the mouse from one pixel to another."""
        middle = [(a + b) // 2 for a, b in zip(start, end, strict=True)]
        self._screen.xdotool(
            *("mousemove", *start, "mousedown", 1, "sleep", 0.05, "mousemove", *middle),
            *("sleep", 0.05, "mousemove", *end, "sleep", 0.05, "mouseup", 1),
        )

    def click_where_key_leads(self, key: str) -> None:
        """Click what a key gives the keyboard to: its ring comes with the key, goes with Tab."""
        shots = [self._screen.still().astype(np.int16)]
        for press in (key, "Tab"):
            self.press(press)
            shots.append(self._screen.still().astype(np.int16))
        came, went = (np.abs(b - a).max(axis=2) > 24 for a, b in pairwise(shots))
        ring = np.argwhere(came & went)
        assert len(ring), f"no ring is seen after {key}"
        y, x = (ring.min(axis=0) + ring.max(axis=0)) // 2
        self.click(int(x), int(y))

    def kill(self) -> None:
        """kill -9."""
        self._process.send_signal(signal.SIGKILL)
        self._process.wait(10)

    def end(self) -> int:
        """Wait for the program to end by itself; gives its exit code."""
        return self._process.wait(20)

    @property
    def is_running(self) -> bool:
        return self._process.poll() is None


@contextmanager
def screen_of(home: Path, size: tuple[int, int] = (1600, 1200)) -> Iterator[Screen]:
    """A new screen; every window on it goes when it ends."""
    for program in ("Xvfb", "xdotool"):
        if shutil.which(program) is None:
            pytest.skip(f"no {program} here")
    home.mkdir(parents=True, exist_ok=True)
    for _ in range(_TRIES):
        server, number = _serve(size)
        try:
            screen = Screen(f":{number}", size, home)
            if number and screen.xdotool("getdisplaygeometry"):
                yield screen
                return
        finally:
            server.terminate()
            server.wait(10)
    pytest.skip("Xvfb does not start here")


def _serve(size: tuple[int, int]) -> tuple[subprocess.Popen[bytes], str]:
    """Start a server on a number that it chooses; gives it and the number, empty if it failed.

    Servers that come and go at the same time can take each other's socket away.
    """
    reader, writer = os.pipe()
    screen = ("-screen", "0", f"{size[0]}x{size[1]}x24", "-nolisten", "tcp", "-noreset")
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writer), *screen],
        pass_fds=(writer,),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    os.close(writer)
    with os.fdopen(reader) as numbers:
        return server, numbers.readline().strip()
