"""The moments that two reviews of one movement share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from cliptag.pairing.side import Side
from cliptag.review import MOMENTS_OF, MomentName

PLACED_FRAMES = 1.0
"""Standard uncertainty of a moment that a coach set, in frames (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class When:
    """A moment in one clip: its time, that time's standard uncertainty, and who says so."""

    at_us: int
    sd_us: int
    is_confirmed: bool


Moments: TypeAlias = Mapping[MomentName, When]
"""The moments of one repetition, in the order in which they happen."""


@dataclass(frozen=True, slots=True)
class SharedMoment:
    """A moment that both clips have."""

    name: MomentName
    first: When
    second: When

    @property
    def is_confirmed(self) -> bool:
        """Whether the coach set it in both."""
        return self.first.is_confirmed and self.second.is_confirmed


def repetitions_of(side: Side) -> dict[int, Moments]:
    """The moments of each repetition: those set in the review, else those the curves propose."""
    found: dict[int, dict[MomentName, When]] = {}
    if side.report is not None:
        for repetition in side.report.repetitions:
            for moment in repetition.moments:
                whens = found.setdefault(repetition.number, {})
                whens[moment.name] = When(moment.at_us, moment.sd_us, False)
    frame_us = _frame_us(side)
    for given in side.review.moments:
        when = When(given.at_us, round(PLACED_FRAMES * frame_us), True)
        found.setdefault(given.repetition, {})[given.name] = when
    order = MOMENTS_OF[side.review.movement]
    return {number: _in_order(found[number], order) for number in sorted(found)}


def shared_moments(first: Moments, second: Moments) -> tuple[SharedMoment, ...]:
    """What two repetitions share, in order; a moment out of order in either is left out."""
    shared: list[SharedMoment] = []
    for name, when in first.items():
        if name not in second:
            continue
        other = second[name]
        if shared and (
            when.at_us <= shared[-1].first.at_us or other.at_us <= shared[-1].second.at_us
        ):
            continue
        shared.append(SharedMoment(name, when, other))
    return tuple(shared)


def fullest(repetitions: Mapping[int, Moments]) -> Moments:
    """The first of the repetitions that have the most moments; empty where there is none."""
    best: Moments = {}
    for moments in repetitions.values():
        if len(moments) > len(best):
            best = moments
    return best


def _in_order(
    found: Mapping[MomentName, When], order: tuple[MomentName, ...]
) -> dict[MomentName, When]:
    return {name: found[name] for name in order if name in found}


def _frame_us(side: Side) -> float:
    return side.clip.duration_us / max(1, len(side.clip))
