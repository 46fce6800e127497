"""Everything that can be read off one movement, in one piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from msgspec.structs import replace

from cliptag.errors import MeasureError
from cliptag.measure.curves.angles import angle_curves
from cliptag.measure.curves.curve import Curve
from cliptag.measure.curves.displacement import displacement_curves
from cliptag.measure.curves.level import Level
from cliptag.measure.curves.smoothing import LONGEST_GAP_US, Smoothed, smooth
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.confirmed import as_set, out_of_order
from cliptag.measure.movement.described import describe
from cliptag.measure.movement.descriptors import Descriptor
from cliptag.measure.movement.lift import CARRIED
from cliptag.measure.movement.proposal import Proposal
from cliptag.measure.movement.repetitions import (
    Repetition,
    TimedTest,
    repetitions_of,
    set_repetitions,
    timed_tests,
)
from cliptag.measure.movement.sides import SideComparison, compare_sides
from cliptag.measure.movement.smoothness import smoothness_of
from cliptag.measure.movement.source import Source
from cliptag.measure.trajectories import Trajectories
from cliptag.measure.turned import USUAL_TURNS_DEG, turned_sentence
from cliptag.review import MOMENT_WORDS, MOMENTS_OF, Moment, MomentName, Movement


@dataclass(frozen=True, slots=True)
class Smoothness:
    """SPARC of one point over one part of a repetition."""

    repetition: int
    point: str
    start_us: int
    end_us: int
    sparc: Estimate


@dataclass(frozen=True, slots=True, eq=False)
class MovementReport:
    """Curves, moments, repetitions and descriptors of a clip.

    Moments are proposed, but for those that the coach has set (``Proposal.is_set``).
    ``missing`` holds one sentence for each thing that could not be told; ``turned`` the bounds for
    a movement turned from the camera, which no number above contains.
    """

    movement: Movement
    smoothed: Smoothed
    angles: Mapping[str, Curve]
    displacements: Mapping[str, Curve]
    repetitions: tuple[Repetition, ...]
    timed_tests: tuple[TimedTest, ...]
    descriptors: tuple[Descriptor, ...]
    smoothness: tuple[Smoothness, ...]
    sides: tuple[SideComparison, ...]
    missing: tuple[str, ...]
    turned: tuple[str, ...]

    @property
    def proposals(self) -> tuple[Proposal, ...]:
        """The moments of all repetitions, in order of time, the coach's among them."""
        every = (moment for repetition in self.repetitions for moment in repetition.moments)
        return tuple(sorted(every, key=lambda moment: moment.at_us))

    @property
    def curves(self) -> dict[str, Curve]:
        """Angles and displacements by name."""
        return {**self.angles, **self.displacements}


def measure_movement(
    trajectories: Trajectories,
    movement: Movement,
    cutoff_hz: float | None = None,
    longest_gap_us: int = LONGEST_GAP_US,
    confirmed: Sequence[Moment] = (),
) -> MovementReport:
    """Curves of whatever points there are, and what the movement's moments need as far as they go.

    ``cutoff_hz`` None takes it from residual analysis. ``confirmed`` are the moments that the coach
    set: they stand in place of what the curves propose. Raises MeasureError where nothing can be
    done: a single frame, an unknown facing, an unfit cut-off.
    """
    smoothed = smooth(trajectories, cutoff_hz, longest_gap_us)
    level = Level(smoothed)
    source = Source(level, angle_curves(level))
    missing: list[str] = []
    given = _given(source, confirmed, missing)
    repetitions = set_repetitions(source, movement, given)
    try:
        repetitions = repetitions_of(source, movement, given)
        if MOMENTS_OF[movement] and not repetitions:
            missing.append("The movement was not found in the clip: no repetition is proposed.")
    except MeasureError as error:
        missing.append(str(error))
    missing += _unfound(movement, repetitions)
    for repetition in repetitions:
        missing += out_of_order(repetition.moments)
    told, untold = describe(source, movement, repetitions)
    smooth_ones, rough = _smoothness(source, movement, repetitions)
    return MovementReport(
        movement=movement,
        smoothed=smoothed,
        angles=source.angles,
        displacements=displacement_curves(level),
        repetitions=repetitions,
        timed_tests=timed_tests(repetitions, movement, source.end_us),
        descriptors=told,
        smoothness=smooth_ones,
        sides=compare_sides(source),
        missing=tuple(dict.fromkeys([*missing, *untold, *rough])),
        turned=tuple(turned_sentence(turn) for turn in USUAL_TURNS_DEG),
    )


def _given(source: Source, confirmed: Sequence[Moment], missing: list[str]) -> list[Proposal]:
    """The coach's moments that lie in the clip; a sentence for each that doesn't."""
    given = []
    for moment in confirmed:
        if source.start_us <= moment.at_us <= source.end_us + source.frame_us:
            at_us = min(moment.at_us, int(source.end_us))
            given.append(as_set(replace(moment, at_us=at_us), source.frame_us))
        else:
            missing.append(
                f"{MOMENT_WORDS[moment.name]} is set at {moment.at_us / 1e6:.2f} s, outside the "
                "clip: set it anew."
            )
    return given


def _unfound(movement: Movement, repetitions: tuple[Repetition, ...]) -> list[str]:
    return [
        f"Repetition {repetition.number}: {name.replace('_', ' ')} could not be found."
        for repetition in repetitions
        for name in MOMENTS_OF[movement]
        if repetition.moment(name) is None
    ]


def _smoothness(
    source: Source, movement: Movement, repetitions: tuple[Repetition, ...]
) -> tuple[tuple[Smoothness, ...], list[str]]:
    ends: tuple[MomentName, MomentName]
    found: list[Smoothness] = []
    untold: list[str] = []
    for repetition in repetitions:
        for point, ends in _smooth_parts(source, movement):
            start_us, end_us = (repetition.at_us(name) for name in ends)
            if start_us is None or end_us is None or end_us <= start_us:
                continue
            try:
                value = smoothness_of(source.level, point, start_us, end_us)
            except MeasureError as error:
                untold.append(str(error))
                continue
            found.append(Smoothness(repetition.number, point, start_us, end_us, value))
    return tuple(found), untold


def _smooth_parts(
    source: Source, movement: Movement
) -> list[tuple[str, tuple[MomentName, MomentName]]]:
    """Which point's speed is looked at between which moments: one reaching-like bell each."""
    if movement == "sit_to_stand":
        return [("shoulder", ("first_lean", "upright"))]
    if movement == "bend":
        return [("shoulder", ("start", "deepest")), ("shoulder", ("deepest", "back_up"))]
    what = next((name for name in CARRIED if name in source.level), None)
    return [] if what is None else [(what, ("load_off", "upright"))]
