"""How fast frames are found: against bare PyAV, in one run, so that the machine's mood cancels out.

    python tests/bench/bench_seek.py [--quick]

Prints a table; every figure is a ratio or stands beside its target. Makes its clips by itself.
"""

from __future__ import annotations

import argparse
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import av
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from support.media import ffmpeg

_FILM = "testsrc2=s={size}:r=30:d={seconds},noise=alls=6:allf=t"


def make_film(path: Path, size: str, seconds: float, *coding: str) -> Path:
    ffmpeg(
        *("-f", "lavfi", "-i", _FILM.format(size=size, seconds=seconds)),
        *("-pix_fmt", "yuv420p", *coding, "-colorspace", "bt709", "-color_range", "tv", path),
    )
    return path


def repeated(path: Path, source: Path, times: int) -> Path:
    ffmpeg("-stream_loop", times - 1, "-i", source, "-c", "copy", path)
    return path


class BarePyAV:
    """A careful user of PyAV: seek by time, decode on to the frame with the right timestamp."""

    def __init__(self, path: Path) -> None:
        self._container = av.open(str(path))
        self._stream = self._container.streams.video[0]
        self._stream.thread_type = "AUTO"

    def rgb(self, pts: int) -> np.ndarray:
        self._container.seek(pts, stream=self._stream, backward=True)
        for frame in self._container.decode(self._stream):
            if frame.pts is not None and frame.pts >= pts:
                return frame.to_ndarray(format="rgb24")
        raise AssertionError(f"no frame at {pts}")

    def close(self) -> None:
        self._container.close()


def random_seek(path: Path, count: int) -> tuple[float, float]:
    """Median milliseconds of a random exact frame in RGB: ours, bare PyAV's; interleaved."""
    from cliptag.clip import open_clip

    bare = BarePyAV(path)
    dice = random.Random(11)
    ours, theirs = [], []
    with open_clip(path) as clip:
        ticks = clip._index.frame_ticks
        for _ in range(count):
            index = dice.randrange(len(clip))
            rounds: list[tuple[list[float], Callable[[], np.ndarray]]] = [
                (ours, lambda index=index: clip.frame(index).rgb),
                (theirs, lambda index=index: bare.rgb(int(ticks[index]))),
            ]
            dice.shuffle(rounds)
            pictures = []
            for times, look in rounds:
                best = float("inf")
                for _ in range(2):  # the better of two, as others use the machine
                    clip._reader.cache.clear()  # so that it has to be found anew
                    start = time.perf_counter()
                    picture = look()
                    best = min(best, time.perf_counter() - start)
                pictures.append(picture)
                times.append(best * 1e3)
            # Both found the same frame; PyAV may take another matrix for an untagged one.
            assert np.abs(pictures[0].astype(int) - pictures[1]).mean() < 2
    bare.close()
    return statistics.median(ours), statistics.median(theirs)


def cached_steps(path: Path, count: int) -> list[float]:
    """Milliseconds of steps back and forth among frames in the cache, RGB included."""
    from cliptag.clip import open_clip

    times = []
    with open_clip(path) as clip:
        for index in range(40):
            clip.frame(index)
        time.sleep(1)
        place, direction = 20, 1
        for number in range(count):
            if number % 17 == 0:
                direction = -direction
            place = min(38, max(1, place + direction))
            best = float("inf")
            for _ in range(2):  # the better of two, as others use the machine
                start = time.perf_counter()
                clip.frame(place).rgb  # noqa: B018 - the conversion is what is timed
                best = min(best, time.perf_counter() - start)
            times.append(best * 1e3)
    return times


_WATCH = """
import sys, threading, time
from pathlib import Path
import platformdirs, psutil
platformdirs.user_cache_path = lambda *a, **k: Path(sys.argv[3])
import av
from cliptag.clip import open_clip
resident = lambda: psutil.Process().memory_info().rss
before, peak = resident(), [0]
def watch():
    while True:
        peak[0] = max(peak[0], resident())
        time.sleep(0.005)
threading.Thread(target=watch, daemon=True).start()
{work}
print(before, peak[0])
"""
_OURS = """
with open_clip(sys.argv[1], cache_bytes=int(sys.argv[2])) as clip:
    for start in range(0, len(clip), max(1, len(clip) // 12)):
        for index in range(start, min(len(clip), start + 12)):
            clip.frame(index).rgb
    for index in range(min(len(clip) - 1, 60), -1, -1):
        clip.frame(index).rgb
"""
_BARE = """
with av.open(sys.argv[1]) as container:
    container.streams.video[0].thread_type = "AUTO"
    for number, frame in enumerate(container.decode(video=0)):
        picture = frame.to_ndarray(format="rgb24")
        if number == 90:
            break
"""


def grown(work: str, path: Path, cache_bytes: int, cache: Path) -> float:
    """MiB that a process of its own needs at most, beyond what it needs to start."""
    command = [sys.executable, "-c", _WATCH.format(work=work)]
    command += [str(path), str(cache_bytes), str(cache)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    before, peak = map(int, done.stdout.split())
    return (peak - before) / 2**20


def open_times(path: Path) -> tuple[float, float]:
    """Seconds to open a clip and see its first frame: the first time, and again."""
    from cliptag.clip import open_clip

    times = []
    for _ in range(2):
        start = time.perf_counter()
        with open_clip(path) as clip:
            clip.frame(0).rgb  # noqa: B018 - the conversion is what is timed
            times.append(time.perf_counter() - start)
    return times[0], times[1]


def row(what: str, value: str, target: str, is_met: bool) -> None:
    print(f"{what:58} {value:>24}   {target:22} {'met' if is_met else 'MISSED'}", flush=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer rounds, shorter clips")
    quick = parser.parse_args().quick
    rounds = 20 if quick else 60
    with tempfile.TemporaryDirectory(prefix="bench-seek-") as name:
        folder = Path(name)
        import platformdirs

        platformdirs.user_cache_path = lambda *_, **__: folder / "cache"  # type: ignore[assignment]
        x264 = ("-c:v", "libx264", "-preset", "veryfast", "-b:v", "12M")
        x265 = (
            "-c:v",
            "libx265",
            "-preset",
            "ultrafast",
            "-x265-params",
            "log-level=none:keyint=30",
        )
        phone = make_film(folder / "phone.mp4", "1920x1080", 10, *x264, "-g", "30", "-bf", "2")
        clips = {
            "H.264 1080p, a keyframe a second": phone,
            "H.264 1080p, a keyframe each 250 frames": make_film(
                folder / "long.mp4", "1920x1080", 10, *x264, "-g", "250", "-bf", "3"
            ),
            "HEVC 1080p, a keyframe a second": make_film(
                folder / "hevc.mp4", "1920x1080", 6, *x265, "-b:v", "8M"
            ),
        }
        for what, path in clips.items():
            ours, theirs = random_seek(path, rounds if path is phone else rounds // 2)
            value = f"{ours:.0f} / {theirs:.0f} ms = {ours / theirs:.2f}"
            row(f"random exact seek, {what}", value, "<= 1.10 x bare PyAV", ours / theirs <= 1.1)
        turned = folder / "turned.mp4"
        ffmpeg("-display_rotation", "90", "-i", phone, "-c", "copy", turned)
        for what, path in {"upright": phone, "turned": turned}.items():
            times = cached_steps(path, 200)
            p95 = float(np.percentile(times, 95))
            value = f"p95 {p95:.1f}, median {statistics.median(times):.1f} ms"
            row(f"step within the cache, 1080p {what}, with RGB", value, "p95 < 5 ms", p95 < 5)
        long = repeated(folder / "ten-minutes.mp4", phone, 60)
        first, second = open_times(long)
        size = f"{long.stat().st_size / 2**20:.0f} MiB"
        row(
            f"open 10 minutes of 1080p ({size}), first frame",
            f"{first:.2f} s",
            "about 1 s",
            first < 1.3,
        )
        row("the same again, from the kept index", f"{second:.2f} s", "less", second < first)
        hour_film = make_film(folder / "minute.mp4", "320x180", 60, *x264[:4], "-g", "60")
        hour = repeated(folder / "hour.mp4", hour_film, 10 if quick else 60)
        cap = 64 * 2**20
        for what, path in {
            "an hour of 320x180, cache of 64 MiB": hour,
            "4K, one group of 90 frames, cache of 64 MiB": make_film(
                folder / "uhd.mp4", "3840x2160", 1 if quick else 3, *x264, "-g", "999"
            ),
        }.items():
            ours = grown(_OURS, path, cap, folder / "cache")
            bare = grown(_BARE, path, cap, folder / "cache")
            # Beside the cache: the decoder, the index, and RGB pictures that come and go.
            target = 64 + 2 * bare
            value = f"{ours:.0f} MiB, bare {bare:.0f}"
            row(f"memory, {what}", value, f"<= 64 + 2 x {bare:.0f} MiB", ours <= target)


if __name__ == "__main__":
    main()
