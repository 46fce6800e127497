"""How well and how fast points are followed: accuracy against the truth, speed against bare calls.

    python tests/bench/bench_tracking.py [--quick]

Every dot of a demo clip is placed on one frame with an error of 1 px (standard deviation along
each axis), followed both ways through the whole clip, and compared with what was drawn. Then the
same in poor pictures made of one clip by ffmpeg. Speed: ten points against bare decoding plus bare
Lucas-Kanade there and back on the whole pictures, with the same window and levels, in turns.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import av
import cv2
import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from support import degraded
from support.films import PartOfClip
from support.tracking_scores import Score, placed, pooled, score
from support.trajectories import camera_of_truth
from support.truth import VIDEOS, Truth, read_truth

from cliptag.clip import open_clip
from cliptag.measure.movement import measure_movement
from cliptag.measure.tracking import Placement, Tracks, track
from cliptag.measure.tracking.flow import FLOW_LEVELS, FLOW_SIDE, FLOW_STOP

POOR_FRAMES = 150
POINTS = ("ear", "c7", "shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
SOFT = {"grip", "settled"}
"""Moments without a sharp instant: see docs/curves.md."""
LEFT_OVER_S = 0.7
"""A moment so near to the end of a clip that was cut short can't be found."""
SUMMARY = (
    f"{'':26}{'points':>9}{'stated':>9}{'surest':>9}{'least':>10}{'angles':>9}{'truths in':>12}"
    f"{'moments':>12}{'within':>10}{'points':>9}\n"
    f"{'':26}{'rms px':>9}{'sd px':>9}{'quarter':>9}{'sure':>10}{'rms °':>9}{'value ± 2sd':>12}"
    f"{'rms frames':>12}{'2 frames':>10}{'known':>9}"
)
HEAD = (
    f"{'':46}{'rms px':>7}{'dist.':>7}{'worst':>8}{'angle °':>8}{'in ± 2 sd':>10}{'angles':>8}"
    f"{'mean sd':>8}{'found':>7}{'told':>6}"
)


def row(what: str, s: Score, told: str = "") -> None:
    print(
        f"{what:46}{s.rms_px:7.2f}{s.distance_rms_px:7.2f}{np.abs(s.errors).max():8.1f}"
        f"{s.angle_rms_deg:8.2f}{s.coverage:10.1%}{s.angle_coverage:8.1%}{s.sds.mean():8.2f}"
        f"{s.found:7.1%}{told:>6}",
        flush=True,
    )


def with_load(truth: Truth, frame: int, rng: np.random.Generator, noise_px: float) -> dict:
    """Every dot, and the middle of the load, which a lift's moments are read from."""
    keys = placed(truth, frame, rng, noise_px)
    if "load" in truth.data["points"] and truth.seen("load")[frame]:
        z = truth.point("load")[frame]
        x, y = np.array([z.real, z.imag]) + noise_px * rng.normal(size=2)
        keys["load"] = [Placement(frame, x, y, noise_px)]
    return keys


def dots(tracks: Tracks) -> Tracks:
    """Without the load, whose middle is no dot."""
    return replace(tracks, points={n: p for n, p in tracks.points.items() if n != "load"})


def moment_errors(truth: Truth, tracks: Tracks) -> np.ndarray:
    """Errors in frames of all sharp moments of a followed movement; one that isn't found is NaN."""
    trajectories = tracks.trajectories(camera_of_truth(truth, None), truth.data["facing"])
    report = measure_movement(trajectories, truth.data["movement"])
    found = {(p.name, p.repetition): p.at_us for p in report.proposals}
    frame_us = float(np.median(np.diff(truth.times_us)))
    until_us = tracks.times_us[-1]
    if len(tracks.times_us) < len(truth.times_us):
        until_us -= 1e6 * LEFT_OVER_S
    return np.array(
        [
            (found.get((m["name"], m["repetition"]), np.nan) - m["time_us"]) / frame_us
            for m in truth.data["moments"]
            if m["name"] not in SOFT and m["time_us"] < until_us
        ]
    )


def summary_row(what: str, s: Score, moments: np.ndarray) -> str:
    hits = float((np.abs(moments) <= 2.0).mean())
    known = moments[np.isfinite(moments)]
    rms = f"{np.sqrt((known**2).mean()):.2f}" if len(known) else "none"
    low, high = (rms_where(s, part) for part in (np.less_equal, np.greater_equal))
    return (
        f"{what:26}{s.rms_px:9.2f}{s.sds.mean():9.2f}{low:9.2f}{high:10.2f}{s.angle_rms_deg:9.2f}"
        f"{s.coverage:12.1%}{rms:>12}{hits:10.0%}{s.found:9.1%}"
    )


def rms_where(s: Score, compare: np.ufunc) -> float:
    """Rms of the errors of the quarter of the points whose stated sd is least, or greatest."""
    limit = np.quantile(s.sds, 0.25 if compare is np.less_equal else 0.75)
    return float(np.sqrt((s.errors[compare(s.sds, limit)] ** 2).mean()))


def as_they_are(
    names: list[str], seeds: int, noise_px: float, moments: list[np.ndarray] | None = None
) -> Score:
    """A row for each clip; placed on other frames with each seed."""
    every = []
    for number, name in enumerate(names):
        truth = read_truth(name)
        mine = []
        with open_clip(truth.path) as clip:
            for seed in range(seeds):
                rng = np.random.default_rng(100 * number + seed)
                frame = round(seed / max(1, seeds - 1) * (len(clip) - 1))
                tracks = track(clip, with_load(truth, frame, rng, noise_px))
                mine.append(score(truth, dots(tracks)))
                if moments is not None:
                    moments.append(moment_errors(truth, tracks))
        row(name, pooled(mine))
        every += mine
    total = pooled(every)
    row("all", total)
    return total


def poor(folder: Path, names: list[str]) -> list[str]:
    """A row for each kind; gives the rows of the summary."""
    rows = []
    for kind in degraded.KINDS:
        scores, covered, told = [], 0, 0
        moments = []
        for number, name in enumerate(names):
            drawn = read_truth(name)
            path = degraded.make(folder, drawn, kind, POOR_FRAMES)
            truth = degraded.shifted(drawn, kind)
            with open_clip(path) as clip:
                count = len(clip)
                tracks = track(clip, with_load(truth, 0, np.random.default_rng(number), 1.0))
            hidden = None
            if degraded.KINDS[kind].has_bar:
                hidden = degraded.behind_bar(truth, count, margin_px=20)
                inside = degraded.behind_bar(truth, count, margin_px=-4)
                for point, places in dots(tracks).points.items():
                    covered += int(inside[point].sum())
                    told += int((inside[point] & np.isnan(places[:, 0])).sum())
            scores.append(score(truth, dots(tracks), hidden))
            moments.append(moment_errors(truth, tracks))
        row(kind, pooled(scores), f"{told / covered:.0%}" if covered else "")
        if kind != "as it is":
            rows.append(summary_row(kind, pooled(scores), np.hstack(moments)))
    return rows


def bare(path: Path, points: np.ndarray, count: int) -> None:
    """Decode, and flow there and back, as short as it can be written."""
    how = {"winSize": (FLOW_SIDE, FLOW_SIDE), "maxLevel": FLOW_LEVELS, "criteria": FLOW_STOP}
    with av.open(str(path)) as container:
        container.streams.video[0].thread_type = "AUTO"
        before = None
        for number, frame in enumerate(container.decode(video=0)):
            if number == count:
                break
            plane = frame.planes[0]
            grey = np.frombuffer(plane, np.uint8).reshape(-1, plane.line_size)
            grey = grey[: frame.height, : frame.width]
            if before is not None:
                new, _, _ = cv2.calcOpticalFlowPyrLK(before, grey, points, None, **how)
                cv2.calcOpticalFlowPyrLK(grey, before, new, None, **how)
                points = new
            before = grey


def ours(truth: Truth, count: int) -> Callable[[], None]:
    rng = np.random.default_rng(0)
    keys = {name: key for name, key in placed(truth, 0, rng).items() if name in POINTS}

    def run() -> None:
        with open_clip(truth.path) as clip:
            track(PartOfClip(clip, count), keys)

    return run


def speed(truth: Truth, count: int, rounds: int) -> None:
    z = np.array([truth.point(name)[0] for name in POINTS])
    points = np.c_[z.real, z.imag].astype(np.float32)
    runs = {"bare": lambda: bare(truth.path, points, count), "ours": ours(truth, count)}
    best = dict.fromkeys(runs, float("inf"))
    for _ in range(rounds):
        for name, run in runs.items():
            start = time.perf_counter()
            run()
            best[name] = min(best[name], time.perf_counter() - start)
    per_frame = {name: 1e3 * seconds / count for name, seconds in best.items()}
    ratio = best["bare"] / best["ours"]
    print(
        f"\nten points, 1080p, {count} frames: {per_frame['ours']:.1f} ms a frame; bare decoding "
        f"and flow {per_frame['bare']:.1f} ms; {ratio:.2f} x of its speed   "
        f">= 0.80 {'met' if ratio >= 0.8 else 'MISSED'}",
        flush=True,
    )


def verdict(what: str, value: float, low: float, high: float) -> None:
    is_met = low <= value <= high
    print(f"{what}: {value:.3f}, wanted {low} to {high}   {'met' if is_met else 'MISSED'}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer clips and rounds")
    quick = parser.parse_args().quick
    names = ["lift_week01", "bend_week01"] if quick else VIDEOS
    print("placed exactly\n" + HEAD)
    as_they_are(names, 1, 0.0)
    print("\nplaced with 1 px\n" + HEAD)
    moments: list[np.ndarray] = []
    total = as_they_are(names, 2 if quick else 3, 1.0, moments)
    print(f"\npoor pictures, placed with 1 px, first {POOR_FRAMES} frames\n" + HEAD)
    with tempfile.TemporaryDirectory(prefix="bench-tracking-") as folder:
        rows = poor(Path(folder), ["bend_week01"] if quick else ["bend_week01", "lift_week10"])
    together = np.hstack(moments)
    print(f"\naccuracy against what was drawn, points placed with 1 px\n{SUMMARY}")
    print("\n".join([summary_row(f"all {len(names)} clips", total, together), *rows]))
    print(
        "surest quarter, least sure: rms px of the points that were stated so. Hidden points are\n"
        "not known, and no moment is read from what is not known for long.\n"
    )
    verdict("rms of points, px", total.rms_px, 0.0, 1.5)
    verdict("rms of angles, degrees", total.angle_rms_deg, 0.0, 1.0)
    verdict("truths within 2 sd", total.coverage, 0.90, 0.99)
    verdict("moments within 2 frames", float((np.abs(together) <= 2.0).mean()), 0.95, 1.0)
    speed(read_truth("lift_week01"), 150, 3 if quick else 7)


if __name__ == "__main__":
    main()
