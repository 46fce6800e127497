"""Is a clip good enough to measure from, and what should the client be asked for? No Qt.

intake = intake_of(clip)
intake.grade                 # 'fine', 'care' or 'again'
intake.message(words, "Ines")
"""

from cliptag.intake.check import Intake, intake_of
from cliptag.intake.finding import GRADE_WORDS, Grade, IntakeFinding

__all__ = ["GRADE_WORDS", "Grade", "Intake", "IntakeFinding", "intake_of"]
