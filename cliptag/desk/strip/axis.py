"""The strip's time axis: which part of the clip is seen, and where each time of it lies."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

_CLOSEST_US: Final = 50_000
"""The shortest time that the whole width can show."""


@dataclass(frozen=True, slots=True)
class TimeAxis:
    """``shown_us`` of a clip, from ``start_us`` on, across ``width`` pixels that begin at ``left``.

    It never shows more than the clip, and never a time outside it.
    """

    duration_us: int
    left: float = 0.0
    width: float = 1.0
    start_us: float = 0.0
    shown_us: float = 0.0
    """0: all of the clip."""

    @property
    def length_us(self) -> float:
        """How much time is seen."""
        whole = float(max(1, self.duration_us))
        return min(self.shown_us, whole) if self.shown_us else whole

    @property
    def end_us(self) -> float:
        return self.start_us + self.length_us

    @property
    def us_per_px(self) -> float:
        return self.length_us / max(1.0, self.width)

    @property
    def shows_all(self) -> bool:
        return self.length_us >= self.duration_us

    def x_of(self, time_us: float) -> float:
        """Where a time lies; outside the width if it isn't seen."""
        return self.left + (time_us - self.start_us) / self.us_per_px

    def us_at(self, x: float) -> int:
        """The time at a place, within the clip."""
        return round(min(max(self.free_us_at(x), 0.0), float(self.duration_us)))

    def free_us_at(self, x: float) -> float:
        """The time at a place, also where the clip has none."""
        return self.start_us + (x - self.left) * self.us_per_px

    def laid(self, left: float, width: float) -> TimeAxis:
        """The same time across another width."""
        return replace(self, left=left, width=max(1.0, width))

    def zoomed(self, factor: float, about_x: float) -> TimeAxis:
        """Show ``factor`` times less; the time at ``about_x`` stays there."""
        whole = float(max(1, self.duration_us))
        length_us = min(max(self.length_us / factor, min(_CLOSEST_US, whole)), whole)
        if length_us >= whole:
            return self.whole()
        share = (about_x - self.left) / max(1.0, self.width)
        start_us = self.free_us_at(about_x) - share * length_us
        return replace(self, shown_us=length_us)._from(start_us)

    def whole(self) -> TimeAxis:
        """Show all of the clip."""
        return replace(self, start_us=0.0, shown_us=0.0)

    def scrolled_to(self, start_us: float) -> TimeAxis:
        """Begin at another time, as far as there is clip to show."""
        return self._from(start_us)

    def scrolled_px(self, by_px: float) -> TimeAxis:
        """Show what lies so many pixels later (or earlier)."""
        return self._from(self.start_us + by_px * self.us_per_px)

    def with_seen(self, time_us: float, margin: float = 0.08) -> TimeAxis:
        """Scroll as little as needed for a time to be seen, this share of the width from an end."""
        if self.shows_all:
            return self
        room_us = margin * self.length_us
        if time_us < self.start_us:
            return self._from(time_us - room_us)
        if time_us > self.end_us:
            return self._from(time_us + room_us - self.length_us)
        return self

    def _from(self, start_us: float) -> TimeAxis:
        latest_us = max(0.0, self.duration_us - self.length_us)
        return replace(self, start_us=min(max(start_us, 0.0), latest_us))
