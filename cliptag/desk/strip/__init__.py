"""The strip under the picture: the clip's time, its moments, notes and playhead on one axis."""

from cliptag.desk.strip.clock import parse_time, time_words
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.desk.strip.reading import Reading
from cliptag.desk.strip.reading_plan import ReadingPlan
from cliptag.desk.strip.scene import Lane, Scene
from cliptag.desk.strip.view import StripView

__all__ = [
    "FrameTimes",
    "Lane",
    "Reading",
    "ReadingPlan",
    "Scene",
    "StripView",
    "parse_time",
    "time_words",
]
