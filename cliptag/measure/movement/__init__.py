"""Moments, repetitions and descriptors of a movement, from its curves. No Qt, no media.

``measure_movement`` is the one way in. Its moments are proposals: the coach confirms or drags.
"""

from cliptag.measure.movement.descriptors import Descriptor
from cliptag.measure.movement.proposal import Proposal
from cliptag.measure.movement.record import MovementRecord, movement_json, movement_record
from cliptag.measure.movement.repetitions import Phase, Repetition, TimedTest
from cliptag.measure.movement.report import MovementReport, Smoothness, measure_movement
from cliptag.measure.movement.sides import SideComparison
from cliptag.measure.movement.smoothness import sparc

__all__ = [
    "Descriptor",
    "MovementRecord",
    "MovementReport",
    "Phase",
    "Proposal",
    "Repetition",
    "SideComparison",
    "Smoothness",
    "TimedTest",
    "measure_movement",
    "movement_json",
    "movement_record",
    "sparc",
]
