"""What is covered on the shown frame, which area is in hand, and every change to it."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.cover import (
    Cover,
    Doubt,
    Ellipse,
    HeadSearch,
    ellipse_at,
    groups_of,
    head_by_points,
)
from cliptag.desk.cover.finding import HeadFinding
from cliptag.desk.state import DeskState
from cliptag.review import CoverArea, CoverKey, CoverKind, Point, Review, edit

_LEAST_RADIUS = 4.0
_NEW_PART = 0.07
"""Of the picture's longer side: the radius of an area that is placed where nothing was found."""


class CoverModel(QObject):
    """The cover of the desk's review; it looks for heads while ``is_on``."""

    changed = pyqtSignal()

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._finding: HeadFinding | None = None
        self._search: HeadSearch | None = None
        self._cover: tuple[Review, object, Cover] | None = None
        self._chosen: str | None = None
        self.is_on = False
        self.is_previewed = False
        self.progress = 0.0
        self.trouble = ""
        state.opened.connect(self._open)
        for signal in (state.reviewed, state.followed, state.playhead.moved):
            signal.connect(self.changed)

    # -- what is known --------------------------------------------------------------------------

    @property
    def is_looking(self) -> bool:
        """Whether the heads are still being looked for."""
        return self.is_on and self._search is None and not self.trouble

    @property
    def review(self) -> Review | None:
        """The review on the desk."""
        return self._state.document.review if self._state.document else None

    @property
    def cover(self) -> Cover | None:
        """What is covered, as far as it is known; None without a clip."""
        clip, review = self._state.clip, self.review
        if clip is None or review is None:
            return None
        tracks = self._state.following.tracks if self._state.following else None
        key = (self._search, tracks)
        kept = self._cover
        if kept is None or kept[0] is not review or kept[1] != key:
            by_points = (
                head_by_points(tracks.points, tracks.sd_px, clip.info.height) if tracks else []
            )
            search = self._search or HeadSearch(samples=(0,), heads=())
            cover = Cover(review, clip.times_us, search, by_points)
            self._cover = kept = review, key, cover
        return kept[2]

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """The stretches to look at; none before the search is done."""
        cover = self.cover
        return cover.doubts if cover is not None and self._search is not None else ()

    @property
    def now_us(self) -> int:
        """When the shown frame begins."""
        clip = self._state.clip
        return int(clip.times_us[self._state.playhead.index]) if clip is not None else 0

    def areas(self) -> tuple[Ellipse, ...]:
        """Everything that is covered on the shown frame."""
        cover = self.cover
        return cover.at(self._state.playhead.index) if cover is not None else ()

    def placed(self) -> list[tuple[CoverArea, Ellipse]]:
        """The areas by hand as they are on the shown frame."""
        review = self.review
        return [] if review is None else [(a, ellipse_at(a, self.now_us)) for a in review.covers]

    @property
    def chosen(self) -> CoverArea | None:
        """The area in hand."""
        review = self.review
        areas = review.covers if review is not None else ()
        return next((area for area in areas if area.id == self._chosen), None)

    # -- working --------------------------------------------------------------------------------

    def turn_on(self, is_on: bool) -> None:
        """Look for heads, or let go of them."""
        self.is_on = is_on
        if is_on and self._search is None and self._finding is None and self._state.clip:
            self.trouble, self.progress = "", 0.0
            self._finding = HeadFinding(self._state.clip.path, self)
            self._finding.found.connect(self._found)
            self._finding.progressed.connect(self._progressed)
            self._finding.failed.connect(self._failed)
        self.changed.emit()

    def close(self) -> None:
        """Stop looking."""
        if self._finding is not None:
            self._finding.close()
            self._finding.deleteLater()
            self._finding = None

    def choose(self, area_id: str | None) -> None:
        """Take an area in hand."""
        if area_id != self._chosen:
            self._chosen = area_id
            self.changed.emit()

    def show_covered(self, is_shown: bool) -> None:
        """Show the picture as it will leave, or where its areas are."""
        self.is_previewed = is_shown
        self.changed.emit()

    def place(self, what: CoverKind) -> None:
        """Put a new area on the shown frame: over the head that was found there, else mid-frame."""
        clip, document = self._state.clip, self._state.document
        if clip is None or document is None:
            return
        info, areas = clip.info, self.areas()
        radius = _NEW_PART * max(info.width, info.height)
        at = Ellipse(info.width / 2, info.height / 2, radius, radius)
        if what == "head" and areas:
            at = _round_all(groups_of(areas)[0])
        area = CoverArea(id=edit.new_id(), what=what, keys=(_key(self.now_us, at),))
        self._chosen = area.id
        words = "cover a head" if what == "head" else "cover something"
        document.do(edit.with_cover(document.review, area), words)

    def put(self, area_id: str, at: Ellipse) -> None:
        """Have an area lie there on the shown frame; a drag is one step that can be undone."""
        document = self._state.document
        if document is None:
            return
        review = edit.with_cover_key(document.review, area_id, _key(self.now_us, at))
        document.do(review, "move a covered area", run=f"cover {area_id} {self.now_us}")

    def end_drag(self) -> None:
        """The hand let go."""
        if self._state.document is not None:
            self._state.document.end_run()

    def take_back_here(self, area_id: str) -> None:
        """Take back where an area was placed on the shown frame, if it was."""
        document = self._state.document
        area = next((a for a, _ in self.placed() if a.id == area_id), None)
        if document is not None and area is not None and self.is_key_here(area):
            review = edit.without_cover_key(document.review, area_id, self.now_us)
            document.do(review, "take back a covered area here")

    def remove(self, area_id: str) -> None:
        """Cover an area no longer."""
        document = self._state.document
        if document is not None:
            review = edit.without_cover(document.review, area_id)
            document.do(review, "take a covered area away")

    def is_key_here(self, area: CoverArea) -> bool:
        """Whether it was placed on the shown frame."""
        return any(key.at_us == self.now_us for key in area.keys)

    # -- doubts ---------------------------------------------------------------------------------

    def doubt_here(self) -> Doubt | None:
        """The doubtful stretch that the shown frame lies in."""
        index = self._state.playhead.index
        return next((d for d in self.doubts if d.first <= index <= d.last), None)

    def go_to(self, doubt: Doubt) -> None:
        """Show the middle of a stretch."""
        self._state.playhead.go_to((doubt.first + doubt.last) // 2)

    def next_doubt(self) -> None:
        """Go to the next stretch to look at, after the last one to the first."""
        here = self.doubt_here()
        index = here.last if here is not None else self._state.playhead.index
        later = [doubt for doubt in self.doubts if doubt.first > index]
        if self.doubts:
            self.go_to((later or list(self.doubts))[0])
        else:
            self._say_why_none()

    def is_fine(self, doubt: Doubt | None = None) -> None:
        """The coach looked at a stretch (by default the one shown): no face is open."""
        doubt, document = doubt or self.doubt_here(), self._state.document
        if doubt is None:
            self._say_why_none()
        elif document is not None:
            review = edit.with_cover_checked(document.review, doubt.start_us, doubt.end_us)
            document.do(review, "tell that no face is open")

    def _say_why_none(self) -> None:
        if self.is_looking:
            self._state.say("Faces are still being looked for.")
        elif self.doubts:
            self._state.say("This frame is not one of those in doubt.")
        else:
            self._state.say("No frame is in doubt.")

    # -- what comes -----------------------------------------------------------------------------

    def _open(self) -> None:
        self.close()
        self._search, self._cover, self._chosen, self.trouble = None, None, None, ""
        if self.is_on:
            self.turn_on(True)
        self.changed.emit()

    def _found(self, search: HeadSearch) -> None:
        if self.sender() is self._finding:
            self._search = search
            self.close()
            self.changed.emit()

    def _progressed(self, done: float) -> None:
        self.progress = done
        self.changed.emit()

    def _failed(self, sentence: str) -> None:
        if self.sender() is self._finding:
            self.trouble = sentence
            self.close()
            self.changed.emit()


def _round_all(areas: Sequence[Ellipse]) -> Ellipse:
    """About where areas that overlap lie together."""
    left, right = min(a.x - a.radius_x for a in areas), max(a.x + a.radius_x for a in areas)
    top, bottom = min(a.y - a.radius_y for a in areas), max(a.y + a.radius_y for a in areas)
    return Ellipse((left + right) / 2, (top + bottom) / 2, (right - left) / 2, (bottom - top) / 2)


def _key(at_us: int, at: Ellipse) -> CoverKey:
    return CoverKey(
        at_us=at_us,
        centre=Point(at.x, at.y),
        radius_x=max(_LEAST_RADIUS, at.radius_x),
        radius_y=max(_LEAST_RADIUS, at.radius_y),
    )
