"""Measured numbers in the client's language, and what each one means in plain words."""

from __future__ import annotations

from typing import Final

from cliptag.measure import Reading, rounded
from cliptag.review import Number
from cliptag.words import Words

MEANINGS: Final[dict[str, str]] = {
    "Knee flexion": "How far the knee is bent: 0° is straight.",
    "Hip flexion": "How far the thigh is bent towards the trunk: 0° is standing straight.",
    "Ankle dorsiflexion": (
        "How far the shin comes forward over the foot: 0° is a right angle, a minus sign means "
        "that the toes point away."
    ),
    "Elbow flexion": "How far the elbow is bent: 0° is straight.",
    "Shoulder flexion": "How far the arm is away from the trunk: 0° hangs along it.",
    "Angle": "The angle between the two lines at their common point.",
    "Angle between": "The angle between the two lines.",
    "Trunk tilt": "How far the trunk leans from the vertical: 0° is upright.",
    "Thigh tilt": "How far the thigh leans from the vertical: 0° is upright.",
    "Shank tilt": "How far the shin leans from the vertical: 0° is upright.",
    "Upper arm tilt": "How far the upper arm leans from the vertical: 0° is upright.",
    "Forearm tilt": "How far the forearm leans from the vertical: 0° is upright.",
    "Neck tilt": "How far the neck leans from the vertical: 0° is upright.",
    "Craniovertebral angle": (
        "The angle between the horizontal and the line from the base of the neck to the ear: the "
        "smaller it is, the further forward the head is held."
    ),
    "Gaze": "How far the eyes look above or below the horizontal.",
    "Tilt": "How far the line leans from the vertical: 0° is upright.",
    "Distance": "The straight distance between the two points.",
    "Across": "The level distance between the two points.",
    "Height": "The upright distance between the two points.",
}
"""By the English name of a reading."""

SENSES: Final = ("forward", "backward", "ahead", "behind", "above level", "below level", "to the right", "to the left")
UNITS: Final = ("°", "cm", "mm", "s", "ms", "%", "°/s", "% of picture height")


def reading_words(reading: Reading, words: Words) -> str:
    """Such as 'Knee flexion 92° ± 2°', as ``Reading.text`` has it in English."""
    value = abs(reading.value) if reading.sense else reading.value
    number = value_words(value, reading.sd, reading.unit, words)
    return _joined(words.term("quantity", reading.name), number, reading.sense, words)


def number_words(number: Number, words: Words) -> str:
    """A number of a note with its name; a name that the coach wrote stays as it is."""
    return _joined(
        words.term("quantity", number.words), number_value(number, words), number.sense, words
    )


def number_value(number: Number, words: Words) -> str:
    """The number alone, with its uncertainty."""
    value = abs(number.value) if number.sense else number.value
    return value_words(value, number.sd, number.unit, words)


def value_words(value: float, sd: float, unit: str, words: Words) -> str:
    """A value with its expanded uncertainty (k = 2): '92° ± 2°', '41,3 cm ± 0,4 cm'."""
    shown, expanded = rounded(value, sd)
    sign, _, of_what = unit.partition(" ")
    joined = sign if sign == "°" else f" {sign}" if sign else ""
    text = words.figures(f"{shown}{joined} ± {expanded}{joined}")
    return f"{text} {words.term('unit', of_what)}" if of_what else text


def meaning_of(name: str, words: Words) -> str:
    """What a quantity means, by its English name; nothing for one that is not known."""
    meaning = MEANINGS.get(name)
    return words.say(meaning) if meaning else ""


def _joined(name: str, number: str, sense: str, words: Words) -> str:
    if not sense:
        return words.say_as("measured", "{name} {number}", name=name, number=number)
    sense = words.term("direction", sense)
    return words.say_as(
        "measured", "{name} {number} {sense}", name=name, number=number, sense=sense
    )
