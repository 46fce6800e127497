"""Speech through a real sound server is recorded on the desk and lands in the exported video."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import av
import numpy as np
import pytest
from support.desk import note, saved_review
from support.exporting import sound
from support.media import make_clip
from support.sound_server import MICROPHONE, play, sound_server
from support.spoken import place_of, speech, write_wav

from cliptag.clip import open_clip
from cliptag.export import export_take_home, plan_export
from cliptag.review import load_review
from cliptag.voice import finish_take, take_file

RATE = 48_000
SCRIPT = Path(__file__).with_name("speaking_desk.py")


def desk(environment: dict[str, str], review: Path, how: str) -> subprocess.Popen[bytes]:
    """A desk that listens from now on."""
    process = subprocess.Popen(
        [sys.executable, str(SCRIPT), str(review), how],
        env={**environment, "XDG_CONFIG_HOME": environment["HOME"]},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    names = process.stdout.readline().decode()
    if names.split() == ["microphones"]:
        process.kill()
        pytest.skip("Qt finds no microphone on PulseAudio here")
    assert MICROPHONE in names
    assert process.stdout.readline() == b"listening\n", process.communicate(timeout=60)
    return process


def samples_of(path: Path) -> np.ndarray:
    with av.open(str(path)) as container:
        return np.concatenate([f.to_ndarray().reshape(-1) for f in container.decode(audio=0)])


def likeness(a: np.ndarray, b: np.ndarray) -> float:
    a, b = a.astype(float), b.astype(float)
    return float(np.abs((a * b).sum()) / np.sqrt((a**2).sum() * (b**2).sum()))


@pytest.fixture
def review(tmp_path: Path) -> Path:
    clip = make_clip(tmp_path / "ines.mp4", seconds=4)
    return saved_review(clip, note(1, 1_500_000, 2_000_000, text="Push the floor away."))


def test_speech_is_recorded_and_lands_in_the_video_within_20_ms(tmp_path, review):
    words = speech()
    with sound_server() as environment:
        process = desk(environment, review, "stop")
        player = play(environment, write_wav(tmp_path / "words.wav", words))
        _, said = process.communicate(timeout=60)
        player.wait(20)
        assert process.returncode == 0, said.decode()[-2000:]
    spoken = load_review(review).notes[0].voice
    assert spoken is not None
    take = samples_of(take_file(spoken.path, review.parent))
    part = words[RATE // 2 : 2 * RATE]
    in_take_s = place_of(part, take)
    at = round(in_take_s * RATE)
    assert likeness(part, take[at : at + len(part)]) > 0.95  # what was recorded is what was said
    export_take_home(review, tmp_path / "out")
    rate, samples = sound(tmp_path / "out" / "commentary.mp4")
    assert rate == RATE
    with open_clip(review.with_name("ines.mp4")) as clip:
        window = plan_export(load_review(review), clip).timeline.window_of("n1")
    assert window is not None
    in_video_s = place_of(part, samples.mean(axis=1))
    expected_s = window.start_us / 1e6 + in_take_s - spoken.start_us / 1e6
    assert in_video_s == pytest.approx(expected_s, abs=0.020)


def test_kill_9_of_the_desk_while_it_records_loses_a_fraction_of_a_second(tmp_path, review):
    words = speech()
    with sound_server() as environment:
        process = desk(environment, review, "never")
        play(environment, write_wav(tmp_path / "words.wav", words)).wait(20)
        time.sleep(0.5)  # what is still on its way through the server
        os.kill(process.pid, signal.SIGKILL)
        process.communicate(timeout=20)
    (recording,) = (tmp_path / "ines.voice").iterdir()
    take_path = finish_take(recording)
    assert take_path is not None
    take = samples_of(take_path)
    start_s = place_of(words[RATE // 2 : 2 * RATE], take) - 0.5
    last = np.flatnonzero(np.abs(words) > 1000)[-1] / RATE
    assert len(take) / RATE >= start_s + last  # to the last word
