"""A comparison with what the view asks of it again and again; made in a thread, never changed."""

from __future__ import annotations

from dataclasses import dataclass

from cliptag.pairing import CommonAxis, Comparison, Pairing, SeenMarks, common_axis


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """Two reviews as they are laid out now."""

    comparison: Comparison
    axis: CommonAxis
    seen: SeenMarks


def lay(comparison: Comparison) -> Laid:
    """Everything that the view shows of a comparison."""
    return Laid(comparison, common_axis(comparison), SeenMarks(comparison))


def arrangement(pairing: Pairing) -> tuple[object, ...]:
    """All of a pairing that a comparison depends on: notes don't change it."""
    return (
        pairing.reviews,
        pairing.layout,
        pairing.match,
        pairing.from_moment,
        pairing.mirror,
        pairing.goals,
    )
