"""Placed points followed through a clip: where each is on every frame, and how surely."""

from cliptag.measure.tracking.film import Film
from cliptag.measure.tracking.kept import TrackStore
from cliptag.measure.tracking.keys import Keys, Placement
from cliptag.measure.tracking.placement import placement_sd, sd_of_repeats
from cliptag.measure.tracking.run import track
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tracks import State, Tracks
from cliptag.measure.tracking.walk import Progress

__all__ = [
    "Film",
    "Keys",
    "Placement",
    "Progress",
    "Settings",
    "State",
    "TrackStore",
    "Tracks",
    "placement_sd",
    "sd_of_repeats",
    "track",
]
