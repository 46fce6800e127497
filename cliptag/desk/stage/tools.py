"""The tools: what each makes of the places that it is given, and what it asks for."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from typing import Any, ClassVar, Final, Protocol, TypeVar, cast

from cliptag.desk.stage.words import (
    AXIS_NAMES,
    JOINT_NAMES,
    JOINT_POINTS,
    SEGMENT_NAMES,
    SEGMENT_POINTS,
)
from cliptag.desk.state import Tool
from cliptag.review import (
    Arrow,
    Between,
    Joint,
    JointName,
    Line,
    Mark,
    Plumb,
    PlumbLine,
    Point,
    Ring,
    SegmentName,
    Shade,
    Span,
    SpanAxis,
    Stroke,
    Tilt,
)

LEAST_RADIUS_PX: Final = 2.0


class Bench(Protocol):
    """What a tool may do with what it made."""

    def add_mark(self, mark: Mark) -> None:
        """Put a mark onto the note of the shown frame."""

    def ask_length(self, a: Point, b: Point) -> None:
        """Ask how long the way between two points is, and set the scale by it."""

    def set_plumb(self, line: PlumbLine) -> None:
        """Set the review's true vertical."""

    def place_point(self, at: Point) -> None:
        """Place the next point that is followed, or the one that is placed repeatedly."""


class MarkTool(ABC):
    """One tool in hand; ``choice`` is what the person said that it should draw, if it asks."""

    least: ClassVar[int] = 2
    """The least number of points."""
    most: ClassVar[int | None] = 2
    """The greatest number of points; None: as many as are given, in one go too."""
    is_exact: ClassVar[bool] = False
    """Whether the loupe shows each place before it is given."""
    is_square_when_snapped: ClassVar[bool] = False
    is_upright_by_plumb: ClassVar[bool] = True
    """Whether snapping goes by the true vertical rather than the picture's own."""
    choice_field: ClassVar[str] = ""
    """The field of the mark that is asked for."""
    question: ClassVar[str] = ""
    choices: ClassVar[Mapping[str, str]] = {}
    """What can be chosen, and the word for it."""

    def __init__(self, choice: str = "") -> None:
        self.choice = choice or next(iter(self.choices), "")

    @abstractmethod
    def hint(self, given: int) -> str:
        """What to do next, when so many points were given."""

    @abstractmethod
    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        """The mark of at least ``least`` points."""

    def preview(self, points: Sequence[Point], mark_id: str) -> Mark | None:
        """What the points make so far; None while there is nothing to see."""
        if len(points) >= self.least:
            return self.mark(points, mark_id)
        return Line(id=mark_id, a=points[-2], b=points[-1]) if len(points) > 1 else None

    def finish(self, points: Sequence[Point], mark_id: str, bench: Bench) -> None:
        """Hand over what the points make."""
        bench.add_mark(self.mark(points, mark_id))


_TOOLS: dict[Tool, type[MarkTool]] = {}
_ToolT = TypeVar("_ToolT", bound=type[MarkTool])


def tool_class(name: Tool) -> type[MarkTool]:
    """The class of a tool."""
    return _TOOLS[name]


def _named(name: Tool) -> Any:
    def register(tool: _ToolT) -> _ToolT:
        _TOOLS[name] = tool
        return tool

    return register


@_named("arrow")
class ArrowTool(MarkTool):
    def hint(self, given: int) -> str:
        return "Now the place to point at." if given else "Drag to the place to point at."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Arrow(id=mark_id, tail=points[0], head=points[1])


@_named("ring")
class RingTool(MarkTool):
    is_square_when_snapped = True

    def hint(self, given: int) -> str:
        return "Now the opposite corner." if given else "Drag across what the ring should go round."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        a, b = points
        return Ring(
            id=mark_id,
            centre=Point((a.x + b.x) / 2.0, (a.y + b.y) / 2.0),
            radius_x=max(abs(b.x - a.x) / 2.0, LEAST_RADIUS_PX),
            radius_y=max(abs(b.y - a.y) / 2.0, LEAST_RADIUS_PX),
        )


@_named("shade")
class ShadeTool(MarkTool):
    least = 3
    most = None

    def hint(self, given: int) -> str:
        if given < self.least:
            return "Draw round the area in one go, or click its corners."
        return "Click the next corner, or press Enter to close the area."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Shade(id=mark_id, corners=tuple(points))


@_named("stroke")
class StrokeTool(MarkTool):
    most = None

    def hint(self, given: int) -> str:
        if given < self.least:
            return "Draw along it in one go, or click from place to place."
        return "Click the next place, or press Enter to end the stroke."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Stroke(id=mark_id, points=tuple(points))


@_named("line")
class LineTool(MarkTool):
    is_exact = True

    def hint(self, given: int) -> str:
        return "Now the other end." if given else "Click one end of the line, then the other."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Line(id=mark_id, a=points[0], b=points[1])


@_named("plumb")
class PlumbTool(MarkTool):
    least = most = 1
    is_exact = True

    def hint(self, given: int) -> str:
        return "Click the point that the vertical should go through."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Plumb(id=mark_id, through=points[0])


@_named("joint")
class JointTool(MarkTool):
    least = most = 3
    is_exact = True
    choice_field = "joint"
    question = "Which joint"
    choices = cast(Mapping[str, str], JOINT_NAMES)

    def hint(self, given: int) -> str:
        return _click(JOINT_POINTS[cast(JointName, self.choice)], given)

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        proximal, vertex, distal = points
        joint = cast(JointName, self.choice)
        return Joint(id=mark_id, joint=joint, proximal=proximal, vertex=vertex, distal=distal)


@_named("tilt")
class TiltTool(MarkTool):
    is_exact = True
    choice_field = "segment"
    question = "Which part of the body"
    choices = cast(Mapping[str, str], SEGMENT_NAMES)

    def hint(self, given: int) -> str:
        return _click(SEGMENT_POINTS[cast(SegmentName, self.choice)], given)

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        segment = cast(SegmentName, self.choice)
        return Tilt(id=mark_id, segment=segment, lower=points[0], upper=points[1])


@_named("span")
class SpanTool(MarkTool):
    is_exact = True
    choice_field = "axis"
    question = "Which distance"
    choices = cast(Mapping[str, str], AXIS_NAMES)

    def hint(self, given: int) -> str:
        return "Now the other end." if given else "Click one end of the distance, then the other."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Span(id=mark_id, a=points[0], b=points[1], axis=cast(SpanAxis, self.choice))


@_named("between")
class BetweenTool(MarkTool):
    least = most = 4
    is_exact = True

    def hint(self, given: int) -> str:
        steps = (
            "Click one end of the first line, then its other end.",
            "Now the first line's other end.",
            "Now one end of the second line.",
            "Now the second line's other end.",
        )
        return steps[min(given, 3)]

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        a, b, c, d = points
        return Between(id=mark_id, a=a, b=b, c=c, d=d)

    def preview(self, points: Sequence[Point], mark_id: str) -> Mark | None:
        if len(points) == self.least:
            return self.mark(points, mark_id)
        return Line(id=mark_id, a=points[0], b=points[1]) if len(points) > 1 else None


@_named("point")
class PointTool(MarkTool):
    """Places a followed point with each click."""

    least = most = 1
    is_exact = True

    def hint(self, given: int) -> str:
        return "Click the next point."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        raise NotImplementedError("a followed point is no mark")

    def preview(self, points: Sequence[Point], mark_id: str) -> Mark | None:
        return None

    def finish(self, points: Sequence[Point], mark_id: str, bench: Bench) -> None:
        bench.place_point(points[0])


@_named("scale")
class ScaleTool(MarkTool):
    is_exact = True

    def hint(self, given: int) -> str:
        if given:
            return "Now its other end."
        return "Click one end of a known length, as far away as the client."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Line(id=mark_id, a=points[0], b=points[1], colour="white", weight="fine")

    def finish(self, points: Sequence[Point], mark_id: str, bench: Bench) -> None:
        bench.ask_length(points[0], points[1])


@_named("plumb_line")
class PlumbLineTool(MarkTool):
    is_exact = True
    is_upright_by_plumb = False

    def hint(self, given: int) -> str:
        if given:
            return "Now its foot."
        return "Click the top of something truly upright, such as a door frame."

    def mark(self, points: Sequence[Point], mark_id: str) -> Mark:
        return Line(id=mark_id, a=points[0], b=points[1], colour="white", weight="fine")

    def finish(self, points: Sequence[Point], mark_id: str, bench: Bench) -> None:
        top, bottom = sorted(points, key=lambda point: point.y)
        bench.set_plumb(PlumbLine(top=top, bottom=bottom))


def _click(names: Sequence[str], given: int) -> str:
    """Such as 'Click the hip, then the knee, then the ankle.'"""
    rest = ", then ".join(f"the {name}" for name in names[given:])
    return f"Now {rest}." if given else f"Click {rest}."
