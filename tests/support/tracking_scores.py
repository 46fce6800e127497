"""Demo clips with placements of known error, and tracks scored against the truth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from support.truth import Truth

from cliptag.measure.tracking import Placement, Tracks

ANGLES = {
    "knee_flexion": ("hip", "knee", "ankle"),
    "hip_flexion": ("shoulder", "hip", "knee"),
    "elbow_flexion": ("shoulder", "elbow", "wrist"),
}


def placed(
    truth: Truth, frame: int, rng: np.random.Generator, noise_px: float = 1.0
) -> dict[str, list[Placement]]:
    """Every dot that is in view on a frame, placed with an error of this size along each axis."""
    keys = {}
    for name in truth.data["taped"]:
        if truth.seen(name)[frame]:
            z = truth.point(name)[frame]
            x, y = np.array([z.real, z.imag]) + noise_px * rng.normal(size=2)
            keys[name] = [Placement(frame, x, y, noise_px)]
    return keys


@dataclass(frozen=True)
class Score:
    """``errors`` (n, 2) px and ``sds`` (n,) over the samples that are in view and were found."""

    errors: NDArray[np.float64]
    sds: NDArray[np.float64]
    seen: int
    angle_errors_deg: NDArray[np.float64]
    angle_sds_deg: NDArray[np.float64]

    @property
    def rms_px(self) -> float:
        """Along each axis, as the standard deviations are."""
        return float(np.sqrt((self.errors**2).mean()))

    @property
    def distance_rms_px(self) -> float:
        return float(np.sqrt((self.errors**2).sum(axis=1).mean()))

    @property
    def angle_rms_deg(self) -> float:
        return float(np.sqrt((self.angle_errors_deg**2).mean()))

    @property
    def coverage(self) -> float:
        return float((np.abs(self.errors) <= 2 * self.sds[:, None]).mean())

    @property
    def angle_coverage(self) -> float:
        return float((np.abs(self.angle_errors_deg) <= 2 * self.angle_sds_deg).mean())

    @property
    def found(self) -> float:
        return len(self.sds) / max(1, self.seen)


def score(
    truth: Truth, tracks: Tracks, hidden: dict[str, NDArray[np.bool_]] | None = None
) -> Score:
    """Compare with the truth wherever the whole dot is in view (and not ``hidden``)."""
    errors, sds, seen_count = [], [], 0
    for name, places in tracks.points.items():
        seen = truth.seen(name)[: len(places)]
        if hidden is not None:
            seen = seen & ~hidden[name]
        seen_count += int(seen.sum())
        both = seen & ~np.isnan(places[:, 0])
        errors.append((places - _true(truth, name, len(places)))[both])
        sds.append(tracks.sd_px[name][both])
    angle_errors, angle_sds = _angles(truth, tracks, hidden)
    return Score(np.vstack(errors), np.hstack(sds), seen_count, angle_errors, angle_sds)


def pooled(scores: list[Score]) -> Score:
    return Score(
        np.vstack([s.errors for s in scores]),
        np.hstack([s.sds for s in scores]),
        sum(s.seen for s in scores),
        np.hstack([s.angle_errors_deg for s in scores]),
        np.hstack([s.angle_sds_deg for s in scores]),
    )


def _true(truth: Truth, name: str, count: int) -> NDArray[np.float64]:
    z = truth.point(name)[:count]
    return np.c_[z.real, z.imag]


def _angles(
    truth: Truth, tracks: Tracks, hidden: dict[str, NDArray[np.bool_]] | None
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    errors, sds = [np.zeros(0)], [np.zeros(0)]
    for angle, names in ANGLES.items():
        if not all(name in tracks.points for name in names):
            continue
        a, b, c = ((tracks.points[name] @ [1, 1j]) for name in names)
        sd_a, sd_b, sd_c = (tracks.sd_px[name] for name in names)
        seen = np.isfinite(a.real + b.real + c.real)
        for name in names:
            seen &= truth.seen(name)[: len(a)]
            if hidden is not None:
                seen &= ~hidden[name]
        a, b, c = a[seen], b[seen], c[seen]
        value = 180 - np.degrees(np.abs(np.angle((a - b) / (c - b))))
        # First order: each arm's end swings it by its own error, the corner swings both.
        swing = 1 / (a - b) - 1 / (c - b)
        parts = sd_a[seen] / abs(a - b), sd_b[seen] * abs(swing), sd_c[seen] / abs(c - b)
        errors.append(value - truth.angle(angle)[: len(seen)][seen])
        sds.append(np.degrees(np.sqrt(sum(part**2 for part in parts))))
    return np.hstack(errors), np.hstack(sds)
