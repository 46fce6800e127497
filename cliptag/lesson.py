"""The lever-arm lesson, from the published method's numbers to its picture."""

from __future__ import annotations

import math
from pathlib import Path

from cliptag.errors import MeasureError
from cliptag.files import replacing
from cliptag.measure import COVERAGE_FACTOR
from cliptag.measure.published import CloserLoad, Hold, Place
from cliptag.paint import (
    TALL,
    WIDE,
    At,
    Bar,
    Figure,
    LeverArm,
    LeverArmText,
    ensure_painter_ready,
    lever_arm,
)
from cliptag.review import DEFAULT_CAUTION


def drawn(lesson: CloserLoad) -> LeverArm:
    """What there is to draw."""
    points = lesson.points
    far, near = lesson.far, lesson.near
    return LeverArm(
        figure=Figure(
            low_back=_at(points.low_back),
            neck=_at(points.neck),
            ear=_at(points.ear),
            shoulder=_at(points.shoulder),
            upper_arm_m=_length(points.shoulder, points.elbow),
            forearm_m=_length(points.elbow, points.wrist),
        ),
        far_load=_at(far.load.place),
        near_load=_at(near.load.place),
        far_bar=_bar(f"{_cm(far)} from the low back", far),
        near_bar=_bar(f"{_cm(near)} from the low back", near),
        text=LeverArmText(
            headline=lesson.sentence,
            far=_cm(far),
            near=_cm(near),
            bars="What the low back has to hold",
            body="the body's own weight",
            load=f"the {lesson.what}",
            sureness=(
                "Moments, standing still. The black lines tell how sure each bar is, about 95 in "
                "100. Most of that is the body's weight, which both share: the difference is surer."
            ),
            caution=DEFAULT_CAUTION,
        ),
    )


def write_lesson(lesson: CloserLoad, path: Path, *, is_wide: bool) -> None:
    """Write the picture as PNG, whole or not at all. Raises MeasureError where it can't be."""
    if path.suffix.lower() != ".png":
        raise MeasureError(f"{path.name} isn't the name of a PNG file: end it with .png.")
    ensure_painter_ready()
    image = lever_arm(WIDE if is_wide else TALL, drawn(lesson))
    try:
        with replacing(path) as part:
            is_written = image.save(str(part), "PNG")
            if not is_written:
                raise OSError("the picture could not be encoded")
    except OSError as error:
        raise MeasureError(
            f"{path} can't be written: {error.strerror or error}. Choose another place."
        ) from error


def _bar(words: str, hold: Hold) -> Bar:
    forces = hold.forces
    spread = COVERAGE_FACTOR * forces.moment.sd
    # A rough model deserves no more: both in tens.
    text = f"{_tens(forces.moment.value)} ± {max(10, 10 * math.ceil(spread / 10))} N·m"
    return Bar(
        words=words,
        body=forces.upper_body_moment.value,
        total=forces.moment.value,
        sd=forces.moment.sd,
        text=text,
    )


def _tens(value: float) -> int:
    return 10 * round(value / 10)


def _cm(hold: Hold) -> str:
    return f"{100 * hold.load_arm_m:.0f} cm"


def _at(place: Place) -> At:
    return At(place.x_m, place.y_m)


def _length(one: Place, other: Place) -> float:
    return math.hypot(other.x_m - one.x_m, other.y_m - one.y_m)
