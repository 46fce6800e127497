"""What the coach's voice costs an export, and what it takes to cut a commentary at its pauses.

    python tests/bench/bench_voice.py [-n RUNS]

Time: a 12 s 1080p30 clip with sound and four notes, exported with a voice of 4 s on each, and
without, the holds being the same; the runs take turns, the best of each counts. The sound alone:
seconds of mastering for each minute of video. Memory: the peak of mastering a minute and ten.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.media import X264, ffmpeg
from support.reviews import clip_ref, note
from support.spoken import take_of, voice_in

from cliptag.clip import Clip, open_clip
from cliptag.export.master import Spoken, make_master
from cliptag.export.timeline import Card, Hold, Play, Timeline, build_timeline
from cliptag.export.video import export_video
from cliptag.review import Review, edit
from cliptag.voice import speech_spans, take_length_us

RATE = 48_000
VOICE_S = 4.0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("-n", "--runs", type=int, default=3)
    runs = parser.parse_args().runs
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        clip_path = folder / "clip.mp4"
        picture = "testsrc2=s=1920x1080:r=30:d=12"
        sound = "anoisesrc=color=pink:r=48000:d=12:a=0.1"
        ffmpeg("-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", sound, *X264, clip_path)
        with open_clip(clip_path) as clip:
            bench_export(clip, folder, runs)
        bench_pauses(folder)


def bench_export(clip: Clip, folder: Path, runs: int) -> None:
    review_path = folder / "clip.review.json"
    notes = tuple(
        note(n, start_us=n * 2_500_000, end_us=n * 2_500_000 + 100_000, text="", hold_us=4_300_000)
        for n in range(4)
    )
    review = Review(clip=clip_ref(duration_us=clip.duration_us), notes=notes)
    take = take_of(murmur(VOICE_S), review_path)
    spoken_review = review
    for one in notes:
        voice = voice_in(take, review_path, 0, round(VOICE_S * 1e6))
        spoken_review = edit.with_voice(spoken_review, one.id, voice)
    timeline = build_timeline(review, clip.times_us, clip.duration_us, {}, title_card=False)
    assert timeline == build_timeline(
        spoken_review, clip.times_us, clip.duration_us, {}, title_card=False
    )
    spoken = tuple(Spoken(w.start_us, take, 0, round(VOICE_S * 1e6)) for w in timeline.windows)
    best = {True: float("inf"), False: float("inf")}
    for _ in range(runs):
        for with_voice in (False, True):
            start = time.perf_counter()
            export_video(
                clip,
                review,
                timeline,
                (),
                folder / "out.mp4",
                spoken=spoken if with_voice else (),
            )
            best[with_voice] = min(best[with_voice], time.perf_counter() - start)
    print(
        f"export of {timeline.duration_us / 1e6:.0f} s of 1080p without voice {best[False]:.2f} s,"
    )
    print(f"with voice {best[True]:.2f} s: {best[True] / best[False]:.3f} times as long")
    for minutes in (1, 10):
        seconds, peak = mastering(clip, take, minutes)
        print(
            f"mastering {minutes} min of sound: {seconds:.2f} s "
            f"({minutes * 60 / seconds:.0f} times real time), peak {peak / 2**20:.0f} MiB"
        )


def mastering(clip: Clip, take: Path, minutes: int) -> tuple[float, float]:
    """Seconds, and bytes of Python's own memory, for a video of cards, plays and spoken holds."""
    spans: list[Card | Play | Hold] = []
    clock_us = 0
    while clock_us < minutes * 60_000_000:
        spans.append(Play(clock_us, 0, 10_000_000))
        spans.append(Hold(clock_us + 10_000_000, clock_us + 15_000_000, 10_000_000, "n"))
        clock_us += 15_000_000
    holds = [span for span in spans if isinstance(span, Hold)]
    spoken = tuple(Spoken(h.out_start_us, take, 0, round(VOICE_S * 1e6)) for h in holds)
    timeline = Timeline(tuple(spans), ())
    start = time.perf_counter()
    make_master(timeline, clip.sound(), spoken).close()
    seconds = time.perf_counter() - start
    tracemalloc.start()
    make_master(timeline, clip.sound(), spoken).close()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return seconds, peak


def bench_pauses(folder: Path) -> None:
    take = take_of(murmur(60.0), folder / "long.review.json", "commentary")
    start = time.perf_counter()
    speech_spans(take, take_length_us(take))
    seconds = time.perf_counter() - start
    print(f"pauses of a take of 60 s: {seconds:.2f} s ({60 / seconds:.0f} times real time)")


def murmur(seconds: float) -> np.ndarray:
    """(n,) something as uneven as speech."""
    dice = np.random.default_rng(2)
    count = round(seconds * RATE)
    slow = np.repeat(dice.uniform(0, 1, count // 4800 + 1), 4800)[:count]
    return (dice.normal(0, 4_000, count) * slow).clip(-32_768, 32_767).astype(np.int16)


if __name__ == "__main__":
    main()
