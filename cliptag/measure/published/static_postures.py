"""Static postures of trunk, head and upper arm, and how long they may be held (ISO 11226).

Source: ISO 11226:2000, Ergonomics: Evaluation of static working postures, Tables 1 to 3 and
Figures 2, 4 and 6, with Cor 1:2006. All limits and holding times are from memory; only the scope
was read. Angles count from a reference posture: upright, arms hanging, looking straight ahead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from cliptag.measure.geometry import Estimate
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, estimate, number, shown
from cliptag.measure.rounding import COVERAGE_FACTOR

METHOD: Final = Method(
    key="iso-11226",
    name="Static working postures (ISO 11226)",
    source="ISO 11226:2000, Ergonomics: Evaluation of static working postures; Cor 1:2006",
    known=(("scope", "read"), ("limits of angles and holding times", "from memory")),
    inputs=(
        "inclination of trunk and head, elevation of the upper arm, from the reference posture",
        "how long the posture is held",
        "what supports trunk, head and arm",
    ),
    gives="for each part: acceptable, acceptable for so many minutes, or not recommended",
    limits=(
        "postures that are held, with little or no force by the hands; healthy adults at work",
        "knees, ankles, wrists and the curve of the low back are left to the eye",
    ),
    does_not_say="It says nothing about movements, loads, or a person in pain.",
)

Verdict: TypeAlias = Literal["acceptable", "too long", "not recommended"]
_WORST_LAST: Final[tuple[Verdict, ...]] = ("acceptable", "too long", "not recommended")


@dataclass(frozen=True, slots=True, kw_only=True)
class StaticPosture:
    """A held posture. Angles in degrees, forward and upward positive.

    ``arm_awkward``: the upper arm is across the body, turned out as far as it goes, or the
    shoulder is raised. ``trunk_uneven``: the trunk is visibly turned or bent to the side.
    """

    held_min: float
    trunk_deg: Measured
    head_deg: Measured
    upper_arm_deg: Measured
    trunk_supported: bool = False
    head_supported: bool = False
    arm_supported: bool = False
    trunk_uneven: bool = False
    arm_awkward: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One part, its angle in degrees. ``longest_min`` is None where no holding time limits it.

    ``sure`` is False where the measuring uncertainty (k = 2) also allows another verdict.
    """

    part: str
    angle: Estimate
    verdict: Verdict
    longest_min: float | None
    reason: str
    sure: bool

    @property
    def text(self) -> str:
        """Such as 'Trunk 42° ± 2°: held too long, at most 2.4 min'."""
        verdict = "held too long" if self.verdict == "too long" else self.verdict
        time = "" if self.longest_min is None else f", at most {self.longest_min:.1f} min"
        reason = f", {self.reason}" if self.reason else ""
        unsure = "" if self.sure else " (near a limit: the measuring uncertainty reaches over it)"
        return f"{self.part} {shown(self.angle, '°')}: {verdict}{time}{reason}{unsure}"


@dataclass(frozen=True, slots=True)
class StaticPostureResult:
    """Findings for trunk, head, neck and upper arm, and the worst of them."""

    findings: tuple[Finding, ...]
    verdict: Verdict

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        return f"{'. '.join(finding.text for finding in self.findings)}. {GUIDE}"


def longest_trunk_min(angle_deg: float) -> float:
    """Holding time of an unsupported trunk, 20 to 60 degrees: 4 min falling straight to 1 min."""
    return 4.0 - 3.0 * (number(angle_deg, "The trunk's angle", 20.0, 60.0, "degrees") - 20.0) / 40.0


def longest_head_min(angle_deg: float) -> float:
    """Holding time of an unsupported head, 25 to 85 degrees: 8 min falling straight to 1 min."""
    return 8.0 - 7.0 * (number(angle_deg, "The head's angle", 25.0, 85.0, "degrees") - 25.0) / 60.0


def longest_arm_min(angle_deg: float) -> float:
    """Holding time of an unsupported arm, 20 to 60 degrees: 3 min falling straight to 1 min."""
    return 3.0 - 2.0 * (number(angle_deg, "The arm's angle", 20.0, 60.0, "degrees") - 20.0) / 40.0


def static_posture(posture: StaticPosture) -> StaticPostureResult:
    """Judge a held posture. Raises MeasureError for angles or times that can't be meant."""
    held = number(posture.held_min, "The holding time", 0.0, 1440.0, "minutes")
    trunk = estimate(posture.trunk_deg, "The trunk's inclination", -90.0, 150.0, "degrees")
    head = estimate(posture.head_deg, "The head's inclination", -90.0, 180.0, "degrees")
    arm = estimate(posture.upper_arm_deg, "The upper arm's elevation", -90.0, 180.0, "degrees")
    neck = Estimate(head.value - trunk.value, (head.sd**2 + trunk.sd**2) ** 0.5)

    def trunk_rule(angle: float) -> _Ruled:
        if posture.trunk_uneven:
            return _not("turned or bent to the side")
        if angle > 60:
            return _not("beyond 60°")
        return _held(angle, held, 20.0, longest_trunk_min, posture.trunk_supported)

    def head_rule(angle: float) -> _Ruled:
        if angle > 85:
            return _not("beyond 85°")
        return _held(angle, held, 25.0, longest_head_min, posture.head_supported)

    def neck_rule(angle: float) -> _Ruled:
        if 0 <= angle <= 25:
            return _FREE
        return _not("the neck is bent back" if angle < 0 else "beyond 25°")

    def arm_rule(angle: float) -> _Ruled:
        if posture.arm_awkward:
            return _not("the arm or shoulder is in an awkward position")
        if angle < 0:
            return _not("the elbow is behind the trunk")
        if angle > 60:
            return _not("beyond 60°")
        return _held(angle, held, 20.0, longest_arm_min, posture.arm_supported)

    findings = (
        _finding("Trunk", trunk, trunk_rule),
        _finding("Head", head, head_rule),
        _finding("Head on trunk", neck, neck_rule),
        _finding("Upper arm", arm, arm_rule),
    )
    return StaticPostureResult(
        findings, max((finding.verdict for finding in findings), key=_WORST_LAST.index)
    )


_Ruled: TypeAlias = tuple[Verdict, float | None, str]
_FREE: Final[_Ruled] = ("acceptable", None, "")


def _not(reason: str) -> _Ruled:
    return "not recommended", None, reason


def _held(
    angle: float,
    held_min: float,
    free_to: float,
    longest: Callable[[float], float],
    supported: bool,
) -> _Ruled:
    """The rule that trunk, head and arm share below their upper limit."""
    if supported or 0 <= angle <= free_to:
        return _FREE
    if angle < 0:
        return _not("leaning back without support")
    most = longest(angle)
    return ("acceptable" if held_min <= most else "too long"), most, ""


def _finding(part: str, angle: Estimate, rule: Callable[[float], _Ruled]) -> Finding:
    verdict, longest, reason = rule(angle.value)
    reach = COVERAGE_FACTOR * angle.sd
    # Each verdict holds in one stretch on either side of the middle, so the ends tell.
    ends = {rule(angle.value - reach)[0], rule(angle.value + reach)[0]}
    return Finding(
        part=part,
        angle=angle,
        verdict=verdict,
        longest_min=longest,
        reason=reason,
        sure=ends == {verdict},
    )
