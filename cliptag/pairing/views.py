"""Whether two clips show the movement alike enough to be compared.

Only what the clips themselves show is used: plumb lines, scales, and where the body's points lie.
How each threshold follows from the error that it lets through: docs/pairing.md.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from cliptag.measure import Estimate
from cliptag.pairing.placing import GROUND_POINTS, Placing
from cliptag.pairing.side import Side
from cliptag.words import ENGLISH, Words

Aspect = Literal["turn", "distance", "height", "roll", "scale", "side"]

MOST_DISTANCE_RATIO: Final = 1.25
MOST_HEIGHT_CHANGE: Final = 0.25
"""In body lengths from ankle to shoulder, about 30 cm: from 3 m away another 6° downwards."""
MOST_TURN_RATIO: Final = 1.06
"""1 / cos 20°: a level length seen so much shorter is turned away by 20° more."""
MOST_SCALE_RATIO: Final = 1.06
MOST_ROLL_DEG: Final = 3.0
_SURE: Final = 2.0
"""A difference is told when it is as many standard uncertainties away from none."""


@dataclass(frozen=True, slots=True)
class ViewWarning:
    """One way in which the two views differ, in a sentence that says what it does."""

    aspect: Aspect
    sentence: str


def view_warnings(
    first: Side, second: Side, placing: Placing, words: Words = ENGLISH
) -> tuple[ViewWarning, ...]:
    """Everything in which two views differ too much for a plain comparison."""
    found = [
        *_side_seen(placing, words),
        *_distance(first, second, placing, words),
        *_height(first, second, placing, words),
        *_turned(first, second, words),
        *_scales(first, second, placing, words),
        *_roll(first, second, words),
    ]
    return tuple(found)


def _side_seen(placing: Placing, words: Words) -> Iterator[ViewWarning]:
    if placing.is_mirrored:
        yield ViewWarning(
            "side",
            words.say(
                "The client faces the other way, so the second picture is mirrored: it shows the "
                "other side of the body, and left and right may move differently."
            ),
        )


def _distance(first: Side, second: Side, placing: Placing, words: Words) -> Iterator[ViewWarning]:
    """By the part of the picture's height that the same body takes up."""
    if placing.body_px is None:
        return
    shares = [
        length.value / max(side.review.clip.width, side.review.clip.height)
        for length, side in zip(placing.body_px, (first, second), strict=True)
    ]
    ratio = shares[1] / shares[0]
    if max(ratio, 1 / ratio) > MOST_DISTANCE_RATIO:
        times = words.figures(f"{max(ratio, 1 / ratio):.1f}")
        yield ViewWarning(
            "distance",
            words.say(
                "The body looks {times} times as large in one as in the other: the camera stood "
                "nearer to the client in {name} (or was zoomed), which changes how arms and legs "
                "nearer to it look. Film from the same distance.",
                times=times,
                name=(second if ratio > 1 else first).name_in(words),
            ),
        )


def _height(first: Side, second: Side, placing: Placing, words: Words) -> Iterator[ViewWarning]:
    """By how many body lengths the ground lies under the picture's middle.

    For a level camera that is the camera's height over the ground.
    """
    if placing.body_px is None:
        return
    heights = []
    for side, body in zip((first, second), placing.body_px, strict=True):
        drop_px = _ground_drop_px(side)
        if drop_px is None:
            return
        height = drop_px / body.value
        sd = math.hypot(side.camera.placement_sd_px, height * body.sd) / body.value
        heights.append(Estimate(height, sd))
    change = heights[1].value - heights[0].value
    if abs(change) > MOST_HEIGHT_CHANGE and abs(change) > _SURE * math.hypot(
        heights[0].sd, heights[1].sd
    ):
        yield ViewWarning(
            "height",
            words.say(
                "The ground lies elsewhere in the picture: the camera of {name} stood higher, or "
                "looked down more. Heights and the angles of feet and shanks may differ by that "
                "alone. Film with the camera level and at hip height.",
                name=(second if change > 0 else first).name_in(words),
            ),
        )


def _turned(first: Side, second: Side, words: Words) -> Iterator[ViewWarning]:
    """By the foot, a level length, against the shank, an upright one."""
    ratios = [_foot_share(side) for side in (first, second)]
    if ratios[0] is None or ratios[1] is None:
        return
    ratio = ratios[1].value / ratios[0].value
    sd = ratio * math.hypot(*(r.sd / r.value for r in ratios if r is not None))
    off = max(ratio, 1 / ratio)
    if off > MOST_TURN_RATIO and off - 1 > _SURE * sd:
        which = second if ratio < 1 else first
        yield ViewWarning(
            "turn",
            words.say(
                "The foot looks {percent} shorter against the shank in {name}: the client stood "
                "turned from the camera there, about {angle} more than in the other. Tilts and "
                "joint angles look smaller by that. Film straight from the side.",
                percent=words.figures(f"{100 * (1 - 1 / off):.0f} %"),
                name=which.name_in(words),
                angle=words.figures(f"{math.degrees(math.acos(1 / off)):.0f}°"),
            ),
        )


def _scales(first: Side, second: Side, placing: Placing, words: Words) -> Iterator[ViewWarning]:
    """The same body should be as long by both scales."""
    one, other = first.camera.px_per_cm, second.camera.px_per_cm
    if placing.body_px is None or one is None or other is None:
        return
    lengths = [
        Estimate(b.value / s.value, b.value / s.value * math.hypot(b.sd / b.value, s.sd / s.value))
        for b, s in zip(placing.body_px, (one, other), strict=True)
    ]
    ratio = lengths[1].value / lengths[0].value
    sd = ratio * math.hypot(*(length.sd / length.value for length in lengths))
    if max(ratio, 1 / ratio) > MOST_SCALE_RATIO and abs(ratio - 1) > _SURE * sd:
        yield ViewWarning(
            "scale",
            words.say(
                "By its scale the same body is {length} from ankle to shoulder in {first} and "
                "{other} in {second}: one of the scales isn't in the plane of the movement, or the "
                "body is turned. Don't compare lengths.",
                length=words.figures(f"{lengths[0].value:.0f} cm"),
                other=words.figures(f"{lengths[1].value:.0f} cm"),
                first=first.name_in(words),
                second=second.name_in(words),
            ),
        )


def _roll(first: Side, second: Side, words: Words) -> Iterator[ViewWarning]:
    bare = [side.name_in(words) for side in (first, second) if side.review.plumb is None]
    if len(bare) == 2:
        yield ViewWarning(
            "roll",
            words.say(
                "No plumb line is marked in either: a camera held askew changes every tilt by as "
                "much. Mark something that hangs or stands upright."
            ),
        )
    elif bare:
        yield ViewWarning(
            "roll",
            words.say(
                "No plumb line is marked in {name}: its tilts count from the picture's own "
                "upright. Mark something that hangs or stands upright there.",
                name=bare[0],
            ),
        )
    else:
        turn = second.camera.upright_deg.value - first.camera.upright_deg.value
        if abs(turn) > MOST_ROLL_DEG:
            yield ViewWarning(
                "roll",
                words.say(
                    "The camera was held {angle} askew against the other one. The plumb lines mend "
                    "the numbers and the picture; straight from the start is better.",
                    angle=words.figures(f"{abs(turn):.0f}°"),
                ),
            )


def _ground_drop_px(side: Side) -> float | None:
    """How far the ground lies below the picture's middle."""
    found = [p for name in GROUND_POINTS if (p := side.places(name)) is not None]
    lows = [float(np.nanmedian(p[:, 1])) for p in found if np.isfinite(p).any()]
    return max(lows) - side.review.clip.height / 2 if lows else None


def _foot_share(side: Side) -> Estimate | None:
    """The foot's length over the shank's, medians over the frames."""
    names = ("heel", "toe", "ankle", "knee")
    heel, toe, ankle, knee = (side.places(name) for name in names)
    if heel is None or toe is None or ankle is None or knee is None:
        return None
    feet, shanks = np.hypot(*(toe - heel).T), np.hypot(*(knee - ankle).T)
    both = np.isfinite(feet) & np.isfinite(shanks)
    if not both.any():
        return None
    foot, shank = float(np.median(feet[both])), float(np.median(shanks[both]))
    if min(foot, shank) < 1:
        return None
    off = math.sqrt(2) * side.camera.placement_sd_px
    return Estimate(foot / shank, foot / shank * math.hypot(off / foot, off / shank))
