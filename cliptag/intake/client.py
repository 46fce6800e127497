"""What can be seen of the client: how large, how whole, from which side, which way up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median
from typing import Final

import numpy as np

from cliptag.clip import Clip, Looks
from cliptag.cover import Face, faces_in
from cliptag.intake.finding import IntakeFinding, graded

HEIGHT_IN_FACES: Final = 10.5
"""How tall a person is in heights of the box that is found round the face (measured on the demo
clips and a few photos: 9.6 to 11.5)."""
LEAST_TO_FEET_IN_FACES: Final = 6.0
"""From the middle of the face to the feet of somebody who sits: never less (a sitting eye height
over the floor of 1.2 m or more, by a face of 0.17 m; common practice, no source)."""
CARE_HEIGHT_PX: Final = 800
AGAIN_HEIGHT_PX: Final = 400
SIDE_EYES: Final = 0.22
FRONT_EYES: Final = 0.29
_PICTURES: Final = 8
_SURE: Final = 0.45
_EDGE: Final = 0.005

_HEIGHT_WHY: Final = (
    "A thigh is a quarter of a person. Placed by 2.5 pixels at both ends, its direction is known "
    "to 1° from 800 pixels of height on, and to 2° from 400."
)
_WHOLE_WHY: Final = "A joint outside the picture can't be placed."
_SIDE_WHY: Final = (
    "Angles are measured in the plane of the picture; turned by 20° out of it, a trunk lean of 40° "
    "looks like 38°, and turned by 45° like 31°."
)
_UPRIGHT_WHY: Final = "Everything is measured from the true vertical."
_NOBODY_WHY: Final = "From behind, or with the face hidden, nothing can be told from it."


def findings_of_client(clip: Clip, looks: Looks) -> Iterator[IntakeFinding]:
    """From the largest face in a few pictures. Raises ClipError and CoverError."""
    indices = sorted({int(i) for i in np.linspace(0, len(clip) - 1, _PICTURES).round()})
    pictures = faces_in(clip, indices, _SURE)
    largest = [max(faces, key=lambda f: f.height * f.width) for faces in pictures if faces]
    if len(largest) * 3 < len(pictures):
        yield IntakeFinding(
            "client",
            "care",
            "No face was found: see yourself whether the client is whole and from the side.",
            _NOBODY_WHY,
        )
        return
    yield from _upright(largest)
    yield _height(largest)
    yield _whole(largest, clip.info.height, looks)
    yield _side(largest)


def _upright(faces: Sequence[Face]) -> Iterator[IntakeFinding]:
    turns = [face.crown_deg for face in faces]
    lying = [abs(turn) for turn in turns if 60 <= abs(turn) <= 120]
    if len(lying) > 0.7 * len(turns):
        yield IntakeFinding(
            "upright", "again", "The picture lies on its side.", _UPRIGHT_WHY, "upright"
        )


def _height(faces: Sequence[Face]) -> IntakeFinding:
    height = HEIGHT_IN_FACES * median(max(face.height, face.width) for face in faces)
    grade = graded(height, CARE_HEIGHT_PX, AGAIN_HEIGHT_PX)
    return IntakeFinding(
        "size of the client",
        grade,
        f"Standing, the client would be about {round(height, -1):.0f} pixels tall.",
        _HEIGHT_WHY,
        None if grade == "fine" else "nearer",
    )


def _whole(faces: Sequence[Face], picture_height: int, looks: Looks) -> IntakeFinding:
    head_out = sum(face.top < _EDGE * picture_height for face in faces)
    feet_out = sum(
        face.top + face.height / 2 + LEAST_TO_FEET_IN_FACES * face.height > picture_height
        for face in faces
        if abs(face.crown_deg) < 45
    )
    upright = sum(abs(face.crown_deg) < 45 for face in faces)
    cut = []
    if head_out * 4 >= len(faces) or "top" in looks.edges:
        cut.append("head")
    if upright and feet_out * 2 >= upright:
        cut.append("feet")
    if cut:
        sentence = f"The {' and '.join(cut)} can't be wholly in the picture."
        return IntakeFinding("whole client", "again", sentence, _WHOLE_WHY, "whole_body")
    if looks.edges:
        sentence = f"Something that moves reaches the {' and '.join(looks.edges)} edge."
        return IntakeFinding("whole client", "care", sentence, _WHOLE_WHY, "whole_body")
    return IntakeFinding(
        "whole client",
        "fine",
        "As far as can be told, the client is wholly in the picture.",
        _WHOLE_WHY,
    )


def _side(faces: Sequence[Face]) -> IntakeFinding:
    apart = median(face.eyes_apart for face in faces)
    grade = graded(apart, SIDE_EYES, FRONT_EYES)
    sentence = {
        "fine": "The client is seen from the side.",
        "care": "The client is turned a little out of the side view.",
        "again": "The client seems to face the camera rather than to stand side-on.",
    }[grade]
    return IntakeFinding("view", grade, sentence, _SIDE_WHY, None if grade == "fine" else "side")
