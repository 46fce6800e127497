"""Two demo reviews on the desk, each measured once in a test run."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import msgspec
from PyQt6.QtWidgets import QApplication
from support.media import ffmpeg
from support.pairs import demo_pairing

from cliptag.clip import open_clip
from cliptag.desk.pairing.laid import Laid, lay
from cliptag.desk.pairing.state import PairState
from cliptag.opening import review_path_of, start_review
from cliptag.pairing import Pairing, Side, compare_reviews, compare_sides
from cliptag.review import Mark, Point, Review, TrackedPoint, edit, points_of, save_review


@cache
def _measured(movement: str) -> tuple[Side, Side]:
    with compare_reviews(demo_pairing(movement)) as comparison:
        return comparison.sides


def opened_sides(movement: str = "sit_to_stand") -> tuple[Side, Side]:
    """Both sides of a demo movement, with clips of their own; close these yourself."""
    return with_own_clips(_measured(movement))


def with_own_clips(sides: tuple[Side, Side]) -> tuple[Side, Side]:
    """The same sides, measured as they are, with clips that are opened anew."""
    first, second = (replace(side, clip=open_clip(side.clip.path)) for side in sides)
    return first, second


def laid_pair(movement: str = "sit_to_stand", **fields: Any) -> Laid:
    """Both laid out as a pairing with these fields says."""
    return lay(compare_sides(demo_pairing(movement, **fields), *opened_sides(movement)))


@contextmanager
def pair_state(
    folder: Path, movement: str = "sit_to_stand", laid: Laid | None = None, **fields: Any
) -> Iterator[PairState]:
    """An open state, closed in good order; its pairing is kept in a folder."""
    state = PairState()
    state.open(laid or laid_pair(movement, **fields), folder / "both.pairing.json")
    try:
        yield state
    finally:
        state.close()
        state.deleteLater()
        QApplication.processEvents()


def wait_for_arrangement(qtbot: Any, state: PairState, act: Callable[[], object]) -> None:
    """Do something and wait until both are laid out anew for it."""
    with qtbot.waitSignal(state.compared, timeout=20_000):
        act()


def wait_for_pictures(qtbot: Any, state: PairState) -> None:
    """Wait until the frames that were asked for are there."""

    def are_there() -> bool:
        assert state.pictures is not None
        return state.pictures.is_exact

    qtbot.waitUntil(are_there, timeout=20_000)


def landscape_review(review: Review, source: Path, folder: Path) -> Path:
    """The same upright clip in the middle of a landscape one of 1920 x 1080, with its review."""
    target = folder / f"wide_{source.name}"
    height = 1080
    scale = height / review.clip.height
    width = round(review.clip.width * scale / 2) * 2
    left = (1920 - width) // 4 * 2
    ffmpeg(
        *("-i", source, "-vf", f"scale={width}:{height},pad=1920:1080:{left}:0:gray", "-an"),
        *("-c:v", "libx264", "-preset", "veryfast", "-crf", "20", "-pix_fmt", "yuv420p", target),
    )
    with open_clip(target) as clip:
        made = start_review(clip)

    def moved(point: Point) -> Point:
        return Point(point.x * width / review.clip.width + left, point.y * scale)

    def moved_mark(mark: Mark) -> Mark:
        return edit.with_points(mark, [moved(point) for point in points_of(mark)])

    def moved_track(point: TrackedPoint) -> TrackedPoint:
        keys = tuple(msgspec.structs.replace(key, place=moved(key.place)) for key in point.keys)
        return msgspec.structs.replace(point, keys=keys)

    notes = tuple(
        msgspec.structs.replace(note, marks=tuple(map(moved_mark, note.marks)))
        for note in review.notes
    )
    lines = {
        name: msgspec.structs.replace(line, **{end: moved(getattr(line, end)) for end in ends})
        for name, ends in {"scale": ("a", "b"), "plumb": ("top", "bottom")}.items()
        if (line := getattr(review, name)) is not None
    }
    laid = msgspec.structs.replace(
        review,
        clip=made.clip,
        notes=notes,
        tracked=tuple(map(moved_track, review.tracked)),
        **lines,
    )
    return save_review(laid, review_path_of(target))


def pairing_of_paths(first: Path, second: Path, **fields: Any) -> Pairing:
    """A pairing of two review files."""
    return Pairing(reviews=(str(first), str(second)), **fields)
