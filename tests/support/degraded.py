"""Demo clips as poor phones and rooms would have shown them, made by ffmpeg; truth follows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from support.media import ffmpeg
from support.truth import Truth

BAR_PART = 0.15
_BAR_PX_PER_FRAME = 20
_SHAKE_MARGIN = 40


@dataclass(frozen=True)
class Degraded:
    """``filter`` is ffmpeg's; ``shift`` (N, 2) px was added to every place of the truth."""

    filter: str
    shift: Callable[[int], NDArray[np.float64]] = field(default=lambda count: np.zeros((count, 2)))
    has_bar: bool = False


def _shake(count: int) -> NDArray[np.float64]:
    n = np.arange(count)
    x = np.round(9 * np.sin(0.61 * n) + 6 * np.sin(1.9 * n + 1))
    y = np.round(7 * np.sin(0.83 * n + 2) + 5 * np.sin(2.3 * n))
    return -np.c_[_SHAKE_MARGIN + x, _SHAKE_MARGIN + y]


KINDS = {
    "as it is": Degraded("null"),
    "blurred": Degraded("gblur=sigma=4"),
    "dark and noisy": Degraded("lutyuv=y='16+(val-16)*0.22',noise=alls=9:allf=t"),
    "15 % behind a moving bar": Degraded("bar", has_bar=True),
    "held by hand": Degraded(
        f"crop=iw-{2 * _SHAKE_MARGIN}:ih-{2 * _SHAKE_MARGIN}"
        f":x='{_SHAKE_MARGIN}+round(9*sin(0.61*n)+6*sin(1.9*n+1))'"
        f":y='{_SHAKE_MARGIN}+round(7*sin(0.83*n+2)+5*sin(2.3*n))':exact=1",
        _shake,
    ),
}


def bar_left(truth: Truth, count: int) -> NDArray[np.float64]:
    """The bar's left edge on each frame; it goes round and round."""
    width = int(truth.data["width"])
    return (np.arange(count) * _BAR_PX_PER_FRAME) % (2 * width) - BAR_PART * width


def make(folder: Path, truth: Truth, kind: str, frames: int) -> Path:
    """The first frames of a clip, degraded."""
    path = folder / f"{truth.name} {kind}.mp4".replace(" ", "_").replace("%", "")
    wanted = KINDS[kind]
    coding = ("-an", "-frames:v", frames, "-c:v", "libx264", "-preset", "ultrafast", "-crf", "26")
    if wanted.has_bar:
        width, height = int(truth.data["width"]), int(truth.data["height"])
        bar = round(BAR_PART * width)
        graph = (
            f"color=0x556070:s={bar}x{height}:r=30,noise=alls=30[bar];"
            f"[0:v][bar]overlay=x='mod(n*{_BAR_PX_PER_FRAME},{2 * width})-{bar}':y=0:eval=frame"
        )
        ffmpeg("-i", truth.path, "-filter_complex", graph, *coding, path)
    else:
        ffmpeg("-i", truth.path, "-vf", wanted.filter, *coding, path)
    return path


def shifted(truth: Truth, kind: str) -> Truth:
    """The truth of the degraded clip."""
    shift = KINDS[kind].shift(len(truth.times_us))
    points = {
        name: {
            "x": (np.array(p["x"]) + shift[:, 0]).tolist(),
            "y": (np.array(p["y"]) + shift[:, 1]).tolist(),
            "seen": p["seen"],
        }
        for name, p in truth.data["points"].items()
    }
    return Truth(truth.name, truth.data | {"points": points})


def behind_bar(truth: Truth, count: int, margin_px: float) -> dict[str, NDArray[np.bool_]]:
    """Where each point lies behind the bar, or within ``margin_px`` of it (negative: deeper)."""
    left = bar_left(truth, count)
    right = left + round(BAR_PART * int(truth.data["width"]))
    return {
        name: (truth.point(name)[:count].real > left - margin_px)
        & (truth.point(name)[:count].real < right + margin_px)
        for name in truth.data["points"]
    }
