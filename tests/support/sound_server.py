"""A PulseAudio server of the test's own, whose microphone hears what is played to a null device."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

MICROPHONE = "TestMicrophone"
_SINK = "take"


@contextmanager
def sound_server() -> Iterator[dict[str, str]]:
    """Gives the environment of programs that are to use it; skips where there is no PulseAudio."""
    for program in ("pulseaudio", "paplay", "pactl"):
        if shutil.which(program) is None:
            pytest.skip(f"{program} is not installed (sh .ci/setup_tests.sh installs it)")
    # The path of a socket may be 107 bytes long at most, which pytest's own folders may exceed.
    with tempfile.TemporaryDirectory(prefix="pa-") as folder:
        socket = Path(folder) / "native"
        environment = {
            **os.environ,
            "XDG_RUNTIME_DIR": folder,
            "PULSE_RUNTIME_PATH": folder,
            "PULSE_SERVER": f"unix:{socket}",
            "HOME": folder,
        }
        command = ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1"]
        command += ["--use-pid-file=no", "--disallow-exit"]
        for module in (
            f"module-native-protocol-unix socket={socket} auth-anonymous=1",
            f"module-null-sink sink_name={_SINK} rate=48000",
            # Qt leaves out monitors; a remapped one is a source like any other.
            f"module-remap-source master={_SINK}.monitor source_name=mic "
            f"source_properties=device.description={MICROPHONE}",
        ):
            command += ["-L", module]
        server = subprocess.Popen(
            command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        try:
            _wait(environment)
            yield environment
        finally:
            server.terminate()
            server.wait(10)


def play(environment: dict[str, str], sound: Path) -> subprocess.Popen[bytes]:
    """Play a WAV file where the microphone hears it."""
    return subprocess.Popen(["paplay", f"--device={_SINK}", str(sound)], env=environment)


def _wait(environment: dict[str, str]) -> None:
    for _ in range(100):
        done = subprocess.run(
            ["pactl", "list", "short", "sources"], env=environment, capture_output=True, check=False
        )
        if b"mic" in done.stdout:
            return
        time.sleep(0.1)
    pytest.skip("PulseAudio is installed but its server doesn't start here")
