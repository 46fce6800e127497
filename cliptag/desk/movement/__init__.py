"""The followed movement on the desk: the page that tells of it, and what is done with it."""

from cliptag.desk.movement.page import MovementPage
from cliptag.desk.movement.steps import MovementSteps

__all__ = ["MovementPage", "MovementSteps"]
