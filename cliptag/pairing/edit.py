"""Changes to a pairing: each takes one and gives another."""

from __future__ import annotations

from typing import Any

import msgspec

from cliptag.pairing.document import Direction, Pairing, PairingNote


def with_fields(pairing: Pairing, **fields: Any) -> Pairing:
    """Other choices of how both are set together: layout, match, from_moment, mirror."""
    return msgspec.structs.replace(pairing, **fields)


def swapped(pairing: Pairing) -> Pairing:
    """The last review first, and the first last."""
    first, *between, last = pairing.reviews
    return msgspec.structs.replace(pairing, reviews=(last, *between, first))


def with_goal(pairing: Pairing, name: str, goal: Direction | None) -> Pairing:
    """Which way a quantity should go; None: nothing is said of better or worse."""
    goals = {key: way for key, way in pairing.goals.items() if key != name}
    if goal is not None:
        goals[name] = goal
    return msgspec.structs.replace(pairing, goals=goals)


def with_note(pairing: Pairing, note: PairingNote, place: int | None = None) -> Pairing:
    """With a note, in place of number ``place`` if that is given; they stand in the axis' order.

    A note without words is none: it is taken away, or not added.
    """
    others = [n for number, n in enumerate(pairing.notes) if number != place]
    if note.text.strip():
        at = next((i for i, n in enumerate(others) if n.percent > note.percent), len(others))
        others.insert(at, note)
    return msgspec.structs.replace(pairing, notes=tuple(others))


def without_note(pairing: Pairing, place: int) -> Pairing:
    """Without note number ``place``."""
    kept = tuple(note for number, note in enumerate(pairing.notes) if number != place)
    return msgspec.structs.replace(pairing, notes=kept)
