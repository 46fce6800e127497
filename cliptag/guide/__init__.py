"""The shot guide: how a client should film, to be sent before the first clip."""

from cliptag.guide.steps import ShotGuide, Step, shot_guide
from cliptag.guide.writing import guide_page, write_guide

__all__ = ["ShotGuide", "Step", "guide_page", "shot_guide", "write_guide"]
