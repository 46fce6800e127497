"""What the stage of two reviews paints, against the exported video's own pictures."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import msgspec
import numpy as np
import pytest
from PyQt6.QtGui import QImage
from support.pair_desk import (
    laid_pair,
    landscape_review,
    pair_state,
    pairing_of_paths,
    wait_for_pictures,
    with_own_clips,
)
from support.pairs import demo_pairing, made_over
from support.truth import FOLDER

from cliptag.desk.look import look
from cliptag.desk.pairing.laid import lay
from cliptag.desk.pairing.stage import PairStage
from cliptag.desk.pairing.state import PairState
from cliptag.pairing import Comparison, compare_reviews, compare_sides
from cliptag.review import load_review

WEEK1 = FOLDER / "sit_to_stand_week01.review.json"
MOST_MEAN_OFF = 4.0
"""Of 255: the video decodes to planes, the stage to RGB, and both scale by different code."""


def rgb_of(image: QImage) -> np.ndarray:
    packed = image.convertToFormat(QImage.Format.Format_RGB888)
    bits = packed.constBits()
    bits.setsize(packed.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(packed.height(), packed.bytesPerLine())
    return rows[:, : 3 * packed.width()].reshape(packed.height(), packed.width(), 3).copy()


def shown(qtbot, state: PairState, size: tuple[int, int] = (1000, 900)) -> PairStage:
    look()
    stage = PairStage(state)
    qtbot.addWidget(stage)
    stage.resize(*size)
    stage.show()
    state.show_marks(False)
    wait_for_pictures(qtbot, state)
    return stage


def difference(qtbot, state: PairState) -> float:
    """Mean absolute difference between the stage and the video's picture at the stage's size."""
    stage = shown(qtbot, state)
    view, comparison = stage.view, state.comparison
    assert view is not None and comparison is not None
    painted = rgb_of(stage.grab().toImage())
    left, top = round(view.left), round(view.top)
    width, height = int(view.width), int(view.height)
    painted = painted[top : top + height, left : left + width]
    video = comparison.pair.frame(state.playhead.index).rgb
    tall = max(p.top + p.height for p in comparison.sheet.panels)
    expected = cv2.resize(video[:tall], (width, height), interpolation=cv2.INTER_AREA)
    masks = np.zeros((height, width), bool)
    for panel in comparison.sheet.panels:  # between them lies the desk, or the sheet's dark
        box = view.panel(panel).translated(-view.left, -view.top).toAlignedRect()
        masks[box.top() + 3 : box.bottom() - 3, box.left() + 3 : box.right() - 3] = True
    off = np.abs(painted.astype(float) - expected.astype(float))[masks]
    return float(off.mean())


@pytest.mark.parametrize("layout", ["side", "above", "over"])
@pytest.mark.parametrize("movement", ["sit_to_stand", "lift"])
def test_the_stage_shows_what_the_video_will_show(qtbot, tmp_path: Path, layout, movement):
    """In the lift the camera was held askew, so that one picture is turned."""
    with pair_state(tmp_path, laid=laid_pair(movement, layout=layout)) as state:
        state.playhead.go_to(70)
        assert difference(qtbot, state) < MOST_MEAN_OFF


@pytest.fixture(scope="module")
def upright_and_wide(tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    """Week 1 as it is, and week 10 as if filmed with the phone held across."""
    second = FOLDER / "sit_to_stand_week10.review.json"
    review, folder = load_review(second), tmp_path_factory.mktemp("wide")
    wide = landscape_review(review, second.parent / review.clip.path, folder)
    with compare_reviews(pairing_of_paths(WEEK1, wide)) as comparison:
        return comparison


@pytest.mark.parametrize("layout", ["side", "above", "over"])
def test_an_upright_and_a_landscape_clip_are_laid_as_in_the_video(
    qtbot, tmp_path: Path, upright_and_wide: Comparison, layout
):
    pairing = msgspec.structs.replace(upright_and_wide.pairing, layout=layout)
    laid = lay(compare_sides(pairing, *with_own_clips(upright_and_wide.sides)))
    with pair_state(tmp_path, laid=laid) as state:
        state.playhead.go_to(70)
        assert difference(qtbot, state) < MOST_MEAN_OFF


def test_a_mirrored_smaller_clip_of_the_same_movement_fits_the_original(qtbot, tmp_path: Path):
    """One over the other, half and half: the same as the first alone, but for the encoder."""
    other = made_over(WEEK1, tmp_path, scale=0.5, mirrored=True)
    laid = lay(compare_reviews(pairing_of_paths(WEEK1, other, layout="over")))
    assert laid.comparison.placing.is_mirrored
    with pair_state(tmp_path, laid=laid) as state:
        state.playhead.go_to(70)
        stage = shown(qtbot, state)
        pictures = []
        for part in (0.0, 1.0):
            state.see(part)
            pictures.append(rgb_of(stage.grab().toImage()).astype(float))
        view = stage.view
        assert view is not None
        # Below the labels, and within the part that both clips show.
        rows = slice(round(view.top + 0.25 * view.height), round(view.top + 0.95 * view.height))
        columns = slice(round(view.left + 0.1 * view.width), round(view.left + 0.9 * view.width))
        one, two = (cv2.GaussianBlur(p[rows, columns], (0, 0), 2.0) for p in pictures)
        shift, _ = cv2.phaseCorrelate(one.mean(axis=2), two.mean(axis=2))
        assert np.hypot(*shift) < 2.0
        assert np.abs(one - two).mean() < 6.0


def test_the_slider_goes_from_the_first_picture_alone_to_the_second(qtbot, tmp_path: Path):
    with pair_state(tmp_path, layout="over") as state:
        state.playhead.go_to(70)
        stage = shown(qtbot, state)
        pictures = []
        for part in (0.0, 0.5, 1.0):
            state.see(part)
            pictures.append(rgb_of(stage.grab().toImage()).astype(float))
        middle = (pictures[0] + pictures[2]) / 2
        assert np.abs(pictures[0] - pictures[2]).mean() > 5.0
        assert np.abs(pictures[1] - middle).mean() < 1.0
        state.see(7.0)
        assert state.see_through == 1.0


def test_marks_are_painted_and_can_be_hidden(qtbot, tmp_path: Path):
    with pair_state(tmp_path) as state:
        state.playhead.go_to(70)
        stage = shown(qtbot, state)
        bare = rgb_of(stage.grab().toImage())
        state.show_marks(True)
        assert (rgb_of(stage.grab().toImage()) != bare).any()
        state.show_marks(False)
        assert (rgb_of(stage.grab().toImage()) == bare).all()


def test_who_cannot_see_the_pictures_is_told_where_both_are(qtbot, tmp_path: Path):
    with pair_state(tmp_path) as state:
        stage = shown(qtbot, state)
        state.playhead.go_to_time(state.axis.out_at(0.0))
        told: Callable[[], str] = stage.accessibleDescription
        qtbot.waitUntil(lambda: "first lean" in told(), timeout=3000)
        assert told() == "Week 1 and Week 10 at 0 %, first lean."


@pytest.mark.parametrize("size", [(300, 200), (1900, 400), (400, 1000)])
def test_both_pictures_are_seen_whole_at_every_size(qtbot, tmp_path: Path, size):
    assert demo_pairing("sit_to_stand").layout == "side"
    with pair_state(tmp_path) as state:
        stage = shown(qtbot, state, size)
        view = stage.view
        assert view is not None and state.comparison is not None
        for panel in state.comparison.sheet.panels:
            assert stage.rect().contains(view.panel(panel).toAlignedRect().adjusted(1, 1, -1, -1))
