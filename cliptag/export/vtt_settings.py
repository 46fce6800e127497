"""The settings of cues and regions in a WebVTT file, checked against the standard's syntax.

Source: W3C, WebVTT: The Web Video Text Tracks Format, sections "WebVTT region settings" and
"WebVTT cue settings".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Final, TypeAlias

from cliptag.export.vtt_findings import Findings, quoted

_Check: TypeAlias = Callable[[str], bool]

_PERCENTAGE: Final = re.compile(r"0*(?:100(?:\.0+)?|[0-9]{1,2}(?:\.[0-9]+)?)%")


def _is_percentage(value: str) -> bool:
    return _PERCENTAGE.fullmatch(value) is not None


def _is_line(value: str) -> bool:
    offset, comma, alignment = value.partition(",")
    if comma and alignment not in ("start", "center", "end"):
        return False
    return _is_percentage(offset) or re.fullmatch("-?[0-9]+", offset) is not None


def _is_position(value: str) -> bool:
    offset, comma, alignment = value.partition(",")
    if comma and alignment not in ("line-left", "center", "line-right"):
        return False
    return _is_percentage(offset)


def _is_anchor(value: str) -> bool:
    x, _, y = value.partition(",")
    return _is_percentage(x) and _is_percentage(y)


_CUE_SETTINGS: Final[Mapping[str, tuple[_Check, str]]] = {
    "vertical": (("rl", "lr").__contains__, "rl or lr"),
    "line": (_is_line, "a whole number or a percentage, and perhaps ,start ,center or ,end"),
    "position": (_is_position, "a percentage, and perhaps ,line-left ,center or ,line-right"),
    "size": (_is_percentage, "a percentage from 0% to 100%"),
    "align": (
        ("start", "center", "end", "left", "right").__contains__,
        "start, center, end, left or right",
    ),
    "region": (bool, "the id of a region"),
}
_REGION_SETTINGS: Final[Mapping[str, tuple[_Check, str]]] = {
    "id": (lambda value: bool(value) and "-->" not in value, "a name"),
    "width": (_is_percentage, "a percentage from 0% to 100%"),
    "lines": (lambda value: re.fullmatch("[0-9]+", value) is not None, "a whole number"),
    "regionanchor": (_is_anchor, "two percentages with a comma between them"),
    "viewportanchor": (_is_anchor, "two percentages with a comma between them"),
    "scroll": ("up".__eq__, "up"),
}


def check_cue_settings(text: str, line: int, regions: Iterable[str], found: Findings) -> None:
    """Check what follows the times of a cue."""
    values = _read(((line, word) for word in _words(text)), _CUE_SETTINGS, "cue", found)
    region = values.get("region")
    if region is not None and region not in regions:
        found.advice(line, "unknown-region", f"There is no region called {quoted(region)}.")
    if region is not None and values.keys() & {"vertical", "line", "size"}:
        sentence = "A cue with a vertical, line or size setting isn't put into its region."
        found.advice(line, "region-ignored", sentence)
    is_narrow = values.get("size", "100%") != "100%"
    if is_narrow and values.get("align") in ("start", "end") and "position" not in values:
        sentence = "A cue with a size and align:start or align:end needs a position too."
        found.error(line, "position-missing", sentence)


def check_region(lines: Iterable[tuple[int, str]], line: int, found: Findings) -> str | None:
    """Check the settings of a region block and tell the region's id."""
    words = ((number, word) for number, text in lines for word in _words(text))
    region_id = _read(words, _REGION_SETTINGS, "region", found).get("id")
    if region_id is None:
        found.error(line, "region-id-missing", "A region needs an id, such as id:top.")
    return region_id


def _words(text: str) -> list[str]:
    return [word for word in re.split("[ \t]+", text) if word]


def _read(
    words: Iterable[tuple[int, str]],
    known: Mapping[str, tuple[_Check, str]],
    what: str,
    found: Findings,
) -> dict[str, str]:
    values: dict[str, str] = {}
    for line, word in words:
        name, _, value = word.partition(":")
        if name not in known:
            names = ", ".join(known)
            sentence = f"{quoted(word)} isn't a {what} setting; there are {names}."
            found.error(line, "unknown-setting", sentence)
            continue
        is_legal, legal = known[name]
        if name in values:
            found.error(line, "setting-twice", f"The setting {name} stands here twice.")
        elif not is_legal(value):
            sentence = f"{quoted(word)} isn't legal: {name} is {legal}."
            found.error(line, "setting-value", sentence)
        values.setdefault(name, value)
    return values
