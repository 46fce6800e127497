"""Reads the demo clips and their truth with nothing of the code that drew them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

FOLDER = Path(__file__).resolve().parents[2] / "demo_media"
NAMES = sorted(path.name.removesuffix(".truth.json") for path in FOLDER.glob("*.truth.json"))
VIDEOS = [name for name in NAMES if (FOLDER / f"{name}.mp4").exists()]

Points = NDArray[np.complex128]


@dataclass(frozen=True)
class Truth:
    """A truth file; points are complex numbers, x + i y in pixels as displayed (y down)."""

    name: str
    data: dict[str, Any]

    @property
    def path(self) -> Path:
        return FOLDER / str(self.data["clip"])

    @property
    def times_us(self) -> NDArray[np.int64]:
        return np.array(self.data["times_us"], np.int64)

    def point(self, name: str) -> Points:
        return _complex(self.data["points"][name])

    def seen(self, name: str) -> NDArray[np.bool_]:
        return np.array([flag == "1" for flag in self.data["points"][name]["seen"]])

    def angle(self, name: str) -> NDArray[np.float64]:
        return np.array(self.data["angles_deg"][name])

    @property
    def up(self) -> Points:
        """Unit vector of the true vertical on each frame, from the door frame."""
        lower, upper = (_complex(self.data["plumb"][end]) for end in ("lower", "upper"))
        return np.asarray((upper - lower) / abs(upper - lower))

    @property
    def scale_ends(self) -> tuple[Points, Points]:
        return _complex(self.data["scale"]["a"]), _complex(self.data["scale"]["b"])

    def moments(self, name: str) -> list[dict[str, Any]]:
        return [moment for moment in self.data["moments"] if moment["name"] == name]

    def level(self, name: str) -> Points:
        """A point with roll and shake undone: x forward, y up, in cm from the rule's lower end."""
        foot, _ = self.scale_ends
        forward = self.up * (1j if self.data["facing"] == "right" else -1j)
        way = (self.point(name) - foot) / self.data["px_per_cm"]
        return np.asarray(_dot(way, forward) + 1j * _dot(way, self.up))


def _complex(place: dict[str, list[float]]) -> Points:
    return np.array(place["x"]) + 1j * np.array(place["y"])


def _dot(a: Points, b: Points) -> NDArray[np.float64]:
    return np.asarray((a * b.conj()).real)


def read_truth(name: str) -> Truth:
    text = (FOLDER / f"{name}.truth.json").read_text(encoding="utf-8")
    return Truth(name, json.loads(text))
