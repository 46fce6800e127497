"""Drawing with QPainter: marks, captions and cards, the same for the screen and the export.

Call ``ensure_painter_ready`` once before anything else. Importing this room raises CliptagError
when a system library that Qt needs is missing.
"""

from cliptag.paint._qt import require_qt

require_qt()

from cliptag.paint.captions import (  # noqa: E402 - Qt may be missing
    CaptionText,
    caption_box,
    caption_heading,
    line_fits,
    paint_caption,
    text_width_px,
)
from cliptag.paint.closing_card import ClosingText, Exercise, closing_card  # noqa: E402
from cliptag.paint.colours import KIND_COLOURS, kind_colour, mark_colour  # noqa: E402
from cliptag.paint.dates import day_words  # noqa: E402
from cliptag.paint.guide_sheet import GuideStep, GuideText, write_guide_sheet  # noqa: E402
from cliptag.paint.lever_arm import (  # noqa: E402
    TALL,
    WIDE,
    Bar,
    LeverArm,
    LeverArmText,
    lever_arm,
)
from cliptag.paint.lever_arm_figure import At, Figure  # noqa: E402
from cliptag.paint.line_plot import LinePlot, Series, paint_line_plot, tick_words  # noqa: E402
from cliptag.paint.marks import (  # noqa: E402
    LabelSpot,
    ShownMark,
    label_boxes,
    mark_box,
    marks_box,
    paint_mark,
    paint_marks,
)
from cliptag.paint.overlay import Overlay, PaintedBox, paint_overlay, rgba_of  # noqa: E402
from cliptag.paint.pair_page import PairPage, write_pair_pdf  # noqa: E402
from cliptag.paint.panel_labels import PanelLabel, panel_labels  # noqa: E402
from cliptag.paint.ready import ensure_painter_ready  # noqa: E402
from cliptag.paint.shapes import KIND_SHAPES, paint_kind, shape_path  # noqa: E402
from cliptag.paint.sizes import Sizes  # noqa: E402
from cliptag.paint.steady import steady_spots  # noqa: E402
from cliptag.paint.summary import SummaryFinding, SummaryText, write_summary  # noqa: E402
from cliptag.paint.time_left import time_left_line  # noqa: E402
from cliptag.paint.title_card import TitleText, title_card  # noqa: E402
from cliptag.paint.vector import kind_svg_path  # noqa: E402

__all__ = [
    "KIND_COLOURS",
    "KIND_SHAPES",
    "TALL",
    "WIDE",
    "At",
    "Bar",
    "CaptionText",
    "ClosingText",
    "Exercise",
    "Figure",
    "GuideStep",
    "GuideText",
    "LabelSpot",
    "LeverArm",
    "LeverArmText",
    "LinePlot",
    "Overlay",
    "PaintedBox",
    "PairPage",
    "PanelLabel",
    "Series",
    "ShownMark",
    "Sizes",
    "SummaryFinding",
    "SummaryText",
    "TitleText",
    "caption_box",
    "caption_heading",
    "closing_card",
    "day_words",
    "ensure_painter_ready",
    "kind_colour",
    "kind_svg_path",
    "label_boxes",
    "lever_arm",
    "line_fits",
    "mark_box",
    "mark_colour",
    "marks_box",
    "paint_caption",
    "paint_kind",
    "paint_line_plot",
    "paint_mark",
    "paint_marks",
    "paint_overlay",
    "panel_labels",
    "rgba_of",
    "shape_path",
    "steady_spots",
    "text_width_px",
    "tick_words",
    "time_left_line",
    "title_card",
    "write_guide_sheet",
    "write_pair_pdf",
    "write_summary",
]
