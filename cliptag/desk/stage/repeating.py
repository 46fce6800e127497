"""Placing the chosen point several times, without seeing where it was."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cliptag.desk.stage.points import the
from cliptag.desk.stage.repeats import Repeats
from cliptag.desk.stage.words import handle_words
from cliptag.review import Point, is_measuring

if TYPE_CHECKING:
    from cliptag.desk.stage.model import StageModel


class Repeating:
    """Goes through the placements of a followed point, or of a point of a measuring mark."""

    def __init__(self, model: StageModel) -> None:
        self.now: Repeats | None = None
        """What is being placed; None: nothing is."""
        self.told = ""
        """What came out of it last, for the stage's foot."""
        self._model = model

    def is_possible(self) -> bool:
        """Whether such a point is chosen on the shown frame."""
        return self._model.is_ready and self._chosen() is not None

    def begin(self) -> None:
        """Have the chosen point placed; where it is now is not shown: it would lead the hand."""
        self.now, self.told = self._chosen(), ""
        self._model.points.veiled = self.now.name if self.now else None
        self._model.restart_drawing()

    def take(self, at: Point) -> None:
        """The point was placed once more; after the last time it lies in the middle of all."""
        model, repeats = self._model, self.now
        assert repeats is not None
        repeats.places.append(at)
        if not repeats.is_complete:
            model.restart_drawing()
            return
        mean, sd_px = repeats.outcome(model.surety.sd_px(at))
        which = model.point
        self.end()
        if repeats.name is not None:
            model.points.place(repeats.name, mean, sd_px=sd_px)
            model.points.choose(repeats.name)
        elif which is not None:
            model.editor.put_handle(which, mean, None, sd_px)
        self.told = repeats.told(sd_px)
        model.asked.emit()

    def take_back(self) -> None:
        """Take the last placement back."""
        if self.now is not None:
            self.now.take_back()
            self._model.asked.emit()

    def end(self) -> None:
        """Give up what is being placed."""
        was_placing = self.now is not None
        self.forget()
        if was_placing:
            self._model.restart_drawing()

    def forget(self) -> None:
        """The same, where drawing begins anew anyway."""
        self.now, self.told = None, ""
        self._model.points.veiled = None

    def _chosen(self) -> Repeats | None:
        model = self._model
        name, mark, which = model.points.chosen, model.chosen_mark, model.point
        if name is not None:
            return Repeats(the(name), name=name)
        if mark is not None and which is not None and is_measuring(mark):
            return Repeats(f"the {handle_words(mark, which)}", mark_id=mark.id)
        return None
