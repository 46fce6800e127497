"""What every published method tells about itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

GUIDE: Final = (
    "This is a guide, not a diagnosis: licensed practice and the local rules for work come first."
)
"""Ends every meaning."""

HowKnown: TypeAlias = Literal["read", "quoted", "from memory"]
"""``read`` in a text that prints the method, ``quoted`` by another text, or ``from memory``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """A published method: where it comes from, what it needs, and where it ends.

    ``known`` says for each part of the method how its numbers are known.
    """

    key: str
    name: str
    source: str
    known: tuple[tuple[str, HowKnown], ...]
    inputs: tuple[str, ...]
    gives: str
    limits: tuple[str, ...]
    does_not_say: str
