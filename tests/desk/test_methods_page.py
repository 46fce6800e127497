"""Reference methods on the desk: filled in, answered by hand, put into a note."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtGui import QWheelEvent
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QComboBox, QLineEdit, QToolButton
from support.desk import opened_desk, press

from cliptag.demo import demo_folder
from cliptag.desk.methods import MethodsPage
from cliptag.desk.state import TOOLS
from cliptag.desk.window import DeskWindow
from cliptag.measure.published import METHODS

NAME = "lift_week01"
LOAD_OFF_US = 2_950_000


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lift")
    for suffix in (".mp4", ".review.json"):
        shutil.copy(demo_folder() / (NAME + suffix), folder)
    return folder


@pytest.fixture
def desk(qtbot, folder: Path):
    with opened_desk(folder / f"{NAME}.review.json") as window:
        following = window.state.following
        qtbot.waitUntil(lambda: following.report is not None, timeout=60_000)
        window.state.playhead.go_to_time(LOAD_OFF_US)
        press(window, "Ctrl+R")
        yield window


@pytest.fixture
def page(desk: DeskWindow) -> MethodsPage:
    page = desk.pages.page("methods")
    assert isinstance(page, MethodsPage) and page.isVisible()
    return page


def asked(page: MethodsPage, name: str):
    return next(row for row in page.rows if row.question.name == name)


def type_in(page: MethodsPage, name: str, words: str) -> None:
    field = asked(page, name).field
    assert isinstance(field, QLineEdit)
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, words)


def test_the_wheel_scrolls_the_page_and_changes_no_answer(page: MethodsPage):
    grip = asked(page, "coupling").field
    assert isinstance(grip, QComboBox)
    page.model.say("coupling", "good")
    at = QPointF(5.0, 5.0)
    turn = QWheelEvent(
        *(at, QPointF(grip.mapToGlobal(at)), QPoint(), QPoint(0, -120)),
        *(Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier),
        *(Qt.ScrollPhase.NoScrollPhase, False),
    )
    QApplication.sendEvent(grip, turn)
    assert page.model.typed("coupling") == "good"
    assert not turn.isAccepted(), "it is for the page"


def test_what_a_number_is_put_into_does_not_hide_the_page(desk: DeskWindow, page: MethodsPage):
    press(desk, "Ctrl+Shift+M")
    page = desk.pages.page("movement")
    put = next(b for b in page.findChildren(QToolButton) if b.accessibleName().startswith("Put"))
    QTest.mouseClick(put, Qt.MouseButton.LeftButton)
    assert desk.card.isVisible() and desk.state.chosen_note is not None
    over = desk.card.geometry().center()
    assert page.geometry().contains(over)
    seen = desk.centralWidget().childAt(over)
    assert seen is page or page.isAncestorOf(seen)
    desk.write_note()
    seen = desk.centralWidget().childAt(over)
    assert seen is desk.card or desk.card.isAncestorOf(seen), "who writes sees what"


def test_no_tool_is_out_of_reach_behind_a_page(desk: DeskWindow, page: MethodsPage):
    edge = page.mapTo(desk, QPoint()).x()
    row = desk.tools
    shown = [b for b in row.findChildren(QToolButton) if b.isVisible()]
    assert all(b.mapTo(desk, b.rect().topRight()).x() < edge for b in shown)
    more = next(b for b in shown if b.accessibleName() == "More tools")
    offered = {action.text() for action in more.menu().actions()}
    hidden = {b.accessibleName() for b in row.findChildren(QToolButton) if b.isHidden()}
    assert offered == hidden and offered
    press(desk, "Escape")
    assert not more.isVisible() and not any(
        b.isHidden() for b in row.findChildren(QToolButton) if b is not more
    )
    assert all(action.isVisible() for action in offered_in_menus(desk))


def offered_in_menus(desk: DeskWindow):
    return [desk.commands.action(f"tool_{tool}") for tool in TOOLS]


def numbers(desk: DeskWindow):
    return [n for note in desk.state.document.review.notes for n in note.numbers]


def test_what_is_measured_is_filled_in_and_marked_as_measured(page: MethodsPage):
    page.model.choose("reba")
    trunk = asked(page, "trunk_deg")
    value, spread = trunk.field.text().split(" ± ")
    # The drawn lift has the trunk 96 degrees forward there (demo truth).
    assert float(value) == pytest.approx(96, abs=2)
    assert 0 < float(spread) < 3
    assert trunk.field.accessibleDescription().startswith("Measured: Trunk tilt at 0:02.9")
    assert asked(page, "neck_deg").field.text() == ""
    assert page.result.text().startswith("Still to answer: neck")


def test_the_filled_in_value_goes_with_the_shown_frame(desk: DeskWindow, page: MethodsPage):
    page.model.choose("reba")
    bent = asked(page, "trunk_deg").field.text()
    desk.state.playhead.go_to_time(5_200_000)
    upright = asked(page, "trunk_deg").field.text()
    assert float(upright.split(" ")[0]) < 10 < float(bent.split(" ")[0])


def test_a_typed_answer_stays_and_an_empty_field_takes_the_measured_one_again(page: MethodsPage):
    page.model.choose("reba")
    measured = asked(page, "knee_deg").field.text()
    type_in(page, "knee_deg", "40")
    page.model.choose("rula")
    page.model.choose("reba")
    assert asked(page, "knee_deg").field.text() == "40"
    page.model.say("knee_deg", "")
    assert asked(page, "knee_deg").field.text() == measured


def test_the_result_comes_at_once_and_goes_into_a_note_with_one_click(
    qtbot, desk: DeskWindow, page: MethodsPage
):
    page.model.choose("reba")
    type_in(page, "neck_deg", "20")
    type_in(page, "wrist_deg", "10")
    assert page.result.text().startswith("REBA score ")
    assert "not a diagnosis" in page.result.text()
    before = len(numbers(desk))

    def shown() -> list[QToolButton]:
        buttons = page.findChildren(QToolButton)
        return [b for b in buttons if b.isVisible() and b.accessibleName().startswith("Put into")]

    qtbot.waitUntil(lambda: len(shown()) == 1)
    (button,) = shown()
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    added = numbers(desk)
    assert len(added) == before + 1
    score = next(n for n in added if n.name == "reba_score")
    assert score.unit == "points" and 1 <= score.value <= 15 and score.sd == 0
    press(desk, "Ctrl+Z")
    assert len(numbers(desk)) == before


def test_nonsense_is_one_sentence_and_takes_no_result(page: MethodsPage):
    page.model.choose("craniovertebral-angle")
    type_in(page, "craniovertebral_deg", "much")
    assert "which is not a number" in page.result.text()
    assert page.model.outcome is None


def test_the_lever_arm_is_drawn_and_saved_beside_the_clip(
    desk: DeskWindow, page: MethodsPage, folder: Path
):
    page.model.choose("lever-arm")
    assert not page.lesson.isVisible()
    for name, word in (("body_mass_kg", "65"), ("stature_cm", "168"), ("load_kg", "12")):
        type_in(page, name, word)
    page.model.say("sex", "female")
    assert page.lesson.isVisible()
    assert "20 cm closer takes" in page.result.text()
    page._save_lesson()
    assert (folder / f"{NAME}.lever-arm.png").read_bytes().startswith(b"\x89PNG")


@pytest.mark.parametrize("key", METHODS)
def test_every_method_can_be_chosen_and_every_field_has_a_name(page: MethodsPage, key: str):
    page.model.choose(key)
    assert [row.question.name for row in page.rows]
    for row in page.rows:
        assert row.field.accessibleName()
        assert row.field.focusPolicy() & Qt.FocusPolicy.TabFocus


def test_without_a_clip_there_is_no_page(desk: DeskWindow, page: MethodsPage):
    press(desk, "Ctrl+W")
    assert not page.isVisible()
