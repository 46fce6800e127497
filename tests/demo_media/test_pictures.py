"""The pictures show what the truth says, and are drawn the same every time."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from collections.abc import Iterator

import av
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageOps
from support.truth import FOLDER, VIDEOS, Truth, read_truth

Picture = NDArray[np.uint8]

_DOT_RADIUS_CM = 1.0
_EAR_DOT_RADIUS_CM = 0.75


def _sampled(truth: Truth, count: int) -> Iterator[tuple[int, Picture]]:
    """``count`` frames spread over the clip, as displayed."""
    if truth.path.suffix == ".jpg":
        with Image.open(truth.path) as photo:
            yield 0, np.asarray(ImageOps.exif_transpose(photo).convert("RGB"))
        return
    wanted = set(np.linspace(0, len(truth.times_us) - 1, count).round().astype(int).tolist())
    with av.open(str(truth.path)) as container:
        container.streams.video[0].thread_type = "AUTO"
        for i, frame in enumerate(container.decode(video=0)):
            if i in wanted:
                # PyAV gives the turn that sets it upright, counter-clockwise.
                yield i, np.rot90(frame.to_ndarray(format="rgb24"), frame.rotation // 90)


def _centre_of_tape(picture: Picture, at: complex, radius: float) -> complex | None:
    """Centroid (pixels) of the yellow-green near ``at``; None where there is none."""
    reach = int(radius) + 5
    x0, y0 = int(at.real) - reach, int(at.imag) - reach
    part = picture[max(0, y0) : y0 + 2 * reach + 1, max(0, x0) : x0 + 2 * reach + 1].astype(float)
    tape = np.clip((np.minimum(part[..., 0], part[..., 1]) - part[..., 2] - 70) / 50, 0, 1)
    y, x = np.mgrid[0 : part.shape[0], 0 : part.shape[1]] + 0.5
    tape *= np.hypot(x + x0 - at.real, y + y0 - at.imag) < radius + 4
    if tape.sum() < 0.3 * np.pi * radius**2:
        return None
    centre = complex((x * tape).sum(), (y * tape).sum()) / tape.sum()
    return complex(centre + complex(max(0, x0), max(0, y0)))


def _share_of_tape(picture: Picture, at: complex, radius: float) -> float:
    """How much of the disc round ``at`` is yellow-green."""
    y, x = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    disc = picture[np.hypot(x + 0.5 - at.real, y + 0.5 - at.imag) < radius].astype(int)
    return float((disc[:, :2].min(axis=1) - disc[:, 2] > 60).mean())


def test_tape_dots_are_where_the_truth_says(truth: Truth) -> None:
    scale = truth.data["px_per_cm"]
    misses, lost, looked = [], [], 0
    for i, picture in _sampled(truth, 7):
        for name in truth.data["taped"]:
            if not truth.seen(name)[i]:
                continue
            looked += 1
            at = complex(truth.point(name)[i])
            radius = scale * (_EAR_DOT_RADIUS_CM if name == "ear" else _DOT_RADIUS_CM)
            found = _centre_of_tape(picture, at, radius)
            if found is None:
                lost.append((i, name))
            else:
                misses.append((abs(found - at), i, name))
    assert looked >= 12
    assert not lost
    assert max(misses)[0] < 1.0, max(misses)


def test_dots_that_are_not_seen_are_covered() -> None:
    """Most are clearly covered; some only touch what lies over them, which no picture can show."""
    covered = []
    for clip in map(read_truth, VIDEOS):
        scale = clip.data["px_per_cm"]
        for i, picture in _sampled(clip, 7):
            for name in clip.data["taped"]:
                if clip.seen(name)[i]:
                    continue
                radius = scale * (_EAR_DOT_RADIUS_CM if name == "ear" else _DOT_RADIUS_CM)
                at = complex(clip.point(name)[i])
                covered.append(_share_of_tape(picture, at, 0.9 * radius) < 0.9)
    assert len(covered) >= 5
    assert np.mean(covered) > 0.6


@pytest.mark.parametrize("name", ["sit_to_stand_week01", "bend_week01"])
def test_the_same_frame_is_drawn_the_same_in_two_runs(name: str) -> None:
    script = (
        "import sys, hashlib; sys.path.insert(0, sys.argv[1]); import draw\n"
        "clip = draw.all_clips()[sys.argv[2]]\n"
        "for index in (40, 90):\n"
        "    t = clip.times[index] / 1e6\n"
        "    stack = clip.stage.stack(clip.body(t), clip.held(t))\n"
        "    frame = clip.stage.frame(stack, t, clip.name, index)\n"
        "    print(hashlib.sha256(frame.tobytes()).hexdigest())\n"
    )
    command = [sys.executable, "-c", script, str(FOLDER), name]
    first, second = (
        subprocess.run(command, capture_output=True, text=True, check=True, timeout=120).stdout
        for _ in range(2)
    )
    hashes = first.split()
    assert first == second
    assert len(set(hashes)) == 2
    assert hashes[0] != hashlib.sha256(b"").hexdigest()


@pytest.mark.parametrize("name", ["lift_week01"])
def test_the_script_still_draws_the_committed_clip(name: str) -> None:
    """A frame drawn now differs from the decoded one only by what the encoder took away."""
    script = (
        "import sys; sys.path.insert(0, sys.argv[1]); import draw\n"
        "clip = draw.all_clips()[sys.argv[2]]\n"
        "t = clip.times[0] / 1e6\n"
        "stack = clip.stage.stack(clip.body(t), clip.held(t))\n"
        "sys.stdout.buffer.write(clip.stage.frame(stack, t, clip.name, 0).tobytes())\n"
    )
    command = [sys.executable, "-c", script, str(FOLDER), name]
    raw = subprocess.run(command, capture_output=True, check=True, timeout=120).stdout
    with av.open(str(FOLDER / f"{name}.mp4")) as container:
        decoded = next(container.decode(video=0)).to_ndarray(format="rgb24").astype(float)
    drawn = np.frombuffer(raw, np.uint8).reshape(decoded.shape).astype(float)
    signal_to_noise = 10 * np.log10(255**2 / ((drawn - decoded) ** 2).mean())
    assert signal_to_noise > 32
    assert abs(drawn.mean(axis=(0, 1)) - decoded.mean(axis=(0, 1))).max() < 1.5, "colours kept"


def test_unknown_clip_is_refused_in_one_sentence() -> None:
    command = [sys.executable, str(FOLDER / "draw.py"), "no_such_clip"]
    ran = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert ran.returncode == 2
    assert "there is no clip 'no_such_clip'" in ran.stderr
