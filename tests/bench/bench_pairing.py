"""How long the video of a pairing takes, next to ffmpeg that stacks and burns in the same.

    python tests/bench/bench_pairing.py -n 5

Two 12 s clips, 1080p30, side by side on one sheet with captions throughout, against the same ffmpeg
binary with its ``scale``, ``hstack`` and ``subtitles`` filters: the same sizes, words, times and
encoder settings. The runs take turns; the best of each counts. Upright clips, one above the other
(``vstack``), come after.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from bench_export import (
    LINES,
    SETTINGS,
    STYLE,
    Cost,
    as_srt,
    best,
    megabytes,
    natural_clip,
    now,
    since,
    timed,
)
from support.media import ffmpeg
from support.reviews import clip_ref, note

from cliptag.clip import open_clip
from cliptag.export.cues import Cue
from cliptag.export.ffmpeg import ffmpeg_binary
from cliptag.export.timeline import build_timeline
from cliptag.export.video import export_video
from cliptag.opening import review_path_of, start_review
from cliptag.pairing import Comparison, Layout, Pairing, compare_reviews
from cliptag.review import Review, save_review

SECONDS = 12
SHAPES: dict[Layout, tuple[int, int]] = {"side": (1920, 1080), "above": (1080, 1920)}
STACKED: dict[Layout, str] = {"side": "hstack", "above": "vstack"}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("-n", "--runs", type=int, default=3)
    parser.add_argument("--one", nargs=4, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        first, second, layout, out = options.one
        with compare_reviews(Pairing(reviews=(first, second), layout=layout)) as comparison:
            start = now()
            export_one(comparison, Path(out))
            print(*since(start))
        return
    print(f"Two clips of {SECONDS} s, 1080p30, on one sheet, best of {options.runs}:")
    print("                                 wall       CPU  ratio of each (goal: 1.10 wall)")
    with tempfile.TemporaryDirectory() as name:
        for layout in SHAPES:
            measure(Path(name), layout, options.runs)


def measure(folder: Path, layout: Layout, runs: int) -> None:
    reviews = [reviewed(folder, layout, which) for which in (0, 1)]
    subtitles = folder / "captions.srt"
    subtitles.write_text(as_srt(SECONDS), encoding="utf-8")
    with compare_reviews(Pairing(reviews=tuple(map(str, reviews)), layout=layout)) as comparison:
        command = stacked_command(comparison, subtitles, folder / "theirs.mp4")
    own = [sys.executable, __file__, "--one", *map(str, reviews), layout, str(folder / "ours.mp4")]
    theirs, ours = [], []
    for _ in range(runs):
        theirs.append(timed(command)[0])
        ours.append(Cost(*map(float, timed(own)[1].split())))
    base = best(theirs)
    for name, cost in ((f"ffmpeg, {STACKED[layout]}", base), (f"cliptag, {layout}", best(ours))):
        ratios = f"{cost.wall / base.wall:6.3f}  {cost.cpu / base.cpu:6.3f}"
        print(f"  {name:28s}  {cost.wall:6.2f} s  {cost.cpu:6.2f} s  {ratios}", flush=True)
    print(f"  files: {megabytes(folder / 'theirs.mp4')} and {megabytes(folder / 'ours.mp4')}")
    pairs = "  ".join(f"{a.wall:.2f}/{b.wall:.2f}" for a, b in zip(theirs, ours, strict=True))
    print(f"  wall, run by run: {pairs}")


def reviewed(folder: Path, layout: Layout, which: int) -> Path:
    """A clip of street scenes, the second one mirrored, and its empty review."""
    plain = natural_clip(folder / f"{layout}.mp4", SHAPES[layout], SECONDS)
    path = folder / f"{layout}{which}.mp4"
    turn = "hflip" if which else "null"
    ffmpeg("-i", plain, "-vf", turn, "-c:v", "libx264", "-crf", "18", "-preset", "ultrafast", path)
    with open_clip(path) as clip:
        return save_review(start_review(clip), review_path_of(path))


def export_one(comparison: Comparison, out: Path) -> None:
    """The pair's pictures with three captions that don't stop it, as ``bench_export`` has them."""
    pair = comparison.pair
    step = pair.duration_us // len(LINES)
    notes = tuple(
        note(n, start_us=n * step, end_us=(n + 1) * step, hold_us=0) for n in range(len(LINES))
    )
    shape = {"width": pair.info.width, "height": pair.info.height}
    review = Review(clip=clip_ref(duration_us=pair.duration_us, **shape), notes=notes)
    timeline = build_timeline(review, pair.times_us, pair.duration_us, {}, title_card=False)
    cues = [
        Cue(w.start_us, w.end_us, lines, w.note_id, "knees", "try", "bottom", True)
        for w, lines in zip(timeline.windows, LINES, strict=True)
    ]
    size = pair.info.width, pair.info.height
    export_video(pair, review, timeline, cues, out, size=size, settings=SETTINGS)


def stacked_command(comparison: Comparison, subtitles: Path, out: Path) -> list[str]:
    """The same panels at the same places of a sheet of the same size."""
    sheet = comparison.sheet
    panels = [
        f"[{n}:v]scale={panel.width}:{panel.height}:flags=bicubic,setsar=1,"
        f"pad={'iw+8:ih' if sheet.layout == 'side' and n == 0 else 'iw:ih'}[p{n}]"
        for n, panel in enumerate(sheet.panels)
    ]
    first = sheet.panels[0]
    graph = (
        f"{';'.join(panels)};[p0][p1]{STACKED[sheet.layout]}=inputs=2,"
        f"pad={sheet.width}:{sheet.height}:{first.left}:{first.top},"
        f"subtitles={subtitles}:force_style='{STYLE}'[v]"
    )
    sources = [str(side.clip.path) for side in comparison.sides]
    return [
        ffmpeg_binary(), "-hide_banner", "-v", "error", "-nostdin", "-y",
        "-i", sources[0], "-i", sources[1],
        "-f", "lavfi", "-i", "anullsrc=r=48000:cl=stereo",
        "-filter_complex", graph, "-map", "[v]", "-map", "2:a", "-shortest",
        "-c:v", "libx264", "-preset", SETTINGS.preset, "-crf", str(SETTINGS.crf),
        "-profile:v", "high", "-pix_fmt", "yuv420p", "-g", "60",
        "-c:a", "aac", "-b:a", f"{SETTINGS.sound_kbps}k",
        "-map_metadata", "-1", "-movflags", "+faststart", str(out),
    ]  # fmt: skip


if __name__ == "__main__":
    main()
