"""What a client is asked for before filming, step by step, in the client's language.

Why each: seen from the side, angles lie in the plane of the picture; a camera at hip height sees
head and feet under small angles alike; three metres keep a whole person in a phone's picture
without its wide lens, whose edges bend; rest before and after gives the curves their ends. Common
practice, no source, but for what follows from geometry.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from cliptag.guide import sketches
from cliptag.guide.sketches import Palette
from cliptag.review import Movement
from cliptag.words import Words


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, with its drawing."""

    title: str
    sentences: tuple[str, ...]
    sketch: Callable[[Palette], str]


@dataclass(frozen=True, slots=True)
class ShotGuide:
    """Everything that the guide says."""

    heading: str
    about: str
    steps: tuple[Step, ...]
    caution_heading: str
    caution: tuple[str, ...]
    closing: str
    words: Words


def shot_guide(words: Words, movement: Movement = "other", client: str = "") -> ShotGuide:
    """The guide for a movement, greeting the client where a name is given."""
    say = words.say
    client = client.strip()
    return ShotGuide(
        heading=say("How to film yourself"),
        about=say("For {client}", client=client) if client else "",
        steps=(*_setting_up(words), _moving(words, movement), *_sending(words)),
        caution_heading=say("Please remember"),
        caution=(
            say("Film only if the movement does not hurt today. Stop at once if it starts to."),
            say("Use a firm chair that can't roll, and clear the floor round you."),
            say("This is movement coaching, not a medical diagnosis."),
        ),
        closing=say("Anything unclear? Ask before you film: that saves you a second try."),
        words=words,
    )


def _setting_up(words: Words) -> tuple[Step, ...]:
    say = words.say
    return (
        Step(
            say("Side-on to the phone"),
            (
                say("The phone looks at your shoulder, not at your chest."),
                say("Turn the side to it that has nothing in the way, and stay on that line."),
            ),
            sketches.view_from_above,
        ),
        Step(
            say("Hip high, three big steps away"),
            (
                say("Stand the phone on something firm, as high as your hip. Nobody holds it."),
                say("Set it straight: a door frame should look upright. Don't zoom."),
            ),
            sketches.height_and_distance,
        ),
        Step(
            say("All of you, all the time"),
            (
                say("Hold the phone upright; lay it across only if you would walk out of it."),
                say("Leave a hand's breadth above your head and below your feet."),
            ),
            sketches.whole_in_the_picture,
        ),
        Step(
            say("Light from the phone's side"),
            (
                say("A window or lamp behind the phone is good; one behind you is not."),
                say("Wipe the lens. Nobody else should be in the picture."),
            ),
            sketches.light,
        ),
        Step(
            say("Clothes that show how you move"),
            (
                say("Wear something close-fitting, in another colour than the wall."),
                say("Ear, shoulder, hip, knee and ankle should be seen: tie up long hair."),
                say("Wear the shoes that you wear for it, or none."),
            ),
            sketches.clothing,
        ),
    )


def _moving(words: Words, movement: Movement) -> Step:
    say = words.say
    what = {
        "sit_to_stand": say("Sit down and stand up as you always do, three times, with rests."),
        "bend": say("Bend down for something light and come up, three times, with rests."),
        "lift": say("Lift what you lift on an ordinary day, the lightest first, three times."),
        "sitting": say("Sit as you do at work, for half a minute, and do what you do there."),
        "standing": say("Stand as you always stand, for ten seconds, and look straight ahead."),
        "other": say("Do the movement as you always do it, three times, with rests."),
    }[movement]
    return Step(
        words.movement(movement) if movement != "other" else say("Your movement"),
        (what, say("Don't try to do it well: I want to see an ordinary day.")),
        sketches.movement(movement),
    )


def _sending(words: Words) -> tuple[Step, ...]:
    say = words.say
    return (
        Step(
            say("Still, move, still"),
            (
                say("Stay still for a second before the movement, and for a second after it."),
                say("30 or 60 pictures a second are right: no slow motion, no filter."),
                say("Send the clip as a file, in its full size."),
            ),
            sketches.rest_move_rest,
        ),
    )
