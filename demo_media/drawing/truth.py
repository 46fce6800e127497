"""The truth beside a clip: where every point is, every angle, every moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from typing import Any

from drawing.angles import angles_of
from drawing.body import STATURE, Body
from drawing.clips import Clip
from drawing.figure import Layer, hidden
from drawing.props import RULE_LENGTH

SCHEMA = "cliptag-truth/1"

POINTS = (
    "eye", "ear", "c7", "t4", "t8", "l1", "l4", "s2", "shoulder", "elbow", "wrist", "hip", "knee",
    "ankle", "heel", "toe", "load",
)  # fmt: skip


class TruthWriter:
    """Gathers a clip's truth frame by frame."""

    def __init__(self, clip: Clip, file_name: str) -> None:
        self._clip = clip
        self._file_name = file_name
        self._places: dict[str, list[complex]] = {}
        self._seen: dict[str, list[bool]] = {}
        self._angles: dict[str, list[float]] = {}
        self._taped: set[str] = set()
        self._still: dict[str, list[complex]] = {}

    def add(self, t: float, body: Body, stack: list[Layer]) -> None:
        """Take down the frame at ``t`` (s), painted from ``stack``."""
        stage = self._clip.stage
        covered = hidden(stack)
        for dot in (dot for layer in stack for dot in layer.dots):
            place = stage.camera.place(stage.world(dot.at), t)
            inside = 0 <= place.real < stage.camera.width and 0 <= place.imag < stage.camera.height
            self._places.setdefault(dot.name, []).append(place)
            self._seen.setdefault(dot.name, []).append(inside and not covered[dot.name])
            if dot.taped:
                self._taped.add(dot.name)
        for name, value in angles_of(body).items():
            self._angles.setdefault(name, []).append(value)
        ends = dict(zip(("a", "b"), self._clip.rule, strict=True))
        ends |= dict(zip(("lower", "upper"), self._clip.plumb, strict=True))
        for name, z in ends.items():
            self._still.setdefault(name, []).append(stage.camera.place(z, t))

    def document(self) -> dict[str, Any]:
        """The truth as plain data, as described in the folder's README."""
        clip, camera = self._clip, self._clip.stage.camera
        shakes = [camera.shake_at(us / 1e6) for us in clip.times]
        return {
            "schema": SCHEMA,
            "clip": self._file_name,
            "movement": clip.movement,
            "week": clip.week,
            "facing": "right" if clip.stage.facing_right else "left",
            "width": camera.width,
            "height": camera.height,
            "px_per_cm": camera.px_per_cm,
            "stature_cm": STATURE,
            "camera_roll_deg": camera.roll,
            "shake": {
                "x_px": _rounded((s.x for s in shakes), 3),
                "y_px": _rounded((s.y for s in shakes), 3),
                "roll_deg": _rounded((s.roll for s in shakes), 4),
            }
            if camera.handheld
            else None,
            "times_us": list(clip.times),
            "moments": [
                {
                    "name": name,
                    "repetition": repetition,
                    "time_us": us,
                    "frame": bisect_right(clip.times, us) - 1,
                }
                for name, repetition, us in clip.moments
            ],
            "sounds": [{"name": s.name, "time_us": round(1e6 * s.at)} for s in clip.sounds],
            "scale": {
                "length_cm": RULE_LENGTH,
                "a": _places(self._still["a"]),
                "b": _places(self._still["b"]),
            },
            "plumb": {
                "lower": _places(self._still["lower"]),
                "upper": _places(self._still["upper"]),
            },
            "taped": [name for name in POINTS if name in self._taped],
            "points": {
                name: _places(self._places[name])
                | {"seen": "".join("01"[seen] for seen in self._seen[name])}
                for name in POINTS
                if name in self._places
            },
            "angles_deg": {name: _rounded(values, 3) for name, values in self._angles.items()},
        }


def _places(points: Iterable[complex]) -> dict[str, list[float]]:
    points = list(points)
    return {"x": _rounded((z.real for z in points), 2), "y": _rounded((z.imag for z in points), 2)}


def _rounded(values: Iterable[float], digits: int) -> list[float]:
    return [round(value, digits) + 0.0 for value in values]  # + 0.0 makes -0.0 plain
