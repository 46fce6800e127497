"""Where in a JSON text a field stands, so that an error can name its line."""

from __future__ import annotations

import json
import re

_SPACE = re.compile(r"[ \t\r\n]*")
_STEP = re.compile(r"\.([^.\[\]]+)|\[(\d+)\]")
_DECODER = json.JSONDecoder(strict=False)


def line_of_byte(data: bytes, place: int) -> int:
    """The line (from 1) in which a byte stands."""
    return data.count(b"\n", 0, place) + 1


def line_of_path(text: str, path: str) -> int | None:
    """The line (from 1) of the value at a path such as ``$.notes[2].end_us``.

    A path that leads nowhere gives the line of the last value on the way; None if the text isn't
    JSON.
    """
    place = _skip(text, 0)
    try:
        for name, number in _STEP.findall(path):
            following = _member(text, place, name) if name else _item(text, place, int(number))
            if following is None:
                break
            place = following
    except (ValueError, IndexError):
        return None
    return text.count("\n", 0, place) + 1


def _skip(text: str, place: int) -> int:
    match = _SPACE.match(text, place)
    return match.end() if match else place


def _member(text: str, place: int, name: str) -> int | None:
    if text[place] != "{":
        return None
    place = _skip(text, place + 1)
    while text[place] != "}":
        key, place = _DECODER.raw_decode(text, place)
        place = _skip(text, _skip(text, place) + 1)
        if key == name:
            return place
        place = _after_value(text, place)
    return None


def _item(text: str, place: int, number: int) -> int | None:
    if text[place] != "[":
        return None
    place = _skip(text, place + 1)
    while text[place] != "]":
        if number == 0:
            return place
        number -= 1
        place = _after_value(text, place)
    return None


def _after_value(text: str, place: int) -> int:
    _, place = _DECODER.raw_decode(text, place)
    place = _skip(text, place)
    return _skip(text, place + 1) if text[place] == "," else place
