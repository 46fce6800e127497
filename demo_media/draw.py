"""Draws the demo clips and their truth files.

    python demo_media/draw.py                      all of them, beside this script
    python demo_media/draw.py lift_week01 --out /tmp/x

The pictures are the same on every run of one machine; the files also depend on the encoder.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).resolve().parent))

from drawing.clips import Clip, all_clips
from drawing.encode import turn_by_matrix, write_photo, write_video
from drawing.sound import soundtrack
from drawing.truth import TruthWriter

_CRF = 24


def frames_of(
    clip: Clip, writer: TruthWriter | None = None
) -> Iterator[tuple[int, NDArray[np.uint8]]]:
    """Each frame's time (microseconds) and RGB picture; ``writer`` takes down the truth."""
    for index, us in enumerate(clip.times):
        t = us / 1e6
        body = clip.body(t)
        stack = clip.stage.stack(body, clip.held(t))
        if writer is not None:
            writer.add(t, body, stack)
        yield us, clip.stage.frame(stack, t, clip.name, index)


def draw(name: str, out: Path) -> str:
    """Draw one clip and its truth into ``out``; returns the media file's name."""
    clip = all_clips()[name]
    file_name = f"{name}.jpg" if clip.is_photo else f"{name}.mp4"
    writer = TruthWriter(clip, file_name)
    target = out / file_name
    if clip.is_photo:
        ((_, picture),) = frames_of(clip, writer)
        write_photo(target, picture)
    else:
        _write_clip(clip, target, writer)
    text = json.dumps(writer.document(), separators=(",", ":"))
    (out / f"{name}.truth.json").write_text(text + "\n", encoding="utf-8")
    return file_name


def _write_clip(clip: Clip, target: Path, writer: TruthWriter) -> None:
    seconds = (clip.times[-1] + 33_333) / 1e6
    sound = soundtrack(seconds, [(s.name, s.at) for s in clip.sounds], clip.name)
    size = (clip.stage.camera.width, clip.stage.camera.height)
    frames = frames_of(clip, writer)
    if not clip.name.endswith("_rotated"):
        write_video(target, frames, size, sound, _CRF)
        return
    with tempfile.TemporaryDirectory() as folder:
        lying = Path(folder) / "lying.mp4"
        turned = ((us, np.rot90(picture, 1)) for us, picture in frames)
        write_video(lying, turned, size[::-1], sound, _CRF)
        turn_by_matrix(lying, target)


def main() -> None:
    parser = argparse.ArgumentParser(description="Draw the demo clips and their truth files.")
    parser.add_argument("names", nargs="*", help="clips to draw (all of them without any)")
    parser.add_argument("--out", type=Path, default=Path(__file__).resolve().parent)
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    chosen = parser.parse_args()
    known = list(all_clips())
    unknown = sorted(set(chosen.names) - set(known))
    if unknown:
        parser.error(f"there is no clip {unknown[0]!r}; choose from {', '.join(known)}")
    chosen.out.mkdir(parents=True, exist_ok=True)
    names = chosen.names or sorted(known, key=lambda n: -len(all_clips()[n].times))
    with ProcessPoolExecutor(max_workers=chosen.jobs) as pool:
        for written in pool.map(draw, names, [chosen.out] * len(names)):
            print(written, flush=True)


if __name__ == "__main__":
    main()
