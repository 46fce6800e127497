"""The words a review is made of: regions, kinds, movements and their moments."""

from __future__ import annotations

from typing import Final, Literal

Region = Literal[
    "whole",
    "feet",
    "ankles",
    "knees",
    "hips",
    "pelvis",
    "low_back",
    "mid_back",
    "shoulders",
    "arms",
    "wrists",
    "neck",
    "head",
    "gaze",
    "seat",
    "back_support",
    "armrests",
    "desk",
    "screen",
    "load",
    "floor",
    "footwear",
]

Kind = Literal["seen", "good", "try", "exercise", "care"]

Movement = Literal["sit_to_stand", "bend", "lift", "sitting", "standing", "other"]

MomentName = Literal[
    "first_lean",
    "seat_off",
    "upright",
    "settled",
    "start",
    "deepest",
    "back_up",
    "grip",
    "load_off",
    "passing_knees",
    "set_down",
]

BODY_REGIONS: Final[tuple[Region, ...]] = (
    "feet",
    "ankles",
    "knees",
    "hips",
    "pelvis",
    "low_back",
    "mid_back",
    "shoulders",
    "arms",
    "wrists",
    "neck",
    "head",
    "gaze",
)
"""The climb: the body from the ground up."""

SURROUNDING_REGIONS: Final[tuple[Region, ...]] = (
    "seat",
    "back_support",
    "armrests",
    "desk",
    "screen",
    "load",
    "floor",
    "footwear",
)

CLIMB: Final[tuple[Region, ...]] = ("whole", *BODY_REGIONS, *SURROUNDING_REGIONS)
"""Every region in the order in which a review is gone through."""

MOMENTS_OF: Final[dict[Movement, tuple[MomentName, ...]]] = {
    "sit_to_stand": ("first_lean", "seat_off", "upright", "settled"),
    "bend": ("start", "deepest", "back_up"),
    "lift": ("grip", "load_off", "passing_knees", "upright", "set_down"),
    "sitting": (),
    "standing": (),
    "other": (),
}
"""The moments of each movement, in the order in which they happen."""

REGION_WORDS: Final[dict[Region, str]] = {
    "whole": "Overall",
    "feet": "Feet",
    "ankles": "Ankles",
    "knees": "Knees",
    "hips": "Hips",
    "pelvis": "Pelvis",
    "low_back": "Low back",
    "mid_back": "Mid back",
    "shoulders": "Shoulders",
    "arms": "Arms",
    "wrists": "Wrists",
    "neck": "Neck",
    "head": "Head",
    "gaze": "Gaze",
    "seat": "Seat",
    "back_support": "Back support",
    "armrests": "Armrests",
    "desk": "Desk",
    "screen": "Screen",
    "load": "Load",
    "floor": "Floor",
    "footwear": "Footwear",
}

KIND_WORDS: Final[dict[Kind, str]] = {
    "seen": "What I see",
    "good": "Keep this",
    "try": "Try this",
    "exercise": "Exercise",
    "care": "Take care",
}

MOVEMENT_WORDS: Final[dict[Movement, str]] = {
    "sit_to_stand": "Sitting down and standing up",
    "bend": "Bending",
    "lift": "Lifting",
    "sitting": "Sitting",
    "standing": "Standing",
    "other": "Movement",
}

MOMENT_WORDS: Final[dict[MomentName, str]] = {
    "first_lean": "First lean",
    "seat_off": "Seat off",
    "upright": "Upright",
    "settled": "Settled",
    "start": "Start",
    "deepest": "Deepest",
    "back_up": "Back up",
    "grip": "Grip",
    "load_off": "Load off",
    "passing_knees": "Passing the knees",
    "set_down": "Set down",
}
