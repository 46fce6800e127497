"""An export that fails or is stopped says why in one sentence and leaves nothing behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import textwrap
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import imageio_ffmpeg
import psutil
import pytest
from support.exporting import export
from support.media import X264, make_clip

from cliptag.clip import open_clip
from cliptag.errors import ExportCancelled, ExportError
from cliptag.export.ffmpeg import ffmpeg_binary
from cliptag.export.video import VideoSettings
from cliptag.review import Part

QUICK = VideoSettings(preset="ultrafast", crf=30)
posix_only = pytest.mark.skipif(os.name != "posix", reason="needs shell scripts and signals")


@pytest.fixture(scope="module")
def clip_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Long and noisy enough that it can't have been compressed before it is stopped."""
    noise = ("-vf", "noise=alls=60:allf=t", *X264, "-preset", "ultrafast", "-crf", "24")
    folder = tmp_path_factory.mktemp("clip")
    return make_clip(folder / "clip.mp4", *noise, size=(640, 360), seconds=6, sound=True)


@pytest.fixture
def out(tmp_path: Path) -> Iterator[Path]:
    """Where the video goes; afterwards no process, thread or temporary file may be left."""
    threads = set(threading.enumerate())
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / "commentary.mp4").write_bytes(b"last week's video")
    yield folder / "commentary.mp4"
    assert [child for child in psutil.Process().children(recursive=True) if is_ffmpeg(child)] == []
    assert set(threading.enumerate()) <= threads
    for file in folder.iterdir():
        assert file.name == "commentary.mp4"


def is_ffmpeg(process: psutil.Process) -> bool:
    try:
        return "ffmpeg" in process.name()
    except psutil.NoSuchProcess:
        return False


def at_half(action: Callable[[], None]) -> Callable[[float, float | None], None]:
    """A progress listener that does something once, when about half is done."""
    waiting = [action]

    def listen(done: float, _left: float | None) -> None:
        if done >= 0.4 and waiting:
            waiting.pop()()

    return listen


def script(folder: Path, body: str) -> Path:
    """A program that stands in for ffmpeg; ``$FFMPEG`` is the real one."""
    path = folder / "ffmpeg"
    path.write_text(f"#!/bin/sh\nFFMPEG={imageio_ffmpeg.get_ffmpeg_exe()}\n{body}\n")
    path.chmod(0o755)
    return path


def test_stopping_leaves_the_old_file_and_nothing_else(clip_path, out):
    stop = threading.Event()
    with open_clip(clip_path) as clip, pytest.raises(ExportCancelled, match="stopped"):
        export(clip, out, settings=QUICK, progress=at_half(stop.set), is_cancelled=stop.is_set)
    assert out.read_bytes() == b"last week's video"


def test_stopping_is_heard_while_the_last_pictures_are_compressed(clip_path, out):
    slow = VideoSettings(preset="placebo", crf=1)
    asked = 0

    def is_cancelled() -> bool:
        nonlocal asked
        asked += 1
        return asked > 61  # it is asked once for each picture, then while ffmpeg ends

    with open_clip(clip_path) as clip:
        review = {"part": Part(start_us=0, end_us=int(clip.times_us[60]))}
        with pytest.raises(ExportCancelled):
            export(clip, out, settings=slow, is_cancelled=is_cancelled, review=review)
    assert out.read_bytes() == b"last week's video"


def test_an_interrupt_from_the_keyboard_leaves_nothing(clip_path, out):
    program = f"""
        import sys
        sys.path[:0] = {sys.path!r}
        from pathlib import Path
        from cliptag.clip import open_clip
        from cliptag.export.video import VideoSettings
        from support.exporting import export
        def tell(done, left):
            print(done, flush=True)
        with open_clip({str(clip_path)!r}) as clip:
            export(clip, Path({str(out)!r}), settings=VideoSettings(preset="slower"), progress=tell)
    """
    process = subprocess.Popen(
        [sys.executable, "-c", textwrap.dedent(program)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        assert process.stdout is not None
        for line in process.stdout:
            if float(line) > 0.2:
                break
        process.send_signal(signal.SIGINT)
        said = process.communicate(timeout=20)[1].decode()
    finally:
        process.kill()
    assert process.returncode != 0 and "KeyboardInterrupt" in said, said
    assert out.read_bytes() == b"last week's video"


def test_ffmpeg_killed_half_way_is_told_in_one_sentence(clip_path, out):
    def kill() -> None:
        for child in psutil.Process().children():
            if is_ffmpeg(child):
                child.kill()

    with open_clip(clip_path) as clip, pytest.raises(ExportError) as told:
        export(clip, out, settings=QUICK, progress=at_half(kill))
    assert "encoder stopped before it was done" in str(told.value)
    assert "\n" not in str(told.value)
    assert out.read_bytes() == b"last week's video"


@posix_only
def test_a_full_disk_is_told_as_such(clip_path, tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=300k", "tmpfs", str(disk)]
    try:
        mounted = subprocess.run(mount, capture_output=True, check=False).returncode == 0
    except OSError:
        mounted = False
    if not mounted:
        pytest.skip("a small disk can't be mounted here")
    try:
        old = disk / "commentary.mp4"
        old.write_bytes(b"last week's video")
        with open_clip(clip_path) as clip, pytest.raises(ExportError) as told:
            export(clip, old, settings=QUICK)
        assert str(told.value).startswith("The disk is full: free some space")
        assert [file.name for file in disk.iterdir()] == ["commentary.mp4"]
        assert old.read_bytes() == b"last week's video"
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@posix_only
def test_a_file_that_may_not_grow_is_told_with_ffmpegs_words(clip_path, out, tmp_path, monkeypatch):
    limited = script(tmp_path, 'ulimit -f 200; trap "" XFSZ; exec "$FFMPEG" "$@"')
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(limited))
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="ffmpeg says: "):
        export(clip, out, settings=QUICK)
    assert out.read_bytes() == b"last week's video"


@posix_only
def test_an_ffmpeg_that_ends_at_once_is_told_with_its_last_words(
    clip_path, out, tmp_path, monkeypatch
):
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(script(tmp_path, "echo No such luck >&2; exit 3")))
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="says: No such luck"):
        export(clip, out, settings=QUICK)
    assert out.read_bytes() == b"last week's video"


@posix_only
def test_an_ffmpeg_that_writes_nothing_but_says_all_is_well_is_not_believed(
    clip_path, out, tmp_path, monkeypatch
):
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(script(tmp_path, "exec cat > /dev/null")))
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="not a complete video"):
        export(clip, out, settings=QUICK)
    assert out.read_bytes() == b"last week's video"


@posix_only
def test_a_flood_of_warnings_does_not_stop_the_export(clip_path, out, tmp_path, monkeypatch):
    flood = 'yes "a long warning of no weight at all" | head -c 2000000 >&2; exec "$FFMPEG" "$@"'
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(script(tmp_path, flood)))
    with open_clip(clip_path) as clip:
        facts = export(clip, out, settings=QUICK).facts
    assert facts.frame_count == 180


def test_an_ffmpeg_of_ones_own_is_used(tmp_path, monkeypatch):
    own = script(tmp_path, "exit 0")
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(own))
    assert ffmpeg_binary() == str(own)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setenv("CLIPTAG_FFMPEG", "ffmpeg")
    assert ffmpeg_binary() == str(own)
    monkeypatch.setenv("CLIPTAG_FFMPEG", "")
    assert ffmpeg_binary() == imageio_ffmpeg.get_ffmpeg_exe()


@pytest.mark.parametrize("wrong", ["missing/ffmpeg", "text.txt", "."])
def test_an_ffmpeg_that_can_not_be_run_is_refused_in_one_sentence(wrong, tmp_path, monkeypatch):
    (tmp_path / "text.txt").write_text("not a program")
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(tmp_path / wrong))
    with pytest.raises(ExportError, match=r"CLIPTAG_FFMPEG names .*, which can't be run"):
        ffmpeg_binary()


@posix_only
def test_a_program_of_another_machine_is_refused_in_one_sentence(
    clip_path, out, tmp_path, monkeypatch
):
    foreign = tmp_path / "ffmpeg"
    foreign.write_bytes(b"\x7fELF of no kind")
    foreign.chmod(0o755)
    monkeypatch.setenv("CLIPTAG_FFMPEG", str(foreign))
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="can't be started"):
        export(clip, out, settings=QUICK)


def test_a_folder_that_is_not_there_is_told_in_one_sentence(clip_path, tmp_path):
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="can't be written to"):
        export(clip, tmp_path / "nowhere" / "out.mp4", settings=QUICK)
    assert list(tmp_path.iterdir()) == []


def test_a_part_too_short_to_show_a_picture_is_told_in_one_sentence(clip_path, out):
    with open_clip(clip_path) as clip, pytest.raises(ExportError, match="nothing to show"):
        export(clip, out, review={"part": Part(start_us=0, end_us=1)})


def test_progress_rises_to_one_and_tells_the_seconds_left(clip_path, out):
    told: list[tuple[float, float | None]] = []
    slow = VideoSettings(preset="veryfast", crf=20)
    start = time.monotonic()
    with open_clip(clip_path) as clip:
        export(clip, out, settings=slow, progress=lambda done, left: told.append((done, left)))
    took = time.monotonic() - start
    shares = [done for done, _ in told]
    assert shares == sorted(shares) and shares[-1] == 1.0 and all(done > 0 for done in shares)
    guesses = [left for _, left in told if left is not None]
    assert guesses[-1] == 0 and all(0 <= left <= 10 * took for left in guesses)
    assert len(told) <= took / 0.1 + 2  # a window needs no more often than ten times a second


def test_names_in_any_script_and_with_odd_signs_can_be_written(clip_path, tmp_path):
    for name in ("-y.mp4", "http:a?b.mp4", "Übung 両膝 100%d 'a' \"b\".mp4", "pipe:1"):
        with open_clip(clip_path) as clip:
            part = Part(start_us=0, end_us=100_000)
            export(clip, tmp_path / name, settings=QUICK, review={"part": part})
        assert (tmp_path / name).stat().st_size > 1000
