"""The review's scale and true vertical, drawn as the marks that they resemble."""

from __future__ import annotations

from typing import Final

from cliptag.measure import with_uncertainty
from cliptag.review import Line, Mark, PlumbLine, Scale, Span

FAINT: Final = 0.7
"""How strongly they are painted."""


def scale_line(scale: Scale) -> Mark:
    """The known length with its two ends."""
    label = with_uncertainty(scale.length_cm, scale.length_sd_cm, "cm")
    return Span(id="scale", a=scale.a, b=scale.b, colour="white", weight="fine", label=label)


def plumb_line(line: PlumbLine) -> Mark:
    """What truly stands upright."""
    return Line(
        id="plumb",
        a=line.bottom,
        b=line.top,
        colour="white",
        weight="fine",
        label="true vertical",
    )
