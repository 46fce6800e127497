"""Times as a person reads and types them."""

from __future__ import annotations

import re
from typing import Final

_MICROS: Final = 1_000_000
_TIME: Final = re.compile(
    r"(?:(?:(?P<hours>\d+):)?(?P<minutes>\d+):)?(?P<seconds>\d+(?:[.,]\d{1,6})?)\s*s?", re.ASCII
)


def time_words(time_us: int, places: int = 3) -> str:
    """A time such as '0:03.467' or '1:02:03.5', cut (not rounded) to ``places`` decimals.

    Cut, because a frame is on from its time: a rounded time might be one of the frame after it.
    """
    seconds, micros = divmod(max(0, time_us), _MICROS)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    head = f"{hours}:{minutes:02}:{seconds:02}" if hours else f"{minutes}:{seconds:02}"
    return f"{head}.{micros:06}"[: len(head) + 1 + places] if places else head


def parse_time(text: str) -> int | None:
    """Microseconds of a typed time ('3.467', '0:03,467', '1:02:03 s'); None if it isn't one."""
    found = _TIME.fullmatch(text.strip())
    if found is None:
        return None
    hours, minutes = int(found["hours"] or 0), int(found["minutes"] or 0)
    whole, _, fraction = found["seconds"].replace(",", ".").partition(".")
    seconds = int(whole)
    if (found["minutes"] is not None and seconds > 59) or (hours and minutes > 59):
        return None
    micros = int(fraction.ljust(6, "0"))
    return ((hours * 60 + minutes) * 60 + seconds) * _MICROS + micros
