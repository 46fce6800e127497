"""`cliptag` alone, or with a file, opens the desk; without a screen it says so in one sentence."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support.desk import small_clip

from cliptag.desk import screen
from cliptag.errors import CliptagError

linux = pytest.mark.skipif(sys.platform != "linux", reason="X11")


def start(*arguments: object, **changes: str | None) -> subprocess.Popen[str]:
    environment = {**os.environ, **{k: v for k, v in changes.items() if v is not None}}
    for name in (name for name, value in changes.items() if value is None):
        environment.pop(name, None)
    command = [sys.executable, "-m", "cliptag", *map(str, arguments)]
    return subprocess.Popen(
        command, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


@linux
@pytest.mark.parametrize("given", [(), ("a.mp4",), ("a.review.json",)])
def test_without_a_screen_it_says_so_in_one_sentence(given):
    desk = start(*given, QT_QPA_PLATFORM=None, DISPLAY=None, WAYLAND_DISPLAY=None)
    said, told = desk.communicate(timeout=60)
    assert desk.returncode == 1 and said == ""
    assert told.count("\n") == 1 and "needs a screen" in told


@linux
def test_a_screen_that_cant_be_reached_is_told_in_one_sentence():
    desk = start(QT_QPA_PLATFORM=None, DISPLAY=":4711", WAYLAND_DISPLAY=None)
    _, told = desk.communicate(timeout=60)
    assert desk.returncode == 1
    assert told.count("\n") == 1 and ":4711 can't be reached" in told


@linux
def test_a_missing_system_library_is_told_with_the_command_that_mends_it(monkeypatch):
    def missing(name: str) -> None:
        raise OSError("libxcb-cursor.so.0: cannot open shared object file")

    monkeypatch.setattr(screen.ctypes, "CDLL", missing)
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("QT_QPA_PLATFORM")
    with pytest.raises(CliptagError, match=r"libxcb-cursor.so.0.*apt-get install .*libxcb-cursor0"):
        screen.require_screen()


@linux
def test_every_library_of_the_window_plugin_is_in_a_package_that_is_named():
    """What the plug-in is linked with, by ldd; the base libraries are those painting needs too."""
    from PyQt6 import QtCore

    from cliptag.paint._qt import DEBIAN_PACKAGES

    folder = Path(QtCore.__file__).parent / "Qt6" / "plugins" / "platforms"
    plugin = folder / "libqxcb.so"
    if not plugin.exists():
        pytest.skip("a PyQt6 without plug-ins of its own")
    named = set(f"{screen.X11_PACKAGES} {DEBIAN_PACKAGES}".split())
    for line in subprocess.run(["ldd", plugin], capture_output=True, text=True).stdout.splitlines():
        library = line.split()[0]
        if library.startswith(("libxcb-", "libxkb")) and ".so" in library:
            stem, _, version = library.partition(".so.")
            ends = {f"{stem}{version.split('.')[0]}", f"{stem}-{version.split('.')[0]}"}
            depended_on = {"libxcb-render0", "libxcb-shm0", "libxcb-util1", "libxcb1"}
            assert ends & (named | depended_on), library


@pytest.mark.skipif(sys.platform == "win32", reason="signals")
@pytest.mark.parametrize("which", [signal.SIGTERM, signal.SIGINT])
def test_the_end_of_the_session_closes_it_in_good_order(tmp_path: Path, which: signal.Signals):
    clip = small_clip(tmp_path)
    state = tmp_path / "state"
    desk = start(clip, QT_QPA_PLATFORM="offscreen", XDG_STATE_HOME=str(state))
    records = state / "cliptag" / "open"
    deadline = time.monotonic() + 60
    while not list(records.glob("*.open.json")) and time.monotonic() < deadline:
        time.sleep(0.05)
    time.sleep(0.3)
    desk.send_signal(which)
    _, told = desk.communicate(timeout=60)
    assert desk.returncode == 0, told
    assert "Traceback" not in told
    assert list(records.glob("*.open.json")) == []


def test_help_and_a_mistyped_verb_do_not_wait_for_the_window():
    code = (
        "import sys; from cliptag import cli\n"
        "try: cli.main(['--help'])\n"
        "except SystemExit: pass\n"
        "assert not any(name.startswith('PyQt6') for name in sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, timeout=60)


def test_the_window_loads_no_scipy_so_that_it_opens_a_second_sooner():
    ask = "import cliptag.desk.window, sys; print(*{'scipy', 'onnxruntime'} & set(sys.modules))"
    done = subprocess.run(
        [sys.executable, "-c", ask], capture_output=True, text=True, timeout=120, check=True
    )
    assert done.stdout.split() == []
