"""A moment that the curves propose, or that the coach has confirmed or dragged."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from cliptag.review import MomentName

SET_BY_COACH: Final = "Set by the coach."
"""The reason of a moment that was confirmed or dragged."""

FRAME_SHARE: Final = 0.3
"""No instant is told better than this part of a frame, about 1/sqrt(12): between frames nothing
was seen."""


@dataclass(frozen=True, slots=True)
class Proposal:
    """A named instant on the clip's own clock.

    ``repetition`` counts from 1. ``sd_us`` is the standard uncertainty of ``at_us``, from placement
    noise and from the body's unrest where it should be still. ``confidence``, 0 to 1, falls with
    that uncertainty (a half at two frames) and where a stand-in was used; it is no probability.
    ``reason`` is one plain sentence; that of a moment which the coach set says so.
    """

    name: MomentName
    repetition: int
    at_us: int
    sd_us: int
    confidence: float
    reason: str

    @property
    def is_set(self) -> bool:
        """Whether the coach has confirmed or dragged it."""
        return self.reason == SET_BY_COACH


@dataclass(frozen=True, slots=True)
class Found:
    """An instant and how sure it is, before it has a name."""

    at_us: float
    sd_us: float
    confidence: float

    def named(self, name: MomentName, repetition: int, reason: str) -> Proposal:
        """As a proposal."""
        at_us, sd_us = max(0, round(self.at_us)), max(1, round(self.sd_us))
        return Proposal(name, repetition, at_us, sd_us, round(self.confidence, 2), reason)


def sharpness(sd_frames: float) -> float:
    """Confidence from an uncertainty in frames: 1 when there is none, a half at two frames."""
    return 1.0 / (1.0 + (sd_frames / 2.0) ** 2)
