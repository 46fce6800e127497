"""What can be done next with followed points, and what isn't there to be seen, in plain words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from cliptag.desk.stage.points.model import PointModel
from cliptag.desk.stage.points.names import MORE_POINTS, the
from cliptag.desk.stage.points.seen import Missing
from cliptag.measure import BODY_CHAIN

_WHY: Final[dict[Missing, str]] = {
    "hidden": "hidden here",
    "outside": "outside the picture here",
    "disputed": "not surely found here",
}


def point_hints(model: PointModel, is_placing: bool) -> tuple[str, Sequence[str]]:
    """What to do next, and all that may be said before or after it."""
    if not is_placing:
        return _at_rest(model), ()
    others = [f"Click {the(name)}." for name in BODY_CHAIN]
    others += [f"More: click {the(name)}." for name in MORE_POINTS]
    return _to_place(model), others


def missing_words(model: PointModel) -> str:
    """Such as 'The heel and the toe are hidden here'; empty when all points are there."""
    missing = model.at(model.index).missing
    parts = []
    for why, words in _WHY.items():
        names = [name for name, reason in missing.items() if reason == why]
        if names:
            parts.append(f"{_listed(names)} {'is' if len(names) == 1 else 'are'} {words}")
    return _capital("; ".join(parts))


def _to_place(model: PointModel) -> str:
    name, chosen = model.next, model.chosen
    if name is None:
        return "All points are placed: drag one to correct it."
    if chosen == name:
        return f"Click where {the(name)} is, or move it with the arrow keys."
    if chosen is not None:
        return f"Arrow keys move {the(chosen)}; a click places {the(name)}."
    why = model.at(model.index).missing.get(name)
    if why is not None:
        return f"{_capital(the(name))} is {_WHY[why]}: place it, or leave the gap."
    if model.has_usual and name in MORE_POINTS:
        return f"More: click {the(name)}."
    return f"Click {the(name)}."


def _at_rest(model: PointModel) -> str:
    here = model.at(model.index)
    if model.chosen is not None:
        return f"Arrow keys move {the(model.chosen)}."
    if here.missing:
        return f"{missing_words(model)}: place what you see, or leave the gap."
    return "Drag a point to correct it." if here.seen else ""


def _listed(names: Iterable[str]) -> str:
    *first, last = (the(name) for name in names)
    return f"{', '.join(first)} and {last}" if first else last


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
