"""Follows placed points through a clip."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from cliptag.measure.tracking.blend import Trail, blended
from cliptag.measure.tracking.film import Film
from cliptag.measure.tracking.kept import TrackStore
from cliptag.measure.tracking.keys import Keys, Placement, Stretch, checked, stretches_of
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tracks import State, Tracks
from cliptag.measure.tracking.walk import Clock, Progress, Walk


def track(
    film: Film,
    keys: Keys,
    *,
    settings: Settings | None = None,
    previous: Tracks | None = None,
    store: TrackStore | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Tracks:
    """Follow each placed point both ways through the whole clip.

    ``film`` is an open clip, ``keys`` the placements by the point's name: on their frames the
    points are exactly where they were placed. With the ``previous`` tracks of the same clip, only
    what lies next to a changed placement is followed anew; with a ``store``, nothing that is in
    it. May run on any thread; calls back on that one. Raises MeasureError for placements that
    can't be used, TrackingCancelled when ``is_cancelled`` turns true, and what the film raises.
    """
    settings = settings or Settings()
    placed = checked(keys, len(film))
    tracks = store.load(film, placed, settings) if store else None
    if tracks is None:
        tracks = _tracked(film, placed, settings, previous, Clock(progress, is_cancelled))
        if store:
            store.keep(film, tracks, settings)
    return tracks


def _tracked(
    film: Film,
    placed: dict[str, tuple[Placement, ...]],
    settings: Settings,
    previous: Tracks | None,
    clock: Clock,
) -> Tracks:
    count = len(film)
    stretches = {name: stretches_of(name, given, count) for name, given in placed.items()}
    known = _known(previous, count)
    fresh = [s for name in stretches for s in stretches[name] if s not in known]
    legs = [leg for stretch in fresh for leg in (stretch.up, stretch.down) if leg is not None]
    measured = [leg.start for leg in legs]
    measured += [p for name, given in placed.items() for p in given if (name, p) not in known]
    walk = Walk(film, legs, measured, settings)
    walk.run(clock)
    trails = {stretch: _followed(stretch, walk) for stretch in fresh} | known
    rows = {}
    for name, given in placed.items():
        parts: dict[int, Trail] = {s.first: trails[s] for s in stretches[name]}
        for p in given:
            parts[p.frame] = known.get((name, p)) or _placed(p, walk.placed_sds[p])
        rows[name] = [parts[first] for first in sorted(parts)]
    return Tracks(
        times_us=np.array(film.times_us, np.int64),
        points={name: np.concatenate([t.places for t in row]) for name, row in rows.items()},
        sd_px={name: np.sqrt(np.concatenate([t.var for t in row])) for name, row in rows.items()},
        states={name: np.concatenate([t.states for t in row]) for name, row in rows.items()},
        likeness={name: np.concatenate([t.likeness for t in row]) for name, row in rows.items()},
        keys=placed,
    )


def _followed(stretch: Stretch, walk: Walk) -> Trail:
    trails = [walk.trails[leg] for leg in (stretch.up, stretch.down) if leg is not None]
    return blended(trails[0], trails[1], walk.radius_px) if len(trails) == 2 else trails[0].whole()


def _placed(placement: Placement, sd_px: float) -> Trail:
    return Trail(
        places=np.array([[placement.x, placement.y]]),
        var=np.array([sd_px**2]),
        states=np.array([State.PLACED], np.uint8),
        likeness=np.ones(1),
        placed_sd=0.0,
    )


def _known(previous: Tracks | None, count: int) -> dict[Stretch | tuple[str, Placement], Trail]:
    """What can be taken over: stretches, and placements by point and place."""
    known: dict[Stretch | tuple[str, Placement], Trail] = {}
    if previous is None or len(previous.times_us) != count:
        return known
    for name, given in previous.keys.items():
        for stretch in stretches_of(name, given, count):
            known[stretch] = _cut_out(previous, name, slice(stretch.first, stretch.last + 1))
        for placement in given:
            part = slice(placement.frame, placement.frame + 1)
            known[name, placement] = _cut_out(previous, name, part)
    return known


def _cut_out(tracks: Tracks, name: str, part: slice) -> Trail:
    return Trail(
        places=tracks.points[name][part],
        var=tracks.sd_px[name][part] ** 2,
        states=tracks.states[name][part],
        likeness=tracks.likeness[name][part],
        placed_sd=0.0,
    )
