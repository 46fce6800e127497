"""The times in a WebVTT file: strictly as the standard writes them, or what is wrong with them."""

from __future__ import annotations

import re
from typing import Final

from cliptag.export.vtt_findings import quoted

_TIMESTAMP: Final = re.compile(r"(?:([0-9]{2,}):)?([0-5][0-9]):([0-5][0-9])\.([0-9]{3})")
_NEARLY: Final = re.compile(r"(?:([0-9]+):)?([0-9]+):([0-9]+)([.,])([0-9]+)")
_MOST_HOUR_DIGITS: Final = 9


def read_time_ms(text: str) -> int | str:
    """The time in milliseconds, or a sentence that says why it isn't one."""
    match = _TIMESTAMP.fullmatch(text)
    if match is None or len(match[1] or "") > _MOST_HOUR_DIGITS:
        return _fault(text)
    hours, minutes, seconds, ms = (int(part or 0) for part in match.groups())
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + ms


def _fault(text: str) -> str:
    match = _NEARLY.fullmatch(text)
    if match is None:
        return f"{quoted(text)} isn't a time; times are written like 00:01:02.500."
    hours, minutes, seconds, point, ms = match.groups()
    if point == ",":
        why = "a full stop stands before the milliseconds, not a comma"
    elif len(ms) != 3:
        why = "there are exactly three digits after the full stop"
    elif len(minutes) != 2 or len(seconds) != 2:
        why = "minutes and seconds have two digits each"
    elif hours is not None and len(hours) < 2:
        why = "hours have two digits or more"
    elif hours is not None and len(hours) > _MOST_HOUR_DIGITS:
        why = "no video is so long"
    else:
        why = "minutes and seconds go from 00 to 59"
    return f"{quoted(text)} isn't a WebVTT time: {why}."
