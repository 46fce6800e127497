"""Points that are followed through the clip: placing, showing and correcting them on the stage."""

from cliptag.desk.stage.points.asking import PointAsking
from cliptag.desk.stage.points.hand import PointHand
from cliptag.desk.stage.points.hints import missing_words, point_hints
from cliptag.desk.stage.points.layer import PointLayer
from cliptag.desk.stage.points.matching import names_for
from cliptag.desk.stage.points.model import PointModel
from cliptag.desk.stage.points.names import name_from, the, words_of
from cliptag.desk.stage.points.status import FollowingStatus

__all__ = [
    "FollowingStatus",
    "PointAsking",
    "PointHand",
    "PointLayer",
    "PointModel",
    "missing_words",
    "name_from",
    "names_for",
    "point_hints",
    "the",
    "words_of",
]
