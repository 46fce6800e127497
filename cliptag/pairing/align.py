"""The common axis of two clips: which instants of both belong together.

Three clocks meet here: each clip's own, the *pair's* clock, on which both are played together, and
the common axis, 0 to 100 % from the first shared moment to the last. All maps between them are
straight between knots and continuous. On the axis a moment between the ends stands at the mean of
its places in both (piecewise linear length normalization; Helwig et al., J Biomech 2011;44:376).
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import PairingError
from cliptag.pairing.document import Match
from cliptag.pairing.moments import SharedMoment
from cliptag.pairing.wording import basis_words, match_words
from cliptag.review import MomentName
from cliptag.words import ENGLISH

Floats = NDArray[np.float64]
Basis = Literal["confirmed", "proposed", "mixed", "none"]

LEAD_US: Final = 1_000_000
"""What is shown of both before the first shared moment, and after the last."""
_MOST_FPS: Final = 60.0
_LEAST_FPS: Final = 10.0


@dataclass(frozen=True, slots=True)
class Knot:
    """A shared moment on all clocks; ``name`` is None at the ends of clips without moments.

    ``out_us`` is where the pair's clock shows it: in both where they are matched by moments, at
    true speed in the first.
    """

    name: MomentName | None
    percent: float
    out_us: int
    first_us: int
    second_us: int


@dataclass(frozen=True, slots=True, eq=False)
class Alignment:
    """How two clips are played together.

    ``out_us``, ``first_us`` and ``second_us`` (K,) are places of the three clocks that belong
    together; what lies between is straight, and a clip that is not running shows its first or last
    frame. ``basis`` tells who named the moments.
    """

    match: Match
    basis: Basis
    from_moment: MomentName | None
    knots: tuple[Knot, ...]
    out_us: Floats
    first_us: Floats
    second_us: Floats
    times_us: NDArray[np.int64]
    """(N,) when each picture of the pair is shown; every knot is among them."""
    duration_us: int

    def sides_at(self, out_us: int) -> tuple[int, int]:
        """What both clips show at a time of the pair's clock, each on its own."""
        first = float(np.interp(out_us, self.out_us, self.first_us))
        second = float(np.interp(out_us, self.out_us, self.second_us))
        return round(first), round(second)

    def percent_of(self, which: int, at_us: float) -> float:
        """Where a time of clip 0 or 1 lies on the common axis; below 0 and above 100 outside."""
        own = [knot.second_us if which else knot.first_us for knot in self.knots]
        percents = [knot.percent for knot in self.knots]
        if at_us < own[0]:
            return 100.0 * (at_us - own[0]) / (own[-1] - own[0])
        if at_us > own[-1]:
            return 100.0 + 100.0 * (at_us - own[-1]) / (own[-1] - own[0])
        return float(np.interp(at_us, own, percents))

    def out_at_percent(self, percent: float) -> int:
        """The pair's time of a place on the common axis, on one of its pictures."""
        percents = [knot.percent for knot in self.knots]
        at = float(np.interp(percent, percents, [knot.out_us for knot in self.knots]))
        return int(self.times_us[int(np.abs(self.times_us - at).argmin())])

    @property
    def words(self) -> str:
        """How both are matched, in a few English words."""
        return match_words(self, ENGLISH)

    @property
    def basis_words(self) -> str:
        """In an English sentence, who named the moments that both are matched by."""
        return basis_words(self, ENGLISH)


def align(
    shared: Sequence[SharedMoment],
    durations_us: tuple[int, int],
    fps: tuple[float, float],
    match: Match = "moments",
    from_moment: MomentName | None = None,
) -> Alignment:
    """Match two clips by the moments they share; without two, from their starts to their ends.

    ``fps`` are the clips' usual rates, 0 for a photo. Matched by moments, each phase lasts as long
    as in the slower of the two, so that nothing is hurried. Raises PairingError when
    ``from_moment`` isn't shared.
    """
    rate = min(max(*fps, _LEAST_FPS), _MOST_FPS)
    if from_moment is not None and all(m.name != from_moment for m in shared):
        have = ", ".join(m.name for m in shared) or "none"
        raise PairingError(
            f"The moment {from_moment} is not known in both reviews: set it there, or choose one "
            f"of those that are ({have})."
        )
    if len(shared) < 2 and not (match == "true_speed" and shared):
        return _whole(durations_us, fps, rate, match)
    basis = _basis(shared)
    if match == "moments":
        return _by_moments(shared, durations_us, rate, basis)
    return _true_speed(shared, durations_us, rate, basis, from_moment or shared[0].name)


def _by_moments(
    shared: Sequence[SharedMoment], durations_us: tuple[int, int], rate: float, basis: Basis
) -> Alignment:
    first = [m.first.at_us for m in shared]
    second = [m.second.at_us for m in shared]
    lead = min(LEAD_US, first[0], second[0])
    tail = max(0, min(LEAD_US, durations_us[0] - first[-1], durations_us[1] - second[-1]))
    phases = np.maximum(np.diff(first), np.diff(second))
    out = lead + np.concatenate([[0], np.cumsum(phases)])
    percents = _percents(first, second)
    knots = tuple(
        Knot(m.name, percent, int(at), m.first.at_us, m.second.at_us)
        for m, percent, at in zip(shared, percents, out, strict=True)
    )
    edges = [0, *map(int, out), int(out[-1]) + tail]
    return Alignment(
        match="moments",
        basis=basis,
        from_moment=None,
        knots=knots,
        out_us=np.array(edges, np.float64),
        first_us=np.array([first[0] - lead, *first, first[-1] + tail], np.float64),
        second_us=np.array([second[0] - lead, *second, second[-1] + tail], np.float64),
        times_us=_times(edges, rate),
        duration_us=max(edges[-1], 1),
    )


def _true_speed(
    shared: Sequence[SharedMoment],
    durations_us: tuple[int, int],
    rate: float,
    basis: Basis,
    from_moment: MomentName,
) -> Alignment:
    at = next(m for m in shared if m.name == from_moment)
    firsts, seconds = at.first.at_us, at.second.at_us
    before = max(
        min(firsts, firsts - shared[0].first.at_us + LEAD_US),
        min(seconds, seconds - shared[0].second.at_us + LEAD_US),
    )
    after = max(
        min(durations_us[0] - firsts, shared[-1].first.at_us - firsts + LEAD_US),
        min(durations_us[1] - seconds, shared[-1].second.at_us - seconds + LEAD_US),
    )
    percents = _percents([m.first.at_us for m in shared], [m.second.at_us for m in shared])
    knots = tuple(
        Knot(m.name, percent, before + m.first.at_us - firsts, m.first.at_us, m.second.at_us)
        for m, percent in zip(shared, percents, strict=True)
    )
    edges = sorted({0, before, before + after, *(k.out_us for k in knots)})
    ends = np.array([0, before + after], np.float64)
    return Alignment(
        match="true_speed",
        basis=basis,
        from_moment=from_moment,
        knots=knots,
        out_us=ends,
        first_us=ends - before + firsts,
        second_us=ends - before + seconds,
        times_us=_times(edges, rate),
        duration_us=max(before + after, 1),
    )


def _whole(
    durations_us: tuple[int, int], fps: tuple[float, float], rate: float, match: Match
) -> Alignment:
    """Clips without shared moments: each from its start to its end; a photo stands."""
    is_still = fps == (0.0, 0.0)
    lengths = [d for d, f in zip(durations_us, fps, strict=True) if f] or list(durations_us)
    longest = max(lengths)
    spans = durations_us if match == "moments" else (longest, longest)
    edges = [0, longest]
    return Alignment(
        match=match,
        basis="none",
        from_moment=None,
        knots=(
            Knot(None, 0.0, 0, 0, 0),
            Knot(None, 100.0, longest, spans[0], spans[1]),
        ),
        out_us=np.array(edges, np.float64),
        first_us=np.array([0, spans[0]], np.float64),
        second_us=np.array([0, spans[1]], np.float64),
        times_us=np.zeros(1, np.int64) if is_still else _times(edges, rate),
        duration_us=longest,
    )


def _percents(first: Sequence[int], second: Sequence[int]) -> list[float]:
    if len(first) == 1:
        return [0.0]
    places = [[100.0 * (at - own[0]) / (own[-1] - own[0]) for at in own] for own in (first, second)]
    return [(a + b) / 2 for a, b in zip(*places, strict=True)]


def _times(edges: Sequence[int], rate: float) -> NDArray[np.int64]:
    """Even steps between the edges, which are all among them but the last, the end."""
    times: list[int] = []
    for start, end in itertools.pairwise(edges):
        steps = max(1, round((end - start) * rate / 1e6)) if end > start else 0
        times += [start + (end - start) * k // steps for k in range(steps)]
    return np.array(times or [0], np.int64)


def _basis(shared: Sequence[SharedMoment]) -> Basis:
    confirmed = [m.is_confirmed for m in shared]
    return "confirmed" if all(confirmed) else "mixed" if any(confirmed) else "proposed"
