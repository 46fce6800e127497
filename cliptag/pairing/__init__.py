"""Two reviews of one movement side by side, and what changed between them.

pairing = Pairing(reviews=("week01.review.json", "week10.review.json"))
export_pairing(pairing, "for-ines")

with compare_reviews(pairing) as comparison:
    for difference in comparison.differences:
        print(difference.words, difference.change, difference.verdict)

``PairClip`` is both clips as one clip, on the clock that both are played on; ``pairing_view``
gives the pictures of the video without a file.
"""

from cliptag.errors import PairingError
from cliptag.pairing import edit
from cliptag.pairing.align import Alignment, Knot
from cliptag.pairing.axis import AxisMoment, AxisPhase, CommonAxis, common_axis
from cliptag.pairing.comparison import Comparison, compare_reviews, compare_sides
from cliptag.pairing.differences import Difference
from cliptag.pairing.document import (
    LAYOUTS,
    SUFFIX,
    Direction,
    Layout,
    Match,
    Mirror,
    Pairing,
    PairingNote,
    load_pairing,
    save_pairing,
)
from cliptag.pairing.export import (
    PairingTakeHome,
    export_pairing,
    pairing_view,
    plan_pairing,
)
from cliptag.pairing.naming import pairing_in_order, pairing_of, pairing_path_of
from cliptag.pairing.normalised import CurvePair, NormalisedCurve
from cliptag.pairing.pair_clip import PairClip
from cliptag.pairing.placing import Placing, Similarity
from cliptag.pairing.quantities import Quantity
from cliptag.pairing.seen import SeenMarks, labels_of
from cliptag.pairing.sheet import Panel, Sheet
from cliptag.pairing.side import Side, measured_side, open_side
from cliptag.pairing.summary import Summary
from cliptag.pairing.telling import CHANCE_WORDS, MEANING_WORDS, ONCE_WORDS, Row, row_of
from cliptag.pairing.trend import Trend, TrendLine, trend_of
from cliptag.pairing.views import ViewWarning

__all__ = [
    "CHANCE_WORDS",
    "LAYOUTS",
    "MEANING_WORDS",
    "ONCE_WORDS",
    "SUFFIX",
    "Alignment",
    "AxisMoment",
    "AxisPhase",
    "CommonAxis",
    "Comparison",
    "CurvePair",
    "Difference",
    "Direction",
    "Knot",
    "Layout",
    "Match",
    "Mirror",
    "NormalisedCurve",
    "PairClip",
    "Pairing",
    "PairingError",
    "PairingNote",
    "PairingTakeHome",
    "Panel",
    "Placing",
    "Quantity",
    "Row",
    "SeenMarks",
    "Sheet",
    "Side",
    "Similarity",
    "Summary",
    "Trend",
    "TrendLine",
    "ViewWarning",
    "common_axis",
    "compare_reviews",
    "compare_sides",
    "edit",
    "export_pairing",
    "labels_of",
    "load_pairing",
    "measured_side",
    "open_side",
    "pairing_in_order",
    "pairing_of",
    "pairing_path_of",
    "pairing_view",
    "plan_pairing",
    "row_of",
    "save_pairing",
    "trend_of",
]
