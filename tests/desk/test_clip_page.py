"""'About this clip': every field is the document's and can be undone."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication
from support.desk import opened_desk, press, small_clip
from support.media import real_clip

from cliptag.desk.clip_page import ClipPage
from cliptag.desk.intake_box import IntakeBox
from cliptag.desk.window import DeskWindow
from cliptag.review import Consent, edit


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture
def desk(qtbot, clip: Path):
    with opened_desk(clip) as window:
        press(window, "Ctrl+I")
        yield window
    clip.with_name("ines.review.json").unlink(missing_ok=True)


@pytest.fixture
def page(desk: DeskWindow) -> ClipPage:
    page = desk.pages.page("clip")
    assert isinstance(page, ClipPage) and page.isVisible()
    return page


def fill(line, text: str) -> None:
    line.setFocus()
    line.setText(text)
    line.editingFinished.emit()


def test_a_name_is_one_step_however_many_letters_it_has(desk: DeskWindow, page: ClipPage):
    for letter in "ines":
        press(desk, letter)
    document = desk.state.document
    assert document.review.client == "ines" and document.undo_words == "name the client"
    document.undo()
    assert document.review.client == "" and page._client.text() == ""


def test_week_day_movement_and_facing(desk: DeskWindow, page: ClipPage):
    document = desk.state.document
    fill(page._week, "10")
    fill(page._day, "2026-03-31")
    page._movement.setCurrentIndex(page._movement.findData("lift"))
    page._movement.activated.emit(page._movement.currentIndex())
    page._facing._group.button(2).click()
    review = document.review
    assert (review.week, review.recorded_on) == (10, dt.date(2026, 3, 31))
    assert (review.movement, review.facing) == ("lift", "right")
    fill(page._week, "")
    assert document.review.week is None
    for _ in range(5):
        document.undo()
    assert document.undo_words is None and page._movement.currentData() == "other"


@pytest.mark.parametrize(
    ("field", "typed"), [("_week", "ten"), ("_week", "-1"), ("_day", "31.3.26"), ("_day", "x")]
)
def test_what_cant_be_read_is_told_and_changes_nothing(desk, page: ClipPage, field, typed):
    fill(getattr(page, field), typed)
    assert desk.state.document.undo_words is None
    assert page._complaint.isVisible() and page._complaint.text().endswith(".")
    fill(getattr(page, field), "")
    assert not page._complaint.isVisible()


def test_consent_is_kept_once_its_day_is_known(desk: DeskWindow, page: ClipPage):
    document = desk.state.document
    fill(page._reference, "letter 12")
    assert document.review.consent is None and "day" in page._complaint.text()
    page._covers["private_feedback"].click()
    fill(page._given_on, "2026-03-01")
    assert document.review.consent == Consent(
        given_on=dt.date(2026, 3, 1), covers=("private_feedback",), reference="letter 12"
    )
    document.undo()
    assert document.review.consent is None
    assert page._reference.text() == "" and not page._covers["private_feedback"].isChecked()
    document.redo()
    assert page._reference.text() == "letter 12" and page._covers["private_feedback"].isChecked()


def test_the_caution_can_be_put_into_other_words(desk: DeskWindow, page: ClipPage):
    page._caution.setFocus()
    page._caution.setPlainText("See your own doctor first.")
    assert desk.state.document.review.caution == "See your own doctor first."
    desk.state.document.undo()
    assert page._caution.toPlainText() == desk.state.document.review.caution


def test_it_goes_with_the_clip(desk: DeskWindow, page: ClipPage):
    desk.clear()
    assert not page.isVisible()


def test_each_client_has_a_language_or_the_usual_one(desk: DeskWindow, page: ClipPage):
    for code in ("he", None):
        page._language.setCurrentIndex(page._language.findData(code))
        page._language.activated.emit(page._language.currentIndex())
        assert desk.state.document.review.language == code


def test_the_page_tells_whether_the_clip_can_be_measured_from_and_what_to_ask(qtbot, tmp_path):
    path = tmp_path / "ines.mp4"
    shutil.copy(real_clip("carphone"), path)
    with opened_desk(path) as desk:
        document = desk.state.document
        assert document is not None
        document.do(edit.with_fields(document.review, client="Ines", language="de"), "tell")
        press(desk, "Ctrl+I")
        box = desk.pages.page("clip").findChild(IntakeBox)
        assert box is not None
        qtbot.waitUntil(lambda: "Ask again" in box._verdict.text(), timeout=60_000)
        assert "Ask again: The picture is 193" in box._reasons.text()
        assert "Fine:" not in box._reasons.text()
        box._copy.click()
        clipboard = QApplication.clipboard()
        assert clipboard is not None
        assert clipboard.text().startswith("Hallo Ines,\nDanke für deine Aufnahme.")
