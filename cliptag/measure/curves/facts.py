"""How the curves of a clip were made, for the head of every file that holds them."""

from __future__ import annotations

import msgspec

from cliptag.measure.curves.smoothing import Smoothed
from cliptag.measure.rounding import COVERAGE_FACTOR


class Facts(msgspec.Struct, frozen=True, kw_only=True):
    """Facts that hold for all curves of a clip."""

    frames: int
    rate_hz: float
    filter: str
    cutoff_hz: float
    cutoff_from: str
    longest_gap_us: int
    facing: str
    upright_deg: float
    upright_sd_deg: float
    px_per_cm: float | None
    px_per_cm_sd: float | None
    scatter_px: dict[str, float]
    uncertainty: str
    conventions: tuple[str, ...]


def facts_of(smoothed: Smoothed) -> Facts:
    """The facts of one clip's curves."""
    trajectories = smoothed.trajectories
    camera = trajectories.camera
    scale = camera.px_per_cm
    return Facts(
        frames=len(trajectories),
        rate_hz=round(trajectories.rate_hz, 4),
        filter="Butterworth low-pass, second order, forwards and backwards",
        cutoff_hz=round(smoothed.cutoff_hz, 3),
        cutoff_from="residual analysis" if smoothed.is_cutoff_proposed else "set by hand",
        longest_gap_us=smoothed.longest_gap_us,
        facing="right" if trajectories.forward > 0 else "left",
        upright_deg=round(camera.upright_deg.value, 4),
        upright_sd_deg=round(camera.upright_deg.sd, 4),
        px_per_cm=None if scale is None else round(scale.value, 4),
        px_per_cm_sd=None if scale is None else round(scale.sd, 4),
        scatter_px={
            name: round(point.scatter_px, 3)
            for name, point in smoothed.points.items()
            if point.scatter_px == point.scatter_px
        },
        uncertainty=(
            "sd columns are standard uncertainties (k = 1) from point placement, plumb line and "
            f"scale, to first order; the program shows k = {COVERAGE_FACTOR:g}. They hold no error "
            "of a movement turned from the camera."
        ),
        conventions=(
            "time_us is on the clip's own clock, from its first displayed frame",
            "angles are in degrees from the true vertical or by the neutral-zero method, forward "
            "positive where the client faces",
            "lengths are in cm in the plane of the scale, or without one in % of picture height",
            "rates are central differences of the smoothed curve",
        ),
    )


def lines_of(facts: Facts) -> list[str]:
    """The facts as lines 'name: value', for a file's head."""
    lines: list[str] = []
    for name, value in msgspec.structs.asdict(facts).items():
        if name == "conventions":
            lines += [f"convention: {line}" for line in value]
        elif name == "scatter_px":
            lines += [f"scatter of {point}: {sd} px" for point, sd in value.items()]
        else:
            lines.append(f"{name}: {'none' if value is None else value}")
    return lines
