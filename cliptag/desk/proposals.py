"""The moments that a followed movement proposes and the coach has not confirmed yet."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from cliptag.measure import COVERAGE_FACTOR
from cliptag.review import MOMENT_WORDS, Moment, MomentName, Review, edit

if TYPE_CHECKING:
    from cliptag.measure import MovementReport, Proposal


def open_proposals(review: Review, report: MovementReport | None) -> tuple[Proposal, ...]:
    """What a report proposes of the review's movement, less the moments that are set."""
    if report is None or report.movement != review.movement:
        return ()
    known = {(moment.name, moment.repetition) for moment in review.moments}
    return tuple(p for p in report.proposals if (p.name, p.repetition) not in known)


def confirmed(review: Review, proposal: Proposal, at_us: int) -> Review:
    """The review with a proposed moment set, on the frame that is shown at ``at_us``."""
    return edit.with_moment(review, proposal.name, at_us, proposal.repetition)


def confidence_words(proposal: Proposal) -> str:
    """'Confidence 80 of 100, within ± 0.07 s'."""
    within_s = COVERAGE_FACTOR * proposal.sd_us / 1e6
    return f"Confidence {100 * proposal.confidence:.0f} of 100, within ± {within_s:.2f} s"


def are_several(moments: Iterable[Moment | Proposal]) -> bool:
    """Whether there is more than one repetition, so that a moment's name alone isn't enough."""
    return any(moment.repetition > 1 for moment in moments)


def moment_title(name: MomentName, repetition: int, *, is_one_of_several: bool) -> str:
    """'Seat off', or 'Seat off 2' where there are several repetitions."""
    words = MOMENT_WORDS[name]
    return f"{words} {repetition}" if is_one_of_several else words
