"""What a clip's facts say of how well it can be measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cliptag.clip import ClipInfo
from cliptag.intake.finding import Ask, IntakeFinding, graded

CARE_FPS: Final = 24.9
AGAIN_FPS: Final = 14.9
CARE_SIDE_PX: Final = 700
AGAIN_SIDE_PX: Final = 470
CARE_SHORT_S: Final = 5.0
AGAIN_SHORT_S: Final = 2.0
CARE_LONG_S: Final = 180.0

_RATE_WHY: Final = (
    "A movement such as standing up has little above 5 Hz; five frames a cycle show its shape, and "
    "below 15 a moment such as seat-off is known to a fifteenth of a second at best."
)
_SIZE_WHY: Final = (
    "Clips that a messenger made small have 480 lines or fewer, and joints blur into a few pixels."
)
_LENGTH_WHY: Final = (
    "One repetition with a second of rest before and after it takes about five seconds."
)
_HDR_WHY: Final = "Brought to an ordinary screen here; places and times are the same."
_TIMES_WHY: Final = "Each frame's own time is used, so times stay right."
_FILE_WHY: Final = "What is missing can't be looked at or measured."


def findings_of_facts(info: ClipInfo) -> Iterator[IntakeFinding]:
    """Those that need no look at the pictures."""
    yield _size(info)
    if info.is_photo:
        return
    yield _rate(info)
    yield _length(info)
    if info.missing_frames:
        seconds = info.missing_frames / (info.nominal_fps or 1.0)
        yield IntakeFinding(
            "whole file",
            "again",
            f"The file breaks off: about {seconds:.1f} s are missing.",
            _FILE_WHY,
            "whole_file",
        )
    if info.hdr is not None:
        yield IntakeFinding("colour", "fine", "Filmed in HDR; colours may differ.", _HDR_WHY)
    if info.is_variable_rate:
        yield IntakeFinding("times", "fine", "The frame rate varies.", _TIMES_WHY)


def _size(info: ClipInfo) -> IntakeFinding:
    side = min(info.width, info.height)
    grade = graded(side, CARE_SIDE_PX, AGAIN_SIDE_PX)
    sentence = f"The picture is {info.width} × {info.height} pixels."
    return IntakeFinding("picture", grade, sentence, _SIZE_WHY, _asked(grade, "size"))


def _rate(info: ClipInfo) -> IntakeFinding:
    grade = graded(info.nominal_fps, CARE_FPS, AGAIN_FPS)
    sentence = f"There are {info.nominal_fps:.3g} frames a second."
    return IntakeFinding("frame rate", grade, sentence, _RATE_WHY, _asked(grade, "rate"))


def _length(info: ClipInfo) -> IntakeFinding:
    seconds = info.duration_us / 1e6
    sentence = f"It lasts {seconds:.1f} s."
    if seconds > CARE_LONG_S:
        return IntakeFinding("length", "care", sentence, _LENGTH_WHY, "shorter")
    grade = graded(seconds, CARE_SHORT_S, AGAIN_SHORT_S)
    return IntakeFinding("length", grade, sentence, _LENGTH_WHY, _asked(grade, "longer"))


def _asked(grade: str, ask: Ask) -> Ask | None:
    return None if grade == "fine" else ask
