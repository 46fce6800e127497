"""Measured numbers in the client's language, and what each one means in plain words."""

from __future__ import annotations

import re
from typing import Final

import msgspec

from cliptag.measure import UNCERTAINTY_WORDS, Reading, rounded
from cliptag.review import Number, Review
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
    "Trunk lean": "How far the trunk leans from the vertical: 0° is upright.",
    "Low back rounds by": "How much rounder the low back gets from its flattest on.",
    "Load from the low back": "The further the load is from the back, the harder the back works.",
    "Hip's share of the movement": "How much of the bending comes from the hip, not the knee.",
    "Between hip and knee": "Which of the two is half-way first, and by how much time.",
    "Ear from the shoulder": "How far the head is held in front of the shoulder.",
    "Knee from the toe": "How far the knee is over the tip of the foot at its furthest.",
    "Feet from the knees": "Where the feet stand, seen from the knees.",
    "Ear from the plumb line": "How far the ear is off the vertical over the ankle.",
    "Shoulder from the plumb line": "How far the shoulder is off the vertical over the ankle.",
    "Hip from the plumb line": "How far the hip is off the vertical over the ankle.",
}
"""By the English name of a reading, or the first part of a note's number's."""

DIRECTIONS: Final = (
    *("forward", "backward", "above level", "below level", "to the right", "to the left"),
    *("in front", "ahead", "behind", "upward", "downward", "beyond the toe", "behind the toe"),
    *("hip first", "knee first", "more at the right", "more at the left"),
)
UNITS: Final = ("of picture height", "times")
PARTS: Final = (
    *("at most", "at least", "range", "rate", "left against right", "Left", "Right"),
    *("half-way", "to the toe", "Ear-eye line", "Mid-back rounding", "Low-back rounding"),
    *("Five times up from the chair", "Up from the chair in 30 s"),
    *("Time for the whole movement", "Time for leaning forward", "Time for rising"),
    *("Time for shifting weight onto the feet", "Time for straightening up", "Time for settling"),
    *("Time for going down", "Time for coming up", "Time for taking hold"),
    *("Time for from the floor to the knees", "Time for from the knees to upright"),
    "Time for holding and setting down",
)
"""What a quantity's name is put together with."""
POINTS: Final = (
    *("Ear", "Eye", "Shoulder", "Elbow", "Wrist", "Hip", "Knee", "Ankle", "Heel", "Toe", "Load"),
)
"""Those that are followed usually; others are the coach's own words."""

_JOINTS: Final = re.compile(r"(, |: )")
_SECOND: Final = "s"


def reading_words(reading: Reading, words: Words) -> str:
    """Such as 'Knee flexion 92° ± 2°', as ``Reading.text`` has it in English."""
    name = words.term("quantity", reading.name)
    return words.say_as(
        "measured", "{name} {value}", name=name, value=reading_value(reading, words)
    )


def reading_value(reading: Reading, words: Words) -> str:
    """The number alone, with its uncertainty and the way it goes."""
    return value_words(reading.value, reading.sd, reading.unit, reading.sense, words)


def number_words(number: Number, words: Words) -> str:
    """A number of a note: 'Trunk lean, at most: 48° ± 2° forward'."""
    name, value = number_name(number, words), number_value(number, words)
    return words.say_as("measured", "{name}: {value}", name=name, value=value)


def number_name(number: Number, words: Words) -> str:
    """What a note's number is called; a name that the coach wrote stays as it is."""
    said = number.words.strip() or number.name.replace("_", " ").capitalize()
    name = quantity_words(said, words)
    if number.repetition is None or number.repetition == 1:
        return name
    return words.say("{quantity}, repetition {number}", quantity=name, number=number.repetition)


def quantity_words(said: str, words: Words) -> str:
    """A quantity's English name, such as 'Trunk lean, at most', in another language."""
    return "".join(_part(part, words) for part in _JOINTS.split(said))


def _part(part: str, words: Words) -> str:
    if part in PARTS:  # 'Time for leaning forward' is no point that goes forward
        return words.term("quantity", part)
    point, _, way = part.rpartition(" ")
    if point and way == "forward":
        return words.say_as("way of a point", "{point} forward", point=words.term("point", point))
    if point and way == "up":
        return words.say_as("way of a point", "{point} up", point=words.term("point", point))
    return words.term("quantity", part)


def number_value(number: Number, words: Words) -> str:
    """A note's number alone; parts of a second are told in milliseconds, as on the desk."""
    if number.unit == _SECOND and abs(number.value) < 1.0:
        number = msgspec.structs.replace(
            number, value=1000.0 * number.value, sd=1000.0 * number.sd, unit="ms"
        )
    return value_words(number.value, number.sd, number.unit, number.sense, words)


def value_words(
    value: float, sd: float, unit: str, sense: str, words: Words, sign: str = ""
) -> str:
    """A value with its uncertainty (k = 2), in its own unit, and the way it goes.

    ``sign`` stands before it, such as the plus of a change.
    """
    value = abs(value) if sense else value
    if sd > 0:
        amount = _value(value, sd, unit, words, sign)
    else:  # counted
        amount = _with_unit(words.figures(f"{sign}{value:g}"), unit, words)
    return towards_words(amount, sense, words)


def figure_words(figure: str, unit: str, words: Words) -> str:
    """A figure that is rounded already, with its unit: '−20.6°', '8 % of picture height'."""
    sign, _, of_what = unit.partition(" ")
    text = words.figures(f"{figure}{sign if sign == '°' else f' {sign}' if sign else ''}")
    return f"{text} {words.term('unit', of_what)}" if of_what else text


def uncertainty_words(review: Review, words: Words) -> str:
    """What ± means, for a client who is told measured numbers; else nothing."""
    has_numbers = any(note.numbers or note.is_measured for note in review.notes)
    return words.say(UNCERTAINTY_WORDS) if has_numbers else ""


def number_meaning(number: Number, words: Words) -> str:
    """What a note's number means, where its name is one of cliptag's own."""
    return next(
        (found for part in _JOINTS.split(number.words) if (found := meaning_of(part, words))), ""
    )


def meaning_of(name: str, words: Words) -> str:
    """What a quantity means, by its English name; nothing for one that is not known."""
    meaning = MEANINGS.get(name)
    return words.say(meaning) if meaning else ""


def _value(value: float, sd: float, unit: str, words: Words, before: str = "") -> str:
    shown, expanded = rounded(value, sd)
    sign, _, of_what = unit.partition(" ")
    joined = sign if sign == "°" else f" {sign}" if sign else ""
    text = words.figures(f"{before}{shown}{joined} ± {expanded}{joined}")
    return f"{text} {words.term('unit', of_what)}" if of_what else text


def _with_unit(figures: str, unit: str, words: Words) -> str:
    return f"{figures}{unit}" if unit == "°" else f"{figures} {words.term('unit', unit)}".strip()


def towards_words(amount: str, sense: str, words: Words) -> str:
    """An amount and the way it goes, if any: '3.0 cm beyond the toe'."""
    if not sense:
        return amount
    direction = words.term("direction", sense)
    return words.say_as("measured", "{value} {direction}", value=amount, direction=direction)
