"""What the stage shows and what is in hand there, without its pixels and its events."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.stage.captions import caption_boxes
from cliptag.desk.stage.drawing import Drawing
from cliptag.desk.stage.editing import MarkEditor
from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.loupe import Sight, fine_lines
from cliptag.desk.stage.references import FAINT, plumb_line, scale_line
from cliptag.desk.stage.shown import NoteMarks, NotesByFrame, marks_at, number_of
from cliptag.desk.stage.tools import tool_class
from cliptag.desk.state import DeskState, Tool
from cliptag.measure import camera_of
from cliptag.paint import ShownMark, mark_colour
from cliptag.review import Kind, Mark, PlumbLine, Point, Review, Scale


@dataclass(frozen=True, slots=True)
class Placed:
    """A mark that is seen, and the note that it belongs to."""

    note_id: str
    mark: Mark


class StageModel(QObject):
    """The shown frame with its marks, the mark being drawn, the chosen point."""

    changed = pyqtSignal()
    """The stage has to be painted anew."""
    asked = pyqtSignal()
    """The hint, the choices or the question at the stage's foot are others."""

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.state = state
        self.editor = MarkEditor(state)
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
        self._choices: dict[Tool, str] = {}
        self._notes = NotesByFrame((), np.zeros(1, np.int64))
        self._kept: list[NoteMarks] = []
        self._seen_for: tuple[Review, int, str | None] | None = None
        self._upright_deg = 0.0
        state.opened.connect(self._open)
        state.reviewed.connect(self._review_changed)
        state.chosen.connect(self._choice_changed)
        state.tool_changed.connect(self._tool_changed)
        self._open()

    # -- what is seen ---------------------------------------------------------------------------

    def picture_came(self, index: int, is_exact: bool) -> None:
        """Another frame is shown."""
        if index != self.index:
            self.point = None
            if self.drawing is not None:
                self.restart_drawing()
        self.index, self.is_exact = index, is_exact

    @property
    def review(self) -> Review | None:
        document = self.state.document
        return document.review if document else None

    @property
    def is_ready(self) -> bool:
        """Whether places can be taken: the very frame where the playhead stands is shown."""
        return self.is_exact and self.index == self.state.playhead.index

    @property
    def upright_deg(self) -> float:
        """How far the true vertical is turned from the picture's, clockwise."""
        return self._upright_deg

    def notes(self) -> list[NoteMarks]:
        """The marks that are seen, note by note, with the one that is being drawn."""
        seen = [*self._references(), *self._seen()]
        preview = self.drawing.preview if self.drawing else None
        return seen if preview is None else self._with_preview(seen, preview)

    def notes_beside_loupe(self) -> list[NoteMarks]:
        """The same, without the number of the mark in hand: the loupe carries it."""
        mark = self.drawing.preview if self.drawing else self.chosen_mark
        return [
            replace(
                note,
                marks=tuple(
                    replace(shown, reading=None) if mark and shown.mark.id == mark.id else shown
                    for shown in note.marks
                ),
            )
            for note in self.notes()
        ]

    def placed(self) -> list[Placed]:
        """The marks that can be taken hold of, in the order in which they are painted."""
        return [Placed(note.note_id, shown.mark) for note in self._seen() for shown in note.marks]

    @property
    def chosen_mark(self) -> Mark | None:
        """The chosen mark, if it is seen."""
        note, mark = self.state.chosen_note, self.state.chosen_mark
        if note is None or mark is None or Placed(note.id, mark) not in self.placed():
            return None
        return mark

    def number(self, mark: Mark | None) -> str | None:
        """The live number of a mark."""
        if self.review is None or mark is None:
            return None
        return number_of(self.review, "", 0, mark)

    def sight(self, place: Point) -> Sight:
        """What the loupe shows at a place: the mark in hand as fine lines, and its number."""
        mark = self.drawing.preview if self.drawing else self.chosen_mark
        if mark is None:
            return Sight(place)
        colour = mark_colour(mark.colour, self._kind())
        return Sight(place, fine_lines(mark), self.number(mark), colour)

    def _kind(self) -> Kind:
        """The kind of the note that a mark drawn now would belong to."""
        note, index = self.state.chosen_note, self.index
        is_here = note is not None and index is not None and self.editor.is_on(note, index)
        return note.kind if note is not None and is_here else "seen"

    def _seen(self) -> list[NoteMarks]:
        clip, review, index = self.state.clip, self.review, self.index
        if clip is None or review is None or index is None:
            return []
        note = self.state.chosen_note
        key = (review, index, note.id if note else None)
        # A long review takes long to compare, and is never changed in place.
        if (
            self._seen_for is None
            or review is not self._seen_for[0]
            or key[1:] != self._seen_for[1:]
        ):
            seen = marks_at(review, self._notes, index, key[2])
            self._kept = [
                replace(marks, keep_clear=caption_boxes(review, note, clip))
                if note is not None and marks.note_id == note.id
                else marks
                for marks in seen
            ]
            self._seen_for = key
        return self._kept

    def _references(self) -> list[NoteMarks]:
        """The scale and the true vertical, while their tools are in hand or when asked for."""
        review, is_all = self.review, self._are_references_asked_for
        marks: list[Mark] = []
        if review and review.scale and (is_all or self.state.tool == "scale"):
            marks.append(scale_line(review.scale))
        if review and review.plumb and (is_all or self.state.tool == "plumb_line"):
            marks.append(plumb_line(review.plumb))
        shown = tuple(ShownMark(mark, "seen") for mark in marks)
        return [NoteMarks("", shown, FAINT)] if shown else []

    def _with_preview(self, seen: list[NoteMarks], preview: Mark) -> list[NoteMarks]:
        """The preview joins its note's marks, so that their labels stay off each other."""
        note = self.state.chosen_note
        shown = ShownMark(preview, self._kind(), self.number(preview))
        for place, other in enumerate(seen):
            if note is not None and other.note_id == note.id:
                joined = replace(other, marks=(*other.marks, shown))
                return [*seen[:place], joined, *seen[place + 1 :]]
        return [*seen, NoteMarks("", (shown,))]

    def show_references(self, is_shown: bool) -> None:
        """Show scale and true vertical also without their tools, or not."""
        self._are_references_asked_for = is_shown
        self.changed.emit()

    # -- tools ----------------------------------------------------------------------------------

    @property
    def choices(self) -> tuple[str, dict[str, str], str] | None:
        """What is asked about the tool or the chosen mark: question, words by value, the answer."""
        if self.drawing is not None and self.drawing.tool.choices:
            tool = self.drawing.tool
            return tool.question, dict(tool.choices), tool.choice
        mark = self.chosen_mark
        if mark is None or self.drawing is not None:
            return None
        kind = tool_class(tool_of(mark))
        field = kind.choice_field
        return (kind.question, dict(kind.choices), getattr(mark, field)) if field else None

    def answer(self, value: str) -> None:
        """Take an answer to what is asked."""
        if self.drawing is not None:
            assert self.state.tool is not None
            self._choices[self.state.tool] = value
            self.drawing.tool.choice = value
        elif (mark := self.chosen_mark) is not None:
            field = tool_class(tool_of(mark)).choice_field
            if field:
                self.editor.restyle(**{field: value})
        self.asked.emit()
        self.changed.emit()

    def restart_drawing(self) -> None:
        """Forget the points given so far."""
        tool = self.state.tool
        self.scale_ends = None
        self.drawing = Drawing(tool_class(tool)(self._choices.get(tool, ""))) if tool else None
        self.asked.emit()
        self.changed.emit()

    def take_back(self) -> None:
        """Take back the last point that was given."""
        if self.drawing is not None:
            self.scale_ends = None
            self.drawing.take_back()
            self.asked.emit()
            self.changed.emit()

    def step_back(self) -> None:
        """What Escape does: one thing less in hand or chosen."""
        if self.drawing is not None and (self.drawing.given or self.scale_ends):
            self.restart_drawing()
        elif self.state.tool is not None:
            self.state.take_tool(None)
        elif self.point is not None:
            self.choose_point(None)
        elif (note := self.state.chosen_note) is not None:
            self.state.choose(note.id if self.state.chosen_mark else None)

    def choose_point(self, which: int | None) -> None:
        """Choose a handle of the chosen mark."""
        self.point = which
        self.asked.emit()
        self.changed.emit()

    def next_point(self, by: int) -> None:
        """Choose the next handle, or the one before."""
        mark = self.chosen_mark
        count = len(handles_of(mark)) if mark is not None else 0
        if count:
            start = -1 if by > 0 else 0
            self.choose_point(((start if self.point is None else self.point) + by) % count)

    # -- what the tools hand over ---------------------------------------------------------------

    def add_mark(self, mark: Mark) -> None:
        """Put a mark onto the note of the shown frame; the tool is laid down."""
        assert self.index is not None
        self.state.take_tool(None)
        self.editor.add(mark, self.index)

    def ask_length(self, a: Point, b: Point) -> None:
        """Ask how long the way between two points is."""
        self.scale_ends = (a, b)
        self.asked.emit()
        self.changed.emit()

    def set_scale(self, length_cm: float, length_sd_cm: float, what: str) -> None:
        """Set the scale by the points that were given and their distance in the world."""
        assert self.scale_ends is not None
        a, b = self.scale_ends
        scale = Scale(a=a, b=b, length_cm=length_cm, length_sd_cm=length_sd_cm, what=what)
        self.state.take_tool(None)
        self.editor.set_reference("set the scale", scale=scale)

    def set_plumb(self, line: PlumbLine) -> None:
        """Set the review's true vertical; the tool is laid down."""
        self.state.take_tool(None)
        self.editor.set_reference("set the true vertical", plumb=line)

    def clear_reference(self) -> None:
        """Take away the reference whose tool is in hand."""
        if self.state.tool == "scale":
            self.editor.set_reference("remove the scale", scale=None)
        elif self.state.tool == "plumb_line":
            self.editor.set_reference("remove the true vertical", plumb=None)

    # -- what the desk tells --------------------------------------------------------------------

    def _open(self) -> None:
        self.index, self.is_exact, self.point = None, False, None
        self._review_changed()

    def _review_changed(self) -> None:
        clip, review = self.state.clip, self.review
        if clip is not None and review is not None:
            self._notes = NotesByFrame(review.notes, clip.times_us)
            self._upright_deg = camera_of(review).upright_deg.value
        else:
            self._notes = NotesByFrame((), np.zeros(1, np.int64))
        mark = self.state.chosen_mark
        if mark is None or (self.point is not None and self.point >= len(handles_of(mark))):
            self.point = None
        self.asked.emit()
        self.changed.emit()

    def _choice_changed(self) -> None:
        self.point = None
        self.asked.emit()
        self.changed.emit()

    def _tool_changed(self) -> None:
        self.restart_drawing()


def tool_of(mark: Mark) -> Tool:
    """The tool that draws such marks."""
    name: Tool = type(mark).__struct_config__.tag  # type: ignore[assignment]
    return name
