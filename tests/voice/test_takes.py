"""A take is lossless, never written over, and all but its last moment survives a crash."""

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

from cliptag.errors import VoiceError
from cliptag.voice import (
    TAKE_RATE,
    TakeWriter,
    finish_take,
    left_takes,
    new_take,
    path_of_take,
    take_file,
    take_length_us,
    voice_folder,
)


def noise(seconds: float, seed: int = 1) -> np.ndarray:
    dice = np.random.default_rng(seed)
    return dice.integers(-32_768, 32_767, round(seconds * TAKE_RATE), np.int16, endpoint=True)


def decoded(path: Path) -> np.ndarray:
    """What PyAV alone reads of a file."""
    with av.open(str(path)) as container:
        stream = container.streams.audio[0]
        assert (stream.rate, stream.channels, stream.codec_context.name) == (48_000, 1, "flac")
        return np.concatenate([f.to_ndarray().reshape(-1) for f in container.decode(stream)])


def test_a_finished_take_is_flac_and_holds_every_sample(tmp_path):
    writer = TakeWriter(new_take(tmp_path / "ines.voice", "n1"))
    pieces = [noise(0.021, seed) for seed in range(40)]
    for piece in pieces:
        writer.write(piece)
    assert writer.length_us == pytest.approx(40 * 21_000, abs=21)
    writer.close()
    take = finish_take(writer.path)
    assert take == tmp_path / "ines.voice" / "n1-1.flac"
    assert np.array_equal(decoded(take), np.concatenate(pieces))
    assert take_length_us(take) == pytest.approx(840_000, abs=21)
    assert [path.name for path in take.parent.iterdir()] == ["n1-1.flac"]


def test_an_earlier_take_is_never_written_over(tmp_path):
    for number in (1, 2, 3):
        path = new_take(tmp_path, "n1")
        writer = TakeWriter(path)
        writer.write(noise(0.05, number))
        writer.close()
        if number != 2:  # the second one stays unfinished
            finish_take(path)
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["n1-1.flac", "n1-2.recording.wav", "n1-3.flac"]
    assert np.array_equal(decoded(tmp_path / "n1-1.flac"), noise(0.05, 1))


def test_a_take_of_which_nothing_was_heard_leaves_no_file(tmp_path):
    writer = TakeWriter(new_take(tmp_path, "n1"))
    writer.close()
    assert finish_take(writer.path) is None
    assert not list(tmp_path.iterdir())


RECORD = """
import sys, time
import numpy as np
from pathlib import Path
from cliptag.voice import TakeWriter
writer = TakeWriter(Path(sys.argv[1]))
step = 960
started = time.monotonic()
for number in range(10_000):
    writer.write(np.arange(number * step, (number + 1) * step).astype(np.int16))
    print((number + 1) * step, flush=True)
    time.sleep(max(0, started + (number + 1) * 0.02 - time.monotonic()))
"""


def test_kill_9_in_the_middle_loses_a_fraction_of_a_second_at_most(tmp_path):
    path = new_take(tmp_path, "n1")
    process = subprocess.Popen([sys.executable, "-c", RECORD, str(path)], stdout=subprocess.PIPE)
    assert process.stdout is not None
    written = 0
    while written < TAKE_RATE:
        written = int(process.stdout.readline())
    os.kill(process.pid, signal.SIGKILL)
    rest = process.stdout.read().split()
    written = int(rest[-1]) if rest else written
    process.wait(10)
    assert path.exists() and left_takes(tmp_path) == ()  # it might still go on
    os.utime(path, (time.time() - 60,) * 2)
    assert left_takes(tmp_path) == (path,)
    take = finish_take(path)
    assert take is not None
    kept = decoded(take)
    assert len(kept) >= written - 0.1 * TAKE_RATE
    assert np.array_equal(kept, np.arange(len(kept)).astype(np.int16))


@pytest.mark.parametrize("cut", [1, 43, 44, 45, 46, 1001])
def test_a_file_cut_anywhere_gives_what_came_before(tmp_path, cut):
    sound = noise(0.5)
    writer = TakeWriter(new_take(tmp_path, "n1"))
    writer.write(sound)
    writer.close()
    data = writer.path.read_bytes()[:cut]
    writer.path.write_bytes(data)
    take = finish_take(writer.path)
    whole = max(0, cut - 44) // 2
    assert (take is None) == (whole == 0)
    if take is not None:
        assert np.array_equal(decoded(take), sound[:whole])


def test_ffmpeg_itself_reads_a_recording_that_was_never_finished(tmp_path):
    sound = noise(0.5)
    writer = TakeWriter(new_take(tmp_path, "n1"))
    writer.write(sound)
    with av.open(str(writer.path)) as container:
        read = np.concatenate([f.to_ndarray().reshape(-1) for f in container.decode(audio=0)])
    assert np.array_equal(read, sound)
    writer.close()


def test_a_folder_that_cannot_be_written_is_a_sentence(tmp_path):
    (tmp_path / "ines.voice").write_text("a file, not a folder")
    with pytest.raises(VoiceError, match=r"Nothing can be recorded into .*ines\.voice"):
        new_take(tmp_path / "ines.voice", "n1")


def test_a_take_is_named_relative_to_its_review_and_found_from_there(tmp_path):
    review = tmp_path / "ines.review.json"
    folder = voice_folder(review)
    assert folder == tmp_path / "ines.voice"
    take = folder / "n1-1.flac"
    assert path_of_take(take, review) == "ines.voice/n1-1.flac"
    assert take_file("ines.voice/n1-1.flac", tmp_path) == take


@pytest.mark.parametrize("name", ["../../etc/passwd", "a/b", "", "ü" * 200, "con\0"])
def test_no_id_leads_out_of_the_folder(tmp_path, name):
    path = new_take(tmp_path / "v", name)
    assert path.parent == tmp_path / "v" and path.exists()


@pytest.mark.parametrize("content", [None, b"", b"not sound at all"])
def test_a_take_that_is_gone_or_damaged_is_a_sentence(tmp_path, content):
    path = tmp_path / "n1-1.flac"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(VoiceError, match=r"n1-1\.flac (is not there|can't be read)"):
        take_length_us(path)
