"""What the stage shows and what is in hand there, without its pixels and its events."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from PyQt6.QtCore import QObject, QRectF, pyqtSignal

from cliptag.desk.stage.drawing import Drawing
from cliptag.desk.stage.editing import MarkEditor
from cliptag.desk.stage.going_along import GoingAlong
from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.hits import hits
from cliptag.desk.stage.loupe import Sight, fine_lines
from cliptag.desk.stage.points import PointModel
from cliptag.desk.stage.repeating import Repeating
from cliptag.desk.stage.seen import Seen
from cliptag.desk.stage.shown import NoteMarks, number_of
from cliptag.desk.stage.surety import Surety
from cliptag.desk.stage.tools import MarkTool, PointTool, tool_class
from cliptag.desk.state import DeskState, Tool
from cliptag.export import ExportOptions
from cliptag.paint import ShownMark, mark_colour
from cliptag.review import Kind, Mark, PlumbLine, Point, Review, Scale


@dataclass(frozen=True, slots=True)
class Placed:
    """A mark that is seen, and the note that it belongs to."""

    note_id: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Question:
    """Something that is asked about a mark: the words for each answer, and the answer of now."""

    words: str
    answers: dict[str, str]
    answer: str


class StageModel(QObject):
    """The shown frame with its marks, the mark being drawn, the chosen point."""

    changed = pyqtSignal()
    """The stage has to be painted anew."""
    asked = pyqtSignal()
    """The hint, the choices or the question at the stage's foot are others."""

    def __init__(
        self,
        state: DeskState,
        new_hold_us: Callable[[], int | None],
        export_options: Callable[[], ExportOptions],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.state = state
        self.surety = Surety()
        self.editor = MarkEditor(state, new_hold_us, self.surety)
        self.points = PointModel(state, self.surety, self)
        self.going_along = GoingAlong(state, self.points, self.editor)
        self.repeating = Repeating(self)
        self.index: int | None = None
        """The frame whose picture is shown; None before the first one."""
        self.is_exact = False
        """Whether it is the frame itself and not a preview of one near it."""
        self.drawing: Drawing | None = None
        self.point: int | None = None
        """The chosen handle of the chosen mark."""
        self.scale_ends: tuple[Point, Point] | None = None
        """The ends of the scale whose length is being asked for."""
        self._are_references_asked_for = False
        self._answers: dict[Tool, str] = {}
        self._seen = Seen(state, export_options)
        state.opened.connect(self._open)
        state.reviewed.connect(self._review_changed)
        state.chosen.connect(self._choice_changed)
        state.tool_changed.connect(self._tool_changed)
        state.followed.connect(self._followed)
        self.points.changed.connect(self._tell)
        self._open()

    # -- what is seen ---------------------------------------------------------------------------

    def picture_came(self, index: int, is_exact: bool) -> None:
        """Another frame is shown."""
        is_other, mark = index != self.index, self.chosen_mark
        self.index, self.is_exact = index, is_exact
        if is_other:
            self.repeating.forget()
        if is_other and self.drawing is not None:
            self.restart_drawing()
        elif is_other and self.chosen_mark is not mark:
            self.choose_point(None)
        elif is_other and self.points.is_on and not self.state.playhead.is_playing:
            self.asked.emit()

    @property
    def review(self) -> Review | None:
        """The review on the desk."""
        document = self.state.document
        return document.review if document else None

    @property
    def is_ready(self) -> bool:
        """Whether places can be taken: the very frame where the playhead stands is shown."""
        return self.is_exact and self.index == self.state.playhead.index

    @property
    def upright_deg(self) -> float:
        """How far the true vertical is turned from the picture's, clockwise."""
        return self._seen.upright_deg

    def notes(self) -> list[NoteMarks]:
        """The marks that are seen, note by note, with the one that is being drawn."""
        if self.index is None:
            return []
        seen = [*self._seen.references(self._are_references_asked_for), *self._seen.at(self.index)]
        if (repeats := self.repeating.now) is not None:
            return [_without(note, repeats.mark_id) for note in seen]
        preview = self.drawing.preview if self.drawing else None
        return seen if preview is None else self._with_preview(seen, preview)

    def notes_beside_loupe(self) -> list[NoteMarks]:
        """The same, without the number of the mark in hand: the loupe carries it."""
        mark = self.mark_in_hand
        if mark is None:
            return self.notes()
        return [
            replace(
                note,
                marks=tuple(
                    replace(shown, reading=None) if shown.mark.id == mark.id else shown
                    for shown in note.marks
                ),
            )
            for note in self.notes()
        ]

    def placed(self) -> list[Placed]:
        """The marks that can be taken hold of, in the order in which they are painted."""
        return [Placed(n.note_id, shown.mark) for n in self.labelled() for shown in n.marks]

    def under(self, at: Point, reach: float, labels: Sequence[QRectF]) -> list[int]:
        """Which of the ``placed`` marks are at a place, the topmost first; see ``hits``."""
        marks = [one.mark for one in self.placed()]
        return hits(marks, at, reach, self.upright_deg, labels)

    def labelled(self) -> list[NoteMarks]:
        """The marks that can be taken hold of, note by note, with their labels and numbers."""
        return self._seen.at(self.index) if self.index is not None else []

    @property
    def chosen_mark(self) -> Mark | None:
        """The chosen mark as it is seen, if it is."""
        note, mark = self.state.chosen_note, self.state.chosen_mark
        if note is None or mark is None:
            return None
        return next((p.mark for p in self.placed() if _is_mark(p, note.id, mark.id)), None)

    @property
    def mark_in_hand(self) -> Mark | None:
        """The mark that is being drawn, else the chosen one."""
        return self.drawing.preview if self.drawing else self.chosen_mark

    def sight(self, place: Point) -> Sight:
        """What the loupe shows at a place: the mark in hand as fine lines, and its number."""
        mark = self.mark_in_hand
        if mark is None:
            return Sight(place)
        colour = mark_colour(mark.colour, self._kind())
        return Sight(place, fine_lines(mark), self.number(mark), colour)

    def number(self, mark: Mark) -> str | None:
        """The live number of a mark."""
        if mark.follows:
            shown = (shown for note in self.labelled() for shown in note.marks)
            return next((one.reading for one in shown if one.mark.id == mark.id), None)
        return number_of(self.review, "", 0, mark) if self.review is not None else None

    def show_references(self, is_shown: bool) -> None:
        """Show scale and true vertical also without their tools, or not."""
        self._are_references_asked_for = is_shown
        self.changed.emit()

    def _with_preview(self, seen: list[NoteMarks], preview: Mark) -> list[NoteMarks]:
        """The preview joins its note's marks, so that their labels stay off each other."""
        chosen = self.state.chosen_note
        shown = ShownMark(preview, self._kind(), self.number(preview))
        for place, note in enumerate(seen):
            if chosen is not None and note.note_id == chosen.id:
                joined = replace(note, marks=(*note.marks, shown))
                return [*seen[:place], joined, *seen[place + 1 :]]
        return [*seen, NoteMarks("", (shown,))]

    def _kind(self) -> Kind:
        """The kind of the note that a mark drawn now would belong to."""
        note, index = self.state.chosen_note, self.index
        is_here = note is not None and index is not None and self.editor.is_on(note, index)
        return note.kind if note is not None and is_here else "seen"

    # -- tools ----------------------------------------------------------------------------------

    @property
    def question(self) -> Question | None:
        """What is asked about the tool in hand, else about the chosen mark."""
        tool = self._asking_tool()
        return Question(tool.question, dict(tool.choices), tool.choice) if tool else None

    def answer(self, value: str) -> None:
        """Take an answer to what is asked."""
        if self.drawing is not None and self.state.tool is not None:
            self._answers[self.state.tool] = value
            self.drawing.tool.choice = value
        elif (tool := self._asking_tool()) is not None:
            self.editor.restyle(**{tool.choice_field: value})
        self._tell()

    def restart_drawing(self) -> None:
        """Begin to draw with the tool in hand; points given so far are forgotten."""
        tool = self.state.tool
        self.scale_ends = None
        if tool is not None and tool_class(tool).is_exact:
            self.surety.get_ready()
        if self.repeating.now is not None:
            self.drawing = Drawing(PointTool())
        else:
            self.drawing = Drawing(tool_class(tool)(self._answers.get(tool, ""))) if tool else None
        self._tell()

    def take_back(self) -> None:
        """Take back the last point that was given."""
        if self.repeating.now is not None:
            self.repeating.take_back()
        elif self.state.tool == "point":
            self.points.take_back()
        elif self.drawing is not None:
            self.scale_ends = None
            self.drawing.take_back()
            self._tell()

    def step_back(self) -> None:
        """What Escape does: one thing less in hand or chosen."""
        if self.repeating.now is not None:
            self.repeating.end()
        elif self.points.chosen is not None:
            self.points.choose(None)
        elif self.drawing is not None and (self.drawing.given or self.scale_ends):
            self.restart_drawing()
        elif self.state.tool is not None:
            self.state.take_tool(None)
        elif self.point is not None:
            self.choose_point(None)
        else:
            self.let_go()

    def let_go(self) -> None:
        """Choose no mark any more; its note stays chosen."""
        if (note := self.state.chosen_note) is not None:
            self.state.choose(note.id)

    def choose_point(self, which: int | None) -> None:
        """Choose a handle of the chosen mark."""
        self.point = which
        self._tell()

    def next_point(self, by: int) -> None:
        """Choose the next handle, or the one before."""
        mark = self.chosen_mark
        count = len(handles_of(mark)) if mark is not None else 0
        if count:
            start = -1 if by > 0 else 0
            self.choose_point(((start if self.point is None else self.point) + by) % count)

    def _asking_tool(self) -> MarkTool | None:
        if self.drawing is not None:
            return self.drawing.tool if self.drawing.tool.choices else None
        mark = self.chosen_mark
        kind = tool_class(tool_of(mark)) if mark is not None else None
        return kind(getattr(mark, kind.choice_field)) if kind and kind.choice_field else None

    # -- what the tools hand over ---------------------------------------------------------------

    def add_mark(self, mark: Mark) -> None:
        """Put a mark onto the note of the shown frame; the tool is laid down."""
        assert self.index is not None
        self.state.take_tool(None)
        self.editor.add(mark, self.index)

    def ask_length(self, a: Point, b: Point) -> None:
        """Ask how long the way between two points is."""
        self.scale_ends = (a, b)
        self._tell()

    def set_scale(self, length_cm: float, length_sd_cm: float, what: str) -> None:
        """Set the scale by the points that were given and their distance in the world."""
        assert self.scale_ends is not None
        a, b = self.scale_ends
        scale = Scale(a=a, b=b, length_cm=length_cm, length_sd_cm=length_sd_cm, what=what)
        self.state.take_tool(None)
        self.editor.set_reference("set the scale", scale=scale)
        pixels = math.dist((a.x, a.y), (b.x, b.y))
        self.state.say(
            f"Lengths now come in centimetres: {length_cm:g} cm are {pixels:.0f} pixels. "
            "Ctrl+B shows the scale."
        )

    def set_plumb(self, line: PlumbLine) -> None:
        """Set the review's true vertical; the tool is laid down."""
        self.state.take_tool(None)
        self.editor.set_reference("set the true vertical", plumb=line)
        self.state.say("Tilts now count from the vertical that you showed. Ctrl+B shows it.")

    def place_point(self, at: Point) -> None:
        """Place the next followed point, or the one that is placed repeatedly."""
        if self.repeating.now is not None:
            self.repeating.take(at)
            return
        self.repeating.forget()
        self.restart_drawing()
        if (name := self.points.next) is not None:
            self.points.place(name, at)

    def clear_reference(self) -> None:
        """Take away the reference whose tool is in hand."""
        if self.state.tool == "scale":
            self.editor.set_reference("remove the scale", scale=None)
        elif self.state.tool == "plumb_line":
            self.editor.set_reference("remove the true vertical", plumb=None)

    # -- what the desk tells --------------------------------------------------------------------

    def _tool_changed(self) -> None:
        self.repeating.forget()
        self.restart_drawing()

    def _followed(self) -> None:
        self._seen.forget()
        self.changed.emit()

    def _open(self) -> None:
        self.index, self.is_exact = None, False
        self._review_changed()

    def _review_changed(self) -> None:
        self._seen.renew()
        self.repeating.told = ""  # what it told of may have moved
        mark = self.state.chosen_mark
        if mark is None or (self.point is not None and self.point >= len(handles_of(mark))):
            self.point = None
        self._tell()

    def _choice_changed(self) -> None:
        self.point = None
        if self.repeating.now is None or self.repeating.now.mark_id is not None:
            self.repeating.end()
        self._tell()

    def _tell(self) -> None:
        self.asked.emit()
        self.changed.emit()


def _without(note: NoteMarks, mark_id: str | None) -> NoteMarks:
    return replace(note, marks=tuple(one for one in note.marks if one.mark.id != mark_id))


def _is_mark(placed: Placed, note_id: str, mark_id: str) -> bool:
    return placed.note_id == note_id and placed.mark.id == mark_id


def tool_of(mark: Mark) -> Tool:
    """The tool that draws such marks."""
    name: Tool = type(mark).__struct_config__.tag  # type: ignore[assignment]
    return name
