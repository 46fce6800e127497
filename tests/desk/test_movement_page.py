"""The page about the movement, on a drawn lift that was followed."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QLabel, QPushButton, QToolButton, QWidget
from support.followed import followed_lift, put_lift_on_desk
from support.reviews import note

from cliptag.desk.following import Followed
from cliptag.desk.look import look
from cliptag.desk.movement import MovementPage, MovementSteps
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState
from cliptag.measure import number_of_descriptor, shown
from cliptag.review import Joint, Tilt, edit


class Desk:
    """A page on a host of its own."""

    def __init__(self, followed: Followed | None, **fields: object) -> None:
        look()
        self.state = DeskState()
        self.following = put_lift_on_desk(self.state, followed, **fields)
        self.reviewing = Reviewing(self.state, PreferenceStore())
        self.steps = MovementSteps(self.state, self.reviewing)
        self.host = QWidget()
        self.host.resize(1200, 900)
        self.foot = QWidget(self.host)
        self.foot.setGeometry(0, 800, 1200, 100)
        self.page = MovementPage(self.state, self.reviewing, self.host, self.foot)
        self.said: list[str] = []
        self.state.said.connect(self.said.append)
        self.host.show()
        self.page.bring()
        QApplication.processEvents()

    @property
    def review(self):
        return self.state.document.review

    def texts(self, part: QWidget) -> str:
        return "\n".join(label.text() for label in part.findChildren(QLabel) if label.isVisible())

    def button(self, part: QWidget, name: str) -> QPushButton | QToolButton:
        kinds = part.findChildren(QPushButton) + part.findChildren(QToolButton)
        found = [b for b in kinds if b.isVisible() and name in (b.accessibleName() or b.text())]
        assert found, name
        return found[0]

    def open(self, fold) -> None:
        if not fold.is_open:
            fold.head.click()
        QApplication.processEvents()

    def end(self) -> None:
        self.host.close()
        self.state.following = None
        self.state.close()


@pytest.fixture
def desk(qapp):
    desk = Desk(followed_lift())
    yield desk
    desk.end()


REPORT = followed_lift().report


def test_the_descriptors_stand_as_sentences_the_first_thing_of_the_page(desk):
    texts = desk.texts(desk.page.told)
    for told in REPORT.descriptors:
        assert told.sentence in texts
    assert desk.page.told.is_open
    assert desk.page.told.y() < desk.page.moments.y() < desk.page.how.y()


def test_tab_goes_down_the_page_as_the_eye_does(desk):
    desk.open(desk.page.now)
    here = desk.page.told.head
    here.setFocus()
    places = []
    for _ in range(30):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        here = QApplication.focusWidget()
        places.append(here.mapTo(desk.page, here.rect().center()))
    rows = [(place.y() // 12, place.x()) for place in places]
    lower = [after[0] >= before[0] - 1 for before, after in pairwise(rows)]
    assert all(lower), rows


def test_it_tells_how_well_the_points_are_known(desk):
    assert "300 frames" in desk.page.status.words.text()
    assert "knee, on 87 of 100" in desk.page.status.words.text()  # 260 of 300
    desk.open(desk.page.how)
    assert "Knee: known on 260 of 300 frames (hidden on 40)." in desk.texts(desk.page.how)


def test_the_page_ends_above_the_strip_so_that_curves_and_page_are_seen_together(desk):
    assert desk.page.geometry().bottom() < desk.foot.y()


def test_one_click_puts_a_number_into_a_new_note_on_its_frame(desk):
    told = next(told for told in REPORT.descriptors if told.name == "peak_trunk_lean")
    number = number_of_descriptor(told)
    desk.button(desk.page.told, f"Put into the note: {number.words} {shown(number)}").click()
    (made,) = desk.review.notes
    assert made.numbers == (number,)
    assert (number.value, number.sd, number.unit) == (told.value, told.sd, "°")
    assert number.sense == "forward"
    assert made.start_us == desk.state.playhead.time_us
    assert desk.state.playhead.index == desk.state.playhead.index_at(told.at_us)
    assert desk.state.chosen_note == made
    desk.state.document.undo()
    assert not desk.review.notes


def test_with_a_chosen_note_the_number_goes_there_and_the_playhead_stays(desk):
    desk.state.document.do(edit.with_note(desk.review, note(1)), "put")
    desk.state.choose("n1")
    desk.state.playhead.go_to(10)
    desk.button(desk.page.told, "Put into the note").click()
    assert len(edit.note_of(desk.review, "n1").numbers) == 1
    assert desk.state.playhead.index == 10
    desk.button(desk.page.told, "Put into the note").click()
    assert len(edit.note_of(desk.review, "n1").numbers) == 1  # the same one
    assert desk.said[-1].startswith("In the note on")


def test_a_time_leads_to_its_frame(desk):
    told = REPORT.descriptors[0]
    desk.button(desk.page.told, f"Show the frame at 0:0{told.at_us / 1e6:.1f}").click()
    assert desk.state.playhead.index == desk.state.playhead.index_at(told.at_us)


def test_each_proposed_moment_stands_with_its_reason_and_is_confirmed_by_a_button(desk):
    texts = desk.texts(desk.page.moments)
    for proposal in REPORT.proposals:
        assert proposal.reason in texts
    assert desk.page.moments.head.text().endswith("5 to confirm")
    desk.button(desk.page.moments, "Confirm Load off").click()
    assert [moment.name for moment in desk.review.moments] == ["load_off"]
    QApplication.processEvents()
    assert "Load off – set" in desk.texts(desk.page.moments)
    assert desk.page.moments.head.text().endswith("4 to confirm")


def test_all_moments_are_confirmed_in_one_step(desk):
    desk.button(desk.page.moments, "Confirm all").click()
    assert len(desk.review.moments) == 5
    times = set(desk.state.clip.times_us.tolist())
    assert all(moment.at_us in times for moment in desk.review.moments)
    desk.state.document.undo()
    assert not desk.review.moments


def test_after_confirming_by_keyboard_the_keyboard_stays_among_the_moments(desk):
    button = desk.button(desk.page.moments, "Confirm Load off")
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Space)
    QApplication.processEvents()
    focus = desk.host.focusWidget()
    assert focus is not None
    assert desk.page.moments.isAncestorOf(focus)


def test_the_angles_are_those_of_the_shown_frame(desk):
    desk.open(desk.page.now)
    table = desk.page._angles
    for index in (0, 100):
        desk.state.playhead.go_to(index)
        value = REPORT.angles["trunk_tilt"].values[index]
        told = float(table.values["trunk_tilt"].text().split("°")[0].replace("−", "-"))
        assert abs(told - value) <= 0.51
    desk.state.playhead.go_to(220)
    assert table.values["knee_flexion"].text() == "–"
    assert not table.puts["knee_flexion"].isEnabled()


def test_a_tick_shows_a_curve_in_the_strip(desk):
    desk.open(desk.page.now)
    boxes = desk.page._angles.boxes
    assert [name for name, box in boxes.items() if box.isChecked()] == [
        "trunk_tilt",
        "low_back_rounding",
    ]
    boxes["knee_flexion"].click()
    boxes["trunk_tilt"].click()
    names = desk.state.shown_curves.names("lift", REPORT.angles)
    assert names == ("low_back_rounding", "knee_flexion")


@pytest.mark.parametrize(
    ("name", "kind", "follows"),
    [
        ("knee_flexion", Joint, ("hip", "knee", "ankle")),
        ("trunk_tilt", Tilt, ("hip", "shoulder")),
    ],
)
def test_an_angle_is_shown_on_the_picture_by_a_mark_that_goes_with_its_points(
    desk, name, kind, follows
):
    desk.open(desk.page.now)
    desk.state.playhead.go_to(100)
    desk.page._angles.draws[name].click()
    (made,) = desk.review.notes
    (mark,) = made.marks
    assert isinstance(mark, kind)
    assert mark.follows == follows
    assert made.start_us == int(desk.state.clip.times_us[100])
    assert desk.state.chosen_mark == mark


def test_the_value_on_the_shown_frame_goes_into_the_note_by_a_key(desk):
    desk.state.playhead.go_to(100)
    desk.steps.put_shown_values()
    (made,) = desk.review.notes
    assert [number.name for number in made.numbers] == ["trunk_tilt", "low_back_rounding"]
    at_us = int(desk.state.clip.times_us[100])
    assert {number.at_us for number in made.numbers} == {at_us}
    assert made.numbers[0].value == REPORT.angles["trunk_tilt"].values[100]


def test_ranges_and_times_can_be_put_into_a_note_too(desk):
    desk.open(desk.page.ranges)
    desk.button(desk.page.ranges, "Put into the note: Trunk tilt, range").click()
    desk.open(desk.page.times)
    desk.button(desk.page.times, "Put into the note: Time for taking hold").click()
    (made,) = desk.review.notes
    span, time = made.numbers
    curve = REPORT.angles["trunk_tilt"]
    assert (span.value, span.at_us, span.repetition) == (curve.range.value, None, None)
    assert (time.unit, time.repetition) == ("s", 1)
    assert time.value == REPORT.repetitions[0].phases[0].duration_s.value


def test_the_smoothing_is_told_set_and_given_back(desk):
    desk.open(desk.page.how)
    page = desk.page.smoothing
    assert f"{REPORT.smoothed.cutoff_hz:.1f} Hz" in page.words.text()
    assert "residual analysis" in page.words.text()
    page.field.setFocus()
    QTest.keyClicks(page.field, "4,5")
    QTest.keyClick(page.field, Qt.Key.Key_Return)
    assert desk.review.cutoff_hz == 4.5
    desk.following.followed = followed_lift((), 4.5)
    desk.following.changed.emit()
    assert "4.5 Hz, set by you" in page.words.text()
    page.back.click()
    assert desk.review.cutoff_hz is None


def test_a_smoothing_that_is_no_number_is_told_in_a_sentence(desk):
    desk.open(desk.page.how)
    page = desk.page.smoothing
    page.field.setFocus()
    QTest.keyClicks(page.field, "soft")
    QTest.keyClick(page.field, Qt.Key.Key_Return)
    assert page.trouble.isVisible()
    assert desk.review.cutoff_hz is None


def test_what_is_folded_away_is_not_written(desk):
    assert not desk.texts(desk.page.ranges)
    assert desk.page.ranges.rows.count() == 0
    desk.open(desk.page.ranges)
    assert "Trunk tilt" in desk.texts(desk.page.ranges)


def test_the_bounds_for_a_turned_camera_and_the_caution_are_on_the_page(desk):
    desk.open(desk.page.how)
    for sentence in REPORT.turned:
        assert sentence in desk.texts(desk.page.how)
    assert desk.page.caution.text() == desk.review.caution


def test_while_it_works_it_can_be_stopped_and_go_on(desk):
    desk.following.is_running = True
    desk.following.changed.emit()
    desk.following.progressed.emit(0.4)
    assert desk.page.status.bar.isVisible()
    assert desk.page.status.bar.value() == 40
    desk.page.status.stop.click()
    assert desk.following.is_stopped
    assert not desk.page.status.bar.isVisible()
    desk.page.status.go_on.click()
    assert desk.following.is_running


def test_without_a_facing_the_trouble_is_told_with_the_buttons_that_end_it(qapp):
    known = followed_lift()
    trouble = "Tell first which way the client faces, left or right."
    desk = Desk(Followed(known.review, known.tracks, None, trouble), facing=None)
    assert desk.page.status.trouble.text() == trouble
    assert not desk.page.told.isVisible()
    desk.page.status.left.click()
    assert desk.review.facing == "left"
    desk.end()


def test_without_points_it_says_how_to_begin(qapp):
    desk = Desk(None, tracked=())
    assert "No point is followed yet" in desk.page.status.words.text()
    assert not desk.page.status.bar.isVisible()
    desk.end()


def test_every_control_has_a_name_and_tells_what_it_does(desk):
    for fold in desk.page._folds:
        desk.open(fold)
    controls = desk.page.findChildren(QPushButton) + desk.page.findChildren(QToolButton)
    shown_ones = [control for control in controls if control.isVisible()]
    assert len(shown_ones) > 50
    for control in shown_ones:
        assert control.accessibleName() or control.text()
        assert control.toolTip()


def test_a_new_report_takes_the_place_of_the_old_one_in_what_is_told_and_put(desk):
    calm = followed_lift((), 1.0)
    desk.following.followed = calm
    desk.following.changed.emit()
    QApplication.processEvents()
    texts = desk.texts(desk.page.told)
    assert all(told.sentence in texts for told in calm.report.descriptors)
    desk.button(desk.page.told, "Put into the note: Trunk lean").click()
    (number,) = desk.review.notes[0].numbers
    told = next(told for told in calm.report.descriptors if told.name == "peak_trunk_lean")
    assert number == number_of_descriptor(told)
