"""The guide's drawings, as SVG: the same lines for the page and for paper.

No words stand in them, so one drawing serves every language. Colours come from a ``Palette``: names
of the page's own colours, or fixed ones for paper.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

Place: TypeAlias = tuple[float, float]
Body: TypeAlias = Mapping[str, Place]

SIZE: Final = (300, 190)


@dataclass(frozen=True, slots=True)
class Palette:
    """What each kind of line is drawn with."""

    ink: str
    quiet: str
    accent: str
    soft: str
    wrong: str


PAGE_COLOURS: Final = Palette(
    "var(--ink)", "var(--line)", "var(--accent)", "var(--soft)", "var(--care)"
)
PAPER_COLOURS: Final = Palette("#1f2c35", "#8a8578", "#104c48", "#d9e8e3", "#b94f00")

STANDING: Final[Body] = {
    "head": (0, -158),
    "shoulder": (-3, -128),
    "hip": (0, -80),
    "knee": (2, -41),
    "ankle": (-2, -4),
    "toe": (16, -1),
    "elbow": (-5, -102),
    "wrist": (4, -78),
}
SITTING: Final[Body] = {
    "head": (-18, -122),
    "shoulder": (-22, -92),
    "hip": (-24, -46),
    "knee": (14, -44),
    "ankle": (10, -4),
    "toe": (28, -1),
    "elbow": (-14, -66),
    "wrist": (6, -56),
}
RISING: Final[Body] = {
    "head": (18, -118),
    "shoulder": (3, -93),
    "hip": (-20, -52),
    "knee": (16, -43),
    "ankle": (6, -4),
    "toe": (24, -1),
    "elbow": (14, -72),
    "wrist": (28, -58),
}
BENDING: Final[Body] = {
    "head": (54, -92),
    "shoulder": (29, -95),
    "hip": (-16, -80),
    "knee": (4, -42),
    "ankle": (-2, -4),
    "toe": (16, -1),
    "elbow": (38, -68),
    "wrist": (48, -44),
}
LIFTING: Final[Body] = {
    "head": (32, -96),
    "shoulder": (12, -82),
    "hip": (-24, -46),
    "knee": (16, -42),
    "ankle": (0, -4),
    "toe": (18, -1),
    "elbow": (24, -54),
    "wrist": (36, -34),
}


def view_from_above(p: Palette) -> str:
    """The phone looks at the shoulder of somebody who faces across."""
    # The shoulders lie on the phone's line, so the face looks across it.
    person = (
        f'<ellipse cx="205" cy="95" rx="38" ry="16" fill="{p.soft}" {_line(p.ink, 3)}/>'
        f'<circle cx="205" cy="95" r="17" fill="{p.soft}" {_line(p.ink, 3)}/>'
    )
    nose = f'<path d="M199 111 L205 120 L211 111" fill="{p.soft}" {_line(p.ink, 3)}/>'
    way = _arrow((205, 130), (205, 172), p.accent)
    cone = f'<path d="M44 95 L250 40 M44 95 L250 150" fill="none" {_line(p.quiet, 2, "6 5")}/>'
    right = f'<path d="M166 95 h-16 v16" fill="none" {_line(p.accent, 2)}/>'
    axis = f'<path d="M48 95 H166" fill="none" {_line(p.accent, 2, "2 5")}/>'
    return _svg(cone + axis + right + person + nose + way + _phone(34, 95, p, flat=True))


def height_and_distance(p: Palette) -> str:
    """The phone stands as high as the hip, three big steps away."""
    floor = f'<path d="M14 176 H290" {_line(p.quiet, 3)}/>'
    stool = f'<path d="M28 176 L34 116 M68 176 L62 116 M26 114 H70" fill="none" {_line(p.ink, 4)}/>'
    level = f'<path d="M58 97 H222" {_line(p.accent, 2, "6 5")}/>'
    steps = _arrow((80, 162), (206, 162), p.accent, both=True)
    return _svg(
        floor + stool + _phone(48, 92, p) + level + _figure(STANDING, (226, 176), p) + steps
    )


def whole_in_the_picture(p: Palette) -> str:
    """On the phone's picture there is room above the head and below the feet."""
    phone = f'<rect x="98" y="6" width="104" height="178" rx="13" fill="none" {_line(p.ink, 4)}/>'
    screen = f'<rect x="106" y="16" width="88" height="158" rx="3" fill="{p.soft}"/>'
    body = _figure(STANDING, (146, 156), p, scale=0.76)
    room = _arrow((180, 30), (180, 16), p.accent) + _arrow((180, 160), (180, 174), p.accent)
    return _svg(phone + screen + body + room)


def light(p: Palette) -> str:
    """The window is behind the phone; it isn't behind the person."""
    window = _window(16, 34, p)
    rays = "".join(_arrow((78, y), (108, y + 6), p.accent) for y in (50, 76, 102))
    good = window + rays + _phone(120, 122, p) + _figure(STANDING, (190, 174), p, scale=0.86)
    bad = _window(232, 34, p) + f'<path d="M226 26 L290 122 M290 26 L226 122" {_line(p.wrong, 5)}/>'
    return _svg(f'<path d="M10 174 H290" {_line(p.quiet, 3)}/>' + good + bad)


def clothing(p: Palette) -> str:
    """Ear, shoulder, hip, knee and ankle can be seen."""
    body = _figure(STANDING, (150, 184), p)
    names = ("shoulder", "hip", "knee", "ankle")
    dots = "".join(_dot(_at(STANDING[name], (150, 184), 1.0), p) for name in names)
    ear = _dot(_at((-3, -158), (150, 184), 1.0), p)
    return _svg(body + dots + ear)


def rest_move_rest(p: Palette) -> str:
    """Still, the movement, still again."""
    bodies = "".join(
        _figure(body, (x, 140), p, scale=0.72)
        for body, x in ((SITTING, 66), (RISING, 146), (STANDING, 240))
    )
    seats = f'<path d="M26 112 H64 M112 112 H142" {_line(p.quiet, 5)}/>'
    bar = (
        f'<path d="M24 164 H92 M208 164 H276" {_line(p.accent, 10)}/>'
        f'<path d="M104 164 H196" {_line(p.quiet, 10, "2 14")}/>'
    )
    return _svg(f'<path d="M14 142 H288" {_line(p.quiet, 2)}/>' + seats + bodies + bar)


def movement(name: str) -> Callable[[Palette], str]:
    """The movement that is to be filmed."""
    bodies: dict[str, tuple[tuple[Body, float], ...]] = {
        "sit_to_stand": ((SITTING, 92), (STANDING, 208)),
        "bend": ((STANDING, 84), (BENDING, 186)),
        "lift": ((LIFTING, 112), (STANDING, 216)),
        "sitting": ((SITTING, 160),),
        "standing": ((STANDING, 150),),
    }

    def draw(p: Palette) -> str:
        parts = [f'<path d="M14 178 H288" {_line(p.quiet, 3)}/>']
        for body, x in bodies.get(name, ((STANDING, 150),)):
            if body is SITTING:
                seat = f"M{x - 48} 138 H{x - 4} M{x - 44} 138 V176 M{x - 8} 138 V176"
                parts.append(f'<path d="{seat}" fill="none" {_line(p.quiet, 5)}/>')
            if body is LIFTING or (name == "lift" and body is STANDING):
                y = 138 if body is LIFTING else 82
                parts.append(
                    f'<rect x="{x + (30 if body is LIFTING else 8)}" y="{y}" width="36" '
                    f'height="30" rx="3" fill="{p.soft}" {_line(p.ink, 3)}/>'
                )
            parts.append(_figure(body, (x, 178), p))
        return _svg("".join(parts))

    return draw


def _svg(inner: str) -> str:
    width, height = SIZE
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" aria-hidden="true" focusable="false">{inner}</svg>'
    )


def _line(colour: str, width: float, dash: str = "") -> str:
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'stroke="{colour}" stroke-width="{width}" stroke-linecap="round" '
        f'stroke-linejoin="round"{dashes}'
    )


def _at(place: Place, foot: Place, scale: float) -> Place:
    return foot[0] + place[0] * scale, foot[1] + place[1] * scale


def _figure(body: Body, foot: Place, p: Palette, scale: float = 1.0) -> str:
    """A person seen from the side who faces right; ``foot`` is the floor under the ankle."""
    at = {name: _at(place, foot, scale) for name, place in body.items()}

    def limb(*names: str, width: float) -> str:
        path = " L".join(f"{at[name][0]:.1f} {at[name][1]:.1f}" for name in names)
        outline = f'<path d="M{path}" fill="none" {_line(p.ink, width * scale + 5)}/>'
        return outline + f'<path d="M{path}" fill="none" {_line(p.soft, width * scale)}/>'

    x, y = at["head"]
    head = (
        f'<ellipse cx="{x:.1f}" cy="{y:.1f}" rx="{12.5 * scale:.1f}" ry="{15 * scale:.1f}" '
        f'fill="{p.soft}" {_line(p.ink, 2.5)}/>'
    )
    trunk = limb("shoulder", "hip", width=19)
    legs = limb("ankle", "toe", width=7) + limb("hip", "knee", "ankle", width=12)
    arm = limb("shoulder", "elbow", "wrist", width=7)
    return limb("head", "shoulder", width=8) + legs + trunk + head + arm


def _phone(x: float, y: float, p: Palette, *, flat: bool = False) -> str:
    """Seen from its back; ``flat``: from above, looking right."""
    if flat:
        return (
            f'<rect x="{x - 5}" y="{y - 20}" width="10" height="40" rx="4" fill="{p.accent}"/>'
            f'<circle cx="{x + 7}" cy="{y}" r="4" fill="{p.accent}"/>'
        )
    return (
        f'<rect x="{x - 4}" y="{y - 24}" width="9" height="46" rx="3" fill="{p.accent}"/>'
        f'<circle cx="{x + 7}" cy="{y + 5}" r="3.5" fill="{p.accent}"/>'
    )


def _window(x: float, y: float, p: Palette) -> str:
    return (
        f'<rect x="{x}" y="{y}" width="52" height="80" rx="2" fill="{p.soft}" {_line(p.ink, 3)}/>'
        f'<path d="M{x + 26} {y} v80 M{x} {y + 40} h52" {_line(p.ink, 2)}/>'
    )


def _arrow(start: Place, end: Place, colour: str, *, both: bool = False) -> str:
    (x0, y0), (x1, y1) = start, end
    length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    ux, uy = (x1 - x0) / length, (y1 - y0) / length

    def tip(x: float, y: float, ux: float, uy: float) -> str:
        left = x - 8 * ux + 5 * uy, y - 8 * uy - 5 * ux
        right = x - 8 * ux - 5 * uy, y - 8 * uy + 5 * ux
        return f"M{left[0]:.1f} {left[1]:.1f} L{x} {y} L{right[0]:.1f} {right[1]:.1f}"

    back = tip(x0, y0, -ux, -uy) if both else ""
    path = f"M{x0} {y0} L{x1} {y1} {tip(x1, y1, ux, uy)} {back}"
    return f'<path d="{path}" fill="none" {_line(colour, 3)}/>'


def _dot(place: Place, p: Palette) -> str:
    return (
        f'<circle cx="{place[0]:.1f}" cy="{place[1]:.1f}" r="5.5" fill="{p.accent}" '
        f"{_line(p.soft, 2)}/>"
    )
