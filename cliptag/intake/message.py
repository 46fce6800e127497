"""The words with which a client is asked to film again."""

from __future__ import annotations

from collections.abc import Iterable

from cliptag.intake.finding import Ask
from cliptag.words import Words


def ask_words(ask: Ask, words: Words) -> str:
    """One wish, as a sentence in the client's language."""
    match ask:
        case "rate":
            return words.say("Set the camera to 30 or 60 pictures a second.")
        case "size":
            return words.say("Send the clip in its full size, as a file rather than as a message.")
        case "shorter":
            return words.say("Send only the movement itself, with a moment of rest on both sides.")
        case "longer":
            return words.say("Stand still for a second, move once, and stand still for a second.")
        case "whole_file":
            return words.say("Send the clip again: it arrived incomplete.")
        case "light":
            return words.say("Bring more light: face a window, or switch on every lamp.")
        case "still":
            return words.say("Put the phone on something firm, and don't hold it in the hand.")
        case "lens":
            return words.say("Wipe the lens, and tap the screen where you stand to make it sharp.")
        case "upright":
            return words.say("Turn the phone so that the picture stands upright.")
        case "level":
            return words.say("Set the phone straight: a door frame should look upright.")
        case "nearer":
            return words.say("Come nearer, until you fill most of the height of the picture.")
        case "whole_body":
            return words.say("Leave some room above your head and below your feet all the time.")
        case "side":
            return words.say("Stand side-on: the camera should see your shoulder, not your chest.")


def message_of(asks: Iterable[Ask], words: Words, client: str = "") -> str:
    """A few lines to send: thanks, what to change (each wish once), and a word of caution."""
    client = client.strip()
    greeting = words.say("Hello {client},", client=client) if client else words.say("Hello,")
    wishes = [f"• {ask_words(ask, words)}" for ask in dict.fromkeys(asks)]
    return "\n".join(
        [
            greeting,
            words.say("Thank you for your clip. To measure it well, please film once more:"),
            *wishes,
            words.say("Film only if the movement does not hurt today."),
        ]
    )
