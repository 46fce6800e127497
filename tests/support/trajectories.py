"""Trajectories as a tracker would hand them on: the demo clips' truth with placement noise."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from support.truth import Truth

from cliptag.measure import Camera, Estimate
from cliptag.measure.curves import Smoothed, SmoothedPoint
from cliptag.measure.trajectories import Trajectories

WHITE_PX = 1.25
DRIFT_PX = 0.6
DRIFT_S = 2.0
ROLL_SD_DEG = 0.2


def camera_of_truth(
    truth: Truth, rng: np.random.Generator | None, roll_sd_deg: float = ROLL_SD_DEG
) -> Camera:
    """The clip's camera, its plumb line and scale read with an error of the stated size."""
    roll = float(np.degrees(np.angle(truth.up[0] * 1j)))
    scale, scale_sd = truth.data["px_per_cm"], 0.004 * truth.data["px_per_cm"]
    if rng is not None:
        roll += rng.normal(0.0, roll_sd_deg)
        scale += rng.normal(0.0, scale_sd)
    return Camera(
        placement_sd_px=float(np.hypot(WHITE_PX, DRIFT_PX)),
        upright_deg=Estimate(roll, roll_sd_deg),
        px_per_cm=Estimate(scale, scale_sd),
        picture_height_px=truth.data["height"],
    )


def placed(
    truth: Truth, seed: int | None, white_px: float = WHITE_PX, drift_px: float = DRIFT_PX
) -> Trajectories:
    """Every point of a clip; ``seed`` None gives the truth itself, with the noise only stated.

    White noise on each frame, and an Ornstein-Uhlenbeck wandering that forgets in two seconds.
    """
    rng = None if seed is None else np.random.default_rng(seed)
    times_s = truth.times_us / 1e6
    sd = float(np.hypot(white_px, drift_px))
    points = {}
    for name in truth.data["points"]:
        z = truth.point(name)
        places = np.c_[z.real, z.imag]
        if rng is not None:
            places = places + rng.normal(0.0, white_px, places.shape)
            places = places + drift_px * wandering(times_s, rng)
        points[name] = places
    return Trajectories(
        times_us=truth.times_us,
        points=points,
        sd_px={name: np.full(len(times_s), sd) for name in points},
        camera=camera_of_truth(truth, rng),
        facing=truth.data["facing"],
    )


def wandering(times_s: NDArray[np.float64], rng: np.random.Generator) -> NDArray[np.float64]:
    """(N, 2) of unit variance whose correlation falls as exp(-t / 2 s)."""
    kept = np.exp(-np.diff(times_s) / DRIFT_S)
    way = [rng.normal(0.0, 1.0, 2)]
    for part in kept:
        way.append(part * way[-1] + np.sqrt(1.0 - part**2) * rng.normal(0.0, 1.0, 2))
    return np.array(way)


def made(
    points: dict[str, NDArray[np.float64]],
    *,
    rate_hz: float = 30.0,
    times_us: NDArray[np.int64] | None = None,
    sd_px: float = 1.0,
    px_per_cm: float | None = None,
    upright_deg: float = 0.0,
    upright_sd_deg: float = 0.0,
    facing: str | None = "right",
) -> Trajectories:
    """Trajectories from arrays (N, 2) of pixels, y down, on even frames unless times are given."""
    count = len(next(iter(points.values())))
    if times_us is None:
        times_us = np.round(np.arange(count) * 1e6 / rate_hz).astype(np.int64)
    scale = None if px_per_cm is None else Estimate(px_per_cm, 0.004 * px_per_cm)
    return Trajectories(
        times_us=times_us,
        points=points,
        sd_px={name: np.full(count, sd_px) for name in points},
        camera=Camera(sd_px, Estimate(upright_deg, upright_sd_deg), scale, 1920),
        facing=facing,
    )


def as_placed(trajectories: Trajectories) -> Smoothed:
    """The points themselves where smoothed ones are asked for, with their whole placement sd."""
    points = {
        name: SmoothedPoint(
            places=places,
            sd_px=trajectories.sd_px[name],
            sd_px_per_s=np.zeros(len(places)),
            sd_px_per_s2=np.zeros(len(places)),
            scatter_px=0.0,
        )
        for name, places in trajectories.points.items()
    }
    return Smoothed(trajectories, points, 6.0, 0, False)
