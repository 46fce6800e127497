"""Which descriptors belong to which movement, and at which of its moments they are read."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.movement import descriptors as say
from cliptag.measure.movement.descriptors import Descriptor
from cliptag.measure.movement.repetitions import Repetition
from cliptag.measure.movement.source import Source
from cliptag.review import MomentName, Movement

_Told = Callable[[], Descriptor]


def describe(
    source: Source, movement: Movement, repetitions: tuple[Repetition, ...]
) -> tuple[tuple[Descriptor, ...], tuple[str, ...]]:
    """All descriptors of a movement, and a sentence for each that can't be told."""
    wanted: list[_Told] = []
    for repetition in repetitions:
        if movement == "sit_to_stand":
            wanted += _of_rise(source, repetition)
        elif movement == "bend":
            wanted += _of_bend(source, repetition)
        elif movement == "lift":
            wanted += _of_lift(source, repetition)
    if movement in ("standing", "sitting"):
        wanted += _of_posture(source, movement)
    told: list[Descriptor] = []
    untold: list[str] = []
    for tell in wanted:
        try:
            told.append(tell())
        except MeasureError as error:
            untold.append(str(error))
    return tuple(told), tuple(dict.fromkeys(untold))


def _of_rise(source: Source, repetition: Repetition) -> list[_Told]:
    number, at = repetition.number, repetition.at_us
    start, off, up = at("first_lean"), at("seat_off"), at("upright")
    told: list[_Told] = []
    if start is not None:
        told.append(lambda: say.head_ahead_of_shoulder(source, number, start))
    if start is not None and up is not None:
        told += _of_stretch(source, number, start, up)
    if off is not None:
        told.append(lambda: say.feet_ahead_of_knees(source, number, off))
    if off is not None and up is not None:
        told.append(lambda: say.hip_share(source, number, off, up))
        told.append(lambda: say.hip_lead(source, number, off, up))
    return told + _of_standing(source, repetition, "settled")


def _of_bend(source: Source, repetition: Repetition) -> list[_Told]:
    number, at = repetition.number, repetition.at_us
    start, deepest, back = at("start"), at("deepest"), at("back_up")
    told: list[_Told] = []
    if start is not None:
        told.append(lambda: say.head_ahead_of_shoulder(source, number, start))
    if start is not None and deepest is not None:
        told += _of_stretch(source, number, start, back or deepest)
        told.append(lambda: say.hip_share(source, number, start, deepest))
        told.append(lambda: say.hip_lead(source, number, start, deepest))
    return told + _of_standing(source, repetition, "back_up")


def _of_lift(source: Source, repetition: Repetition) -> list[_Told]:
    number, at = repetition.number, repetition.at_us
    off, up = at("load_off"), at("upright")
    told: list[_Told] = []
    if off is not None:
        told.append(lambda: say.load_to_low_back(source, number, off))
    if off is not None and up is not None:
        told += _of_stretch(source, number, off, up)
        told.append(lambda: say.hip_share(source, number, off, up))
        told.append(lambda: say.hip_lead(source, number, off, up))
    return told + _of_standing(source, repetition, "upright")


def _of_stretch(source: Source, number: int, start_us: int, end_us: int) -> list[_Told]:
    return [
        lambda: say.peak_trunk_lean(source, number, start_us, end_us),
        lambda: say.knee_over_toe(source, number, start_us, end_us),
        lambda: say.low_back_rounding(source, number, start_us, end_us),
    ]


def _of_standing(source: Source, repetition: Repetition, name: MomentName) -> list[_Told]:
    at_us = repetition.at_us(name)
    return [] if at_us is None else _plumb(source, repetition.number, at_us)


def _of_posture(source: Source, movement: Movement) -> list[_Told]:
    """A posture is read in the middle of the clip."""
    times = source.level.trajectories.times_us
    at_us = int(times[int(np.searchsorted(times, (times[0] + times[-1]) / 2))])
    told: list[_Told] = [lambda: say.head_ahead_of_shoulder(source, 0, at_us)]
    if movement == "sitting":
        return [*told, lambda: say.feet_ahead_of_knees(source, 0, at_us)]
    return told + _plumb(source, 0, at_us)


def _plumb(source: Source, number: int, at_us: int) -> list[_Told]:
    def told(name: str) -> _Told:
        return lambda: say.plumb_offset(source, number, at_us, name)

    return [told(name) for name in ("ear", "shoulder", "hip")]
