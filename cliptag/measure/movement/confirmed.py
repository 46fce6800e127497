"""Moments that the coach has set, put in place of those that the curves propose.

What the coach has seen comes first: a proposal of the same repetition that contradicts it, because
it would come before what must precede it, is dropped. A repetition that no curve proposes is made
of the coach's moments alone.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from cliptag.measure.movement.proposal import FRAME_SHARE, SET_BY_COACH, Proposal
from cliptag.review import MOMENT_WORDS, MOMENTS_OF, Moment, MomentName, Movement

Moments = dict[MomentName, Proposal]


def as_set(moment: Moment, frame_us: float) -> Proposal:
    """A coach's moment. It is taken as meant: all that is unsure of it is a part of a frame."""
    sd_us = max(1, round(FRAME_SHARE * frame_us))
    return Proposal(moment.name, moment.repetition, moment.at_us, sd_us, 1.0, SET_BY_COACH)


def with_set(
    proposed: Sequence[Proposal], given: Sequence[Proposal], movement: Movement
) -> list[Proposal]:
    """The moments of one repetition in order: the coach's, and what agrees with them."""
    order = MOMENTS_OF[movement]
    by_name: Moments = {moment.name: moment for moment in given}
    for moment in proposed:
        if moment.name not in by_name and all(_agree(moment, one, order) for one in given):
            by_name[moment.name] = moment
    return [by_name[name] for name in order if name in by_name]


def out_of_order(moments: Sequence[Proposal]) -> list[str]:
    """A sentence for each two moments of one repetition that stand in the wrong order."""
    return [
        f"Repetition {one.repetition}: {MOMENT_WORDS[then.name].lower()} is set before "
        f"{MOMENT_WORDS[one.name].lower()}, so that nothing between them is measured: drag one."
        for one, then in itertools.pairwise(moments)
        if then.at_us < one.at_us
    ]


def _agree(proposed: Proposal, given: Proposal, order: Sequence[MomentName]) -> bool:
    comes_first = order.index(proposed.name) < order.index(given.name)
    return proposed.at_us <= given.at_us if comes_first else proposed.at_us >= given.at_us
