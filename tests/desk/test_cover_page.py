"""Covering faces on the desk: the list of doubtful frames, and placing by hand."""

from __future__ import annotations

from pathlib import Path

import msgspec
import numpy as np
import pytest
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QPushButton
from support.desk import opened_desk, press
from support.media import write_frames
from support.people import moved, person, shifts

from cliptag.clip import open_clip
from cliptag.cover import Ellipse, ellipse_at
from cliptag.desk.cover import CoverPage
from cliptag.desk.cover.board import _moved, _sized
from cliptag.desk.window import DeskWindow
from cliptag.opening import review_path_of, start_review
from cliptag.review import Consent, edit, save_review

COUNT = 75


@pytest.fixture(scope="module")
def review_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A person who is behind a board for a second."""
    face = person("astronaut")
    hidden = face.copy()
    hidden[:260, 100:350] = 90
    frames = [moved(hidden if 25 <= n < 55 else face, by) for n, by in enumerate(shifts(COUNT))]
    path = write_frames(tmp_path_factory.mktemp("people") / "ines.mp4", frames, 30)
    with open_clip(path) as clip:
        review = msgspec.structs.replace(start_review(clip), client="Ines")
    return save_review(review, review_path_of(path))


@pytest.fixture
def desk(qtbot, review_path: Path, tmp_path: Path):
    for file in review_path.parent.iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    with opened_desk(tmp_path / review_path.name) as window:
        press(window, "Ctrl+H")
        page = window.pages.page("cover")
        assert isinstance(page, CoverPage) and page.isVisible()
        qtbot.waitUntil(lambda: not page.model.is_looking, timeout=60_000)
        yield window


@pytest.fixture
def page(desk: DeskWindow) -> CoverPage:
    page = desk.pages.page("cover")
    assert isinstance(page, CoverPage)
    return page


def button(page: CoverPage, words: str) -> QPushButton:
    QTest.qWait(50)  # what was added is shown when the loop comes round
    return next(b for b in page.findChildren(QPushButton) if b.text() == words and b.isVisible())


def covers(desk: DeskWindow):
    document = desk.state.document
    assert document is not None
    return document.review.covers


def test_the_page_lists_where_a_face_may_be_open_and_goes_there(desk: DeskWindow, page: CoverPage):
    assert [doubt.why for doubt in page.model.doubts] == ["lost"]
    assert "one stretch" in page._status.text()
    press(desk, "Alt+U")
    doubt = page.model.doubts[0]
    assert doubt.first <= desk.state.playhead.index <= doubt.last


def test_fine_settles_a_stretch_and_undo_asks_again(desk: DeskWindow, page: CoverPage):
    button(page, "Fine").click()
    assert page.model.doubts == ()
    assert "a face was found or you looked" in page._status.text()
    press(desk, "Ctrl+Z")
    assert len(page.model.doubts) == 1


def test_by_keys_alone_an_area_is_placed_moved_and_sized(desk: DeskWindow, page: CoverPage):
    press(desk, "Alt+U")
    press(desk, "H")
    assert desk.focusWidget() is page.board
    start = ellipse_at(covers(desk)[0], page.model.now_us)
    for _ in range(3):
        press(desk, "Right")
    press(desk, "Shift+Up")
    end = ellipse_at(covers(desk)[0], page.model.now_us)
    assert end.x == start.x + 12 and end.y == start.y
    assert end.radius_y == start.radius_y + 4 and end.radius_x == start.radius_x
    assert page.model.doubts == () or page.model.doubts[0].first > desk.state.playhead.index - 15


def test_an_area_that_is_dragged_on_another_frame_gets_a_key_there(desk, page: CoverPage, qtbot):
    press(desk, "H")
    desk.state.playhead.go_to(30)
    qtbot.waitUntil(lambda: desk.stage.model.index == 30, timeout=10_000)
    area = covers(desk)[0]
    view = desk.stage.viewport
    was = ellipse_at(area, page.model.now_us)
    at = QPoint(*(round(v) for v in view.to_area(was.x, was.y)))
    QTest.mousePress(page.board, Qt.MouseButton.LeftButton, pos=at)
    QTest.mouseMove(page.board, at + QPoint(20, 10))
    QTest.mouseMove(page.board, at + QPoint(40, 20))
    QTest.mouseRelease(page.board, Qt.MouseButton.LeftButton, pos=at + QPoint(40, 20))
    area = covers(desk)[0]
    assert len(area.keys) == 2
    now = ellipse_at(area, page.model.now_us)
    assert now.x - was.x == pytest.approx(40 / view.zoom, abs=2 / view.zoom)
    press(desk, "Ctrl+Z")
    assert len(covers(desk)[0].keys) == 1, "a drag is one step"


def test_the_edge_sizes_an_area(desk: DeskWindow, page: CoverPage):
    press(desk, "Shift+H")
    view = desk.stage.viewport
    assert view is not None
    was = ellipse_at(covers(desk)[0], page.model.now_us)
    edge = QPoint(*(round(v) for v in view.to_area(was.x + was.radius_x, was.y)))
    QTest.mousePress(page.board, Qt.MouseButton.LeftButton, pos=edge)
    QTest.mouseMove(page.board, edge + QPoint(30, 0))
    QTest.mouseRelease(page.board, Qt.MouseButton.LeftButton, pos=edge + QPoint(30, 0))
    now = ellipse_at(covers(desk)[0], page.model.now_us)
    assert now.radius_x - was.radius_x == pytest.approx(30 / view.zoom, abs=3 / view.zoom)
    assert (now.x, now.y, now.radius_y) == pytest.approx((was.x, was.y, was.radius_y), abs=1.0)


def test_beside_the_areas_the_stage_gets_the_hand_and_a_tool_takes_it_wholly(desk, page):
    view = desk.stage.viewport
    press(desk, "R")
    corner = [QPoint(*(round(v) for v in view.to_area(x, y))) for x, y in ((60, 380), (160, 480))]
    letting = Qt.WidgetAttribute.WA_TransparentForMouseEvents
    assert page.board.testAttribute(letting)
    page.board.let_through(False)  # and what comes to the board beside all areas goes on
    QTest.mousePress(page.board, Qt.MouseButton.LeftButton, pos=corner[0])
    QTest.mouseMove(page.board, corner[1])
    QTest.mouseRelease(page.board, Qt.MouseButton.LeftButton, pos=corner[1])
    note = desk.state.document.review.notes[0]
    assert [type(mark).__name__ for mark in note.marks] == ["Ring"]
    assert covers(desk) == ()


def test_an_area_can_be_taken_away(desk: DeskWindow, page: CoverPage):
    press(desk, "H")
    button(page, "Remove").click()
    assert covers(desk) == ()


def test_the_picture_is_shown_as_it_will_leave(desk: DeskWindow, page: CoverPage, qtbot):
    qtbot.waitUntil(lambda: desk.stage.model.is_ready, timeout=10_000)
    area = page.model.areas()[0]
    view = desk.stage.viewport
    assert view is not None

    def inside() -> np.ndarray:
        image = page.board.grab().toImage()
        x, y = (round(v) for v in view.to_area(area.x, area.y))
        reach = round(0.3 * area.radius_x * view.zoom)
        return np.array(
            [image.pixelColor(x + d, y).getRgb()[:3] for d in range(-reach, reach)], float
        )

    desk.stage.repaint()
    page.model.show_covered(True)
    covered = inside()
    assert np.abs(np.diff(covered, axis=0)).max() < 16, "smooth, without a face in it"


def test_while_the_page_is_open_the_whole_picture_stays_in_sight(desk, page: CoverPage):
    view = desk.stage.viewport
    right = desk.stage.mapTo(desk, QPoint(round(view.left + view.size[0]), 0)).x()
    assert right <= page.mapTo(desk, QPoint(0, 0)).x()
    press(desk, "Ctrl+H")
    assert not page.board.isVisible()


def test_what_can_be_pressed_has_a_name(desk: DeskWindow, page: CoverPage):
    press(desk, "H")
    for pressed in page.findChildren(QPushButton):
        assert pressed.accessibleName() and pressed.toolTip()
    assert page.board.accessibleName() and page.board.accessibleDescription()


def test_with_a_doubt_left_no_covered_take_home_is_made(desk: DeskWindow, page, qtbot):
    document = desk.state.document
    consent = {"given_on": "2026-01-02", "covers": ["face_covered"], "reference": "form"}
    agreed = msgspec.convert(consent, Consent)
    document.do(edit.with_fields(document.review, consent=agreed), "agree")
    desk.commands.action("take_home_covered").trigger()
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=60_000)
    assert "A face may be open at" in desk.bar.sentence
    folder = desk.state.clip.path.parent
    assert not list(folder.glob("*covered"))
    page.model.is_fine(page.model.doubts[0])
    desk.commands.action("take_home_covered").trigger()
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=120_000)
    assert (folder / "ines take-home, covered" / "commentary.mp4").is_file()


def test_a_moved_ellipse_is_the_same_size():
    was = Ellipse(10, 10, 5, 5)
    assert _moved(was, QPointF(3, 4)) == Ellipse(13, 14, 5, 5)
    assert _sized(was, QPointF(15, 10), QPointF(2, 0)).radius_x == 7
