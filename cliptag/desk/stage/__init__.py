"""The stage: the picture of the clip, and the marks drawn on it by hand."""

from cliptag.desk.stage.view import StageView
from cliptag.desk.stage.viewport import Viewport

__all__ = ["StageView", "Viewport"]
