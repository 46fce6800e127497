"""What a look at a clip's pictures says of how well it can be measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cliptag.clip import Looks
from cliptag.intake.finding import IntakeFinding, graded

CARE_TREMOR: Final = 0.004
AGAIN_TREMOR: Final = 0.015
CARE_BRIGHTNESS: Final = 0.32
AGAIN_BRIGHTNESS: Final = 0.18
CARE_EDGE: Final = 0.006
AGAIN_EDGE: Final = 0.012
CARE_ROLL_DEG: Final = 2.0
AGAIN_ROLL_DEG: Final = 10.0

_SHAKE_WHY: Final = (
    "0.4 % of the height are 8 pixels of 1920, three times what placing a point by hand is off; "
    "at 1.5 % even the plumb line moves by a degree."
)
_LIGHT_WHY: Final = "In the dark a phone films with long exposures and much noise, so edges go."
_BLUR_WHY: Final = (
    "An edge of 0.6 % of the picture is 12 pixels of 1920 wide, more than a joint is placed by."
)
_ROLL_WHY: Final = (
    "Up to 10° a plumb line marked on the wall takes it out; beyond, perspective bends it too."
)


def findings_of_looks(looks: Looks) -> Iterator[IntakeFinding]:
    """Shake, light, blur and the camera's tilt."""
    shake = graded(looks.tremor, CARE_TREMOR, AGAIN_TREMOR)
    yield IntakeFinding(
        "stand",
        shake,
        "The camera stands still."
        if shake == "fine"
        else f"The camera shakes by {looks.tremor * 100:.1f} % of the picture.",
        _SHAKE_WHY,
        None if shake == "fine" else "still",
    )
    light = graded(looks.brightness, CARE_BRIGHTNESS, AGAIN_BRIGHTNESS)
    yield IntakeFinding(
        "light",
        light,
        "There is enough light." if light == "fine" else "The picture is dark.",
        _LIGHT_WHY,
        None if light == "fine" else "light",
    )
    yield from _blur(looks)
    yield from _roll(looks)


def _blur(looks: Looks) -> Iterator[IntakeFinding]:
    if looks.still_edge is not None:
        focus = graded(looks.still_edge, CARE_EDGE, AGAIN_EDGE)
        yield IntakeFinding(
            "sharpness",
            focus,
            "What stands still is sharp."
            if focus == "fine"
            else "Even what stands still is blurred: out of focus, or the lens is smeared.",
            _BLUR_WHY,
            None if focus == "fine" else "lens",
        )
    if looks.moving_edge is not None:
        yield IntakeFinding(
            "movement blur",
            "care" if looks.is_blurred else "fine",
            "What moves is blurred." if looks.is_blurred else "What moves is sharp enough.",
            _BLUR_WHY,
            "light" if looks.is_blurred else None,
        )


def _roll(looks: Looks) -> Iterator[IntakeFinding]:
    if looks.roll_deg is None:
        return
    roll = graded(abs(looks.roll_deg), CARE_ROLL_DEG, AGAIN_ROLL_DEG)
    yield IntakeFinding(
        "level",
        roll,
        "The camera stands level."
        if roll == "fine"
        else f"The camera leans by about {abs(looks.roll_deg):.0f}°: mark a plumb line.",
        _ROLL_WHY,
        None if roll == "fine" else "level",
    )
