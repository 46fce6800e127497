"""The casebook on the desk: the day first, then a client's page, and what is done in both."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from PyQt6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PyQt6.QtGui import QDropEvent
from PyQt6.QtTest import QTest
from support.casebooks import clip_file
from support.desk import press
from support.desk_book import TODAY, BookDesk, book_desk, ines_and_pavel, wait_for

from cliptag.desk.casebook.clip_row import ClipRow
from cliptag.desk.casebook.week_plates import WeekPlate


@pytest.fixture
def desk(qtbot, tmp_path: Path, monkeypatch):
    with book_desk(tmp_path, monkeypatch, ines_and_pavel(tmp_path)) as made:
        made.show()
        yield made


def states(desk: BookDesk) -> dict[int, str]:
    return {clip.id: clip.state for clip in desk.look(lambda book: book.clips())}


def rows(desk: BookDesk, part=None) -> list[ClipRow]:
    part = part or desk.room.view
    return [row for row in part.findChildren(ClipRow) if row.isVisible()]


def drop(desk: BookDesk, paths: list[Path], place: QPoint) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        *(QPointF(place), Qt.DropAction.CopyAction, data),
        *(Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier),
    )
    desk.window.dropEvent(event)


def test_the_day_comes_first_with_what_waits_what_is_late_and_who_owes(desk: BookDesk):
    page = desk.room.view.pages.currentWidget()
    assert page is desk.room.view.day_page
    assert [row.kept.id for row in rows(desk)] == [1, 3, 2], "by the day that they are due"
    texts = desk.texts(page)
    assert "3 clips wait for your review; 1 late; 1 client owes a clip." in texts
    due_on = desk.look(lambda book: book.clip(1)).due_on
    assert due_on < TODAY and f"{(TODAY - due_on).days} days ago" in texts
    assert "late: week 1 (sitting), week 2 (sitting)" in texts


def test_a_clip_without_consent_says_so_and_offers_to_record_it_right_there(desk: BookDesk):
    desk.button("Record consent: Pavel", desk.room.view.day_page).click()
    wait_for(lambda: desk.room.view.client_page.form is not None, "the form")
    form = desk.room.view.client_page.form
    form.how.setCurrentText("message")
    form.message.setPlainText("You may send it back to me.")
    form.do.click()
    desk.wait_for_bar("The consent of Pavel is recorded.")
    record = desk.look(lambda book: book.record("Pavel"))
    (word,) = record.consent
    assert (word.covers, word.how, word.said_on) == (("private_feedback",), "message", TODAY)
    kept = desk.folder / "clients" / record.client.folder / word.message
    assert kept.read_text("utf-8") == "You may send it back to me."
    desk.wait_for_words("Private feedback: agreed on", desk.room.view.client_page)
    assert desk.room.view.client_page.form is None


def test_consent_names_purposes_clip_end_and_file(desk: BookDesk, tmp_path: Path):
    desk.show_client("Ines")
    desk.room.view.client_page.ask_consent(clip_id=2)
    form = desk.room.view.client_page.form
    letter = tmp_path / "letter.pdf"
    letter.write_bytes(b"%PDF-1.4 signed")
    form.covers["private_feedback"].setChecked(False)
    form.covers["public"].setChecked(True)
    form.how.setCurrentText("signed form")
    form.has_end.setChecked(True)
    form.take_file(letter)
    form.do.click()
    wait_for(lambda: desk.room.view.client_page.form is None, "the consent")
    record = desk.look(lambda book: book.record("Ines"))
    word = record.consent[-1]
    assert (word.covers, word.clip_id, word.is_given) == (("public",), 2, True)
    assert word.until == TODAY + timedelta(days=182)
    kept = desk.folder / "clients" / record.client.folder / word.message
    assert kept.read_bytes() == letter.read_bytes() and kept.suffix == ".pdf"
    desk.wait_for_words("Being shown openly, only of IMG_two.mp4")


def test_a_consent_without_a_way_stays_in_its_form_and_says_what_is_missing(desk: BookDesk):
    desk.show_client("Pavel")
    desk.room.view.client_page.ask_consent()
    form = desk.room.view.client_page.form
    form.message.setPlainText("Yes.")
    form.do.click()
    desk.wait_for_bar("Say how it was said")
    assert desk.room.view.client_page.form is form
    assert form.message.toPlainText() == "Yes."
    assert not desk.look(lambda book: book.record("Pavel")).consent


def test_a_consent_is_withdrawn_and_told_in_words(desk: BookDesk):
    desk.show_client("Ines")
    desk.button("Withdraw the consent for private feedback").click()
    wait_for(lambda: desk.room.view.client_page.form is not None, "the form")
    form = desk.room.view.client_page.form
    form.how.setCurrentText("spoken, on a call")
    form.do.click()
    desk.wait_for_words("Private feedback: withdrawn on")
    assert desk.look(lambda book: book.why_not_allowed(1, "private_feedback"))


def test_a_new_client_is_added_and_planned_by_keyboard(desk: BookDesk):
    press(desk.window, "Ctrl+Shift+A")
    QTest.keyClicks(desk.window.focusWidget(), "Juno Baltz")
    form = desk.room.view.findChild(type(desk.room.view._new_client.form))
    for _ in range(4):
        QTest.keyClick(desk.window.focusWidget(), Qt.Key.Key_Tab)
    assert desk.window.focusWidget() is form.do
    QTest.keyClick(form.do, Qt.Key.Key_Return)
    wait_for(lambda: desk.room.model.client == "Juno Baltz", "the new client's page")
    desk.wait_for_words("No programme is planned.")
    desk.button("Plan a programme").click()
    plan = desk.room.view.client_page.form
    plan.count.setValue(3)
    plan.topics[2].setCurrentText("carrying the crate")
    plan.do.click()
    wait_for(lambda: desk.room.view.client_page.form is None, "the plan")
    (programme,) = desk.look(lambda book: book.programmes("Juno Baltz"))
    assert [week.topic for week in programme.weeks] == ["sitting", "sitting", "carrying the crate"]
    assert programme.starts_on.weekday() == 0 and programme.starts_on >= TODAY


def test_a_name_that_is_there_already_is_refused_in_the_bar_and_the_form_stays(desk: BookDesk):
    desk.room.add_client()
    form = desk.room.view._new_client.form
    form.name.setText("inés")
    form.do.click()
    desk.wait_for_bar("There is a client called")
    assert desk.room.view._new_client.form is form


def test_the_weeks_stand_in_a_row_each_with_its_state(desk: BookDesk):
    desk.show_client("Ines")
    desk.wait_for_words("Programme 1, from")
    plates = desk.room.view.client_page.findChildren(WeekPlate)
    assert len(plates) == 10
    said = [plate.accessibleName() for plate in plates]
    assert said[0] == "Week 1, sitting: nothing sent, late"
    week_of = {clip.week: clip.state for clip in desk.look(lambda book: book.clips("Ines"))}
    for week in week_of:
        assert "waits" in said[week - 1]
    assert said[3].startswith("Week 4, this week, standing")
    assert said[9] == "Week 10, lifting: to come"


def test_files_that_are_dropped_on_a_client_come_in_and_duplicates_are_told(
    desk: BookDesk, tmp_path: Path
):
    new = clip_file(tmp_path / "in", "IMG_new.mp4", "new", tmp_path)
    old = tmp_path / "in" / "IMG_one.mp4"
    text = tmp_path / "in" / "list.txt"
    text.write_text("no clip")
    clients = desk.room.view.clients
    place = clients.visualRect(clients.model().index(1)).center()  # Pavel
    drop(desk, [new, old, text], clients.viewport().mapTo(desk.window, place))
    desk.wait_for_bar("1 clip came in for Pavel; 1 was there already; 1 could not be added.")
    news = "\n".join(one.sentence for one in desk.room.model.news)
    assert "IMG_new.mp4 is clip 4 of Pavel" in news
    assert "already, but as a clip of Ines" in news
    assert "list.txt" in news
    assert [clip.client for clip in desk.look(lambda book: book.clips())].count("Pavel") == 2


def test_files_that_are_dropped_on_the_day_wait_until_a_client_is_chosen(
    desk: BookDesk, tmp_path: Path
):
    new = clip_file(tmp_path / "in", "IMG_new.mp4", "new", tmp_path)
    page = desk.room.view.day_page
    drop(desk, [new], page.mapTo(desk.window, page.rect().center()))
    assert "1 file: choose whose" in desk.texts()
    assert desk.window.focusWidget() is desk.room.view.search
    QTest.keyClicks(desk.room.view.search, "ines")
    wait_for(lambda: [line.client for line in desk.room.view.clients.lines][:1] == ["Ines"], "Ines")
    QTest.keyClick(desk.room.view.search, Qt.Key.Key_Return)
    desk.wait_for_bar("1 clip came in for Ines.")
    assert desk.look(lambda book: book.clip(4)).client == "Ines"


def test_a_drop_on_a_week_is_of_that_week(desk: BookDesk, tmp_path: Path):
    desk.show_client("Ines")
    new = clip_file(tmp_path / "in", "IMG_new.mp4", "new", tmp_path)
    wait_for(lambda: desk.room.view.client_page.findChildren(WeekPlate), "the weeks")
    plate = desk.room.view.client_page.findChildren(WeekPlate)[1]
    drop(desk, [new], plate.mapTo(desk.window, plate.rect().center()))
    desk.wait_for_bar("1 clip came in for Ines.")
    assert desk.look(lambda book: book.clip(4)).week == 2


def test_the_search_finds_as_one_types_without_case_and_accents(desk: BookDesk):
    press(desk.window, "Ctrl+F")
    QTest.keyClicks(desk.window.focusWidget(), "IMG_ONE")
    clients = desk.room.view.clients
    wait_for(lambda: [line.clip_id for line in clients.lines] == [1], "the clip")
    QTest.keyClick(desk.window.focusWidget(), Qt.Key.Key_Down)
    wait_for(lambda: desk.room.model.client == "Ines", "its client's page")
    press(desk.window, "Ctrl+F")
    QTest.keyClicks(desk.window.focusWidget(), "nobody like this")
    desk.wait_for_words("Nothing is found")
    press(desk.window, "Escape")
    wait_for(lambda: [line.client for line in clients.lines] == ["Ines", "Pavel"], "everybody")


def test_a_review_opens_on_the_stage_and_is_in_work(desk: BookDesk):
    desk.button("Review on the stage: Ines, IMG_one.mp4").click()
    wait_for(lambda: desk.window.state.document is not None, "the review")
    assert not desk.window.is_elsewhere and desk.window.strip.isVisible()
    press(desk.window, "N")
    assert desk.window.card.isVisible()
    assert desk.window.state.document.path == desk.look(lambda b: b.review_path(b.clip(1)))
    wait_for(lambda: states(desk) == {1: "in_work", 2: "new", 3: "new"}, "the state")
    press(desk.window, "Ctrl+Shift+B")
    assert desk.window.is_elsewhere and not desk.window.strip.isVisible()
    assert not desk.window.card.isVisible()
    desk.wait_for_words("in work", desk.room.view.day_page)
    press(desk.window, "Escape")
    assert not desk.window.is_elsewhere
    assert desk.window.state.document is not None


def test_done_on_the_stage_leads_back_and_says_what_comes_next(desk: BookDesk):
    desk.button("Review on the stage: Ines, IMG_one.mp4").click()
    wait_for(lambda: desk.room.on_stage is not None, "the review")
    desk.window.reviewing.set_facing("left")
    wait_for(lambda: desk.window.commands.action("finish").isEnabled(), "the command")
    press(desk.window, "Ctrl+Shift+F")
    wait_for(lambda: desk.window.is_elsewhere, "the casebook")
    assert states(desk)[1] == "done"
    desk.wait_for_words("Done, take-home to make (1)")
    assert desk.room.view.day_page.export.isEnabled()


def test_keys_of_the_stage_do_nothing_while_the_casebook_is_shown(desk: BookDesk):
    desk.button("Review on the stage: Ines, IMG_one.mp4").click()
    wait_for(lambda: desk.window.state.document is not None, "the review")
    press(desk.window, "Ctrl+Shift+B")
    before = desk.window.state.document.review
    desk.room.view.today.setFocus()
    for keys in ("N", "R", "F", "Right", "Ctrl+Z", "M"):
        press(desk.window, keys)
    assert desk.window.state.document.review is before
    assert desk.window.state.tool is None and desk.window.state.playhead.index == 0


def test_what_was_sent_is_gone_from_the_day(desk: BookDesk, tmp_path: Path):
    folder = tmp_path / "sent"
    folder.mkdir()
    (folder / "transcript.txt").write_text("Sit tall.")
    desk.change(lambda book: book.mark_sent(1, folder=folder))
    wait_for(lambda: [row.kept.id for row in rows(desk)] == [3, 2], "the sent clip to be gone")


def test_another_programs_change_is_seen_without_asking(desk: BookDesk):
    desk.change(lambda book: book.add_client("Mira Teng"))
    wait_for(
        lambda: "Mira Teng" in [line.client for line in desk.room.view.clients.lines],
        "the new client",
    )


def test_erasing_asks_for_the_name_and_takes_the_clip_off_the_stage_first(desk: BookDesk):
    desk.button("Review on the stage: Pavel").click()
    wait_for(lambda: desk.window.state.document is not None, "the review")
    desk.window.reviewing.set_facing("left")
    press(desk.window, "Ctrl+Shift+B")
    desk.show_client("Pavel")
    desk.button("Erase").click()
    form = desk.room.view.client_page.form
    assert desk.window.focusWidget() is form.typed
    QTest.keyClicks(form.typed, "Pave")
    assert not form.do.isEnabled()
    QTest.keyClicks(form.typed, "l")
    assert form.do.isEnabled()
    form.do.click()
    desk.wait_for_words("Pavel is erased")
    assert desk.window.state.document is None
    assert [one.name for one in desk.look(lambda book: book.clients())] == ["Ines"]
    assert not list((desk.folder / "clients").glob("Pavel*"))
    assert all("Pavel" not in str(path) for path in desk.window.remembered.recent)
    desk.window.remembered.keep_geometry(b"moved")
    assert b"Pavel" not in desk.window.remembered._path.read_bytes()
    wait_for(lambda: desk.room.model.client is None, "the day")


def test_a_check_tells_what_is_wrong_and_repair_mends_it(desk: BookDesk):
    clip = desk.look(lambda book: book.clip_path(book.clip(1)))
    clip.rename(clip.with_name("moved by hand.mp4"))
    desk.button("Check the casebook").click()
    desk.wait_for_words("is not there")
    desk.button("Repair").click()
    desk.wait_for_words("was found as")
    assert desk.look(lambda book: book.clip_path(book.clip(1))).is_file()


def test_all_data_of_a_client_is_written_to_one_file(desk: BookDesk, tmp_path: Path):
    desk.room.model.hand_over("Ines", tmp_path / "ines.zip")
    desk.wait_for_words("All of the client's data is in ines.zip")
    assert (tmp_path / "ines.zip").stat().st_size > 1000


def test_a_desk_without_a_casebook_offers_to_begin_one(qtbot, tmp_path: Path, monkeypatch):
    with book_desk(tmp_path, monkeypatch, None) as empty:
        assert empty.window.made_casebook is None, "nobody waits for what isn't used"
        press(empty.window, "Ctrl+Shift+B")
        assert str(empty.folder) in empty.texts() and not empty.folder.exists()
        empty.button("Begin it here").click()
        empty.wait_for_words("There is no client yet")
        assert empty.look(lambda book: book.clients()) == ()


def test_a_damaged_casebook_says_so_and_is_repaired_from_the_page(
    qtbot, tmp_path: Path, monkeypatch
):
    with book_desk(tmp_path, monkeypatch, ines_and_pavel(tmp_path)) as desk:
        (desk.folder / "casebook.db").write_bytes(b"not a database at all, not in the least" * 99)
        for ending in ("-wal", "-shm"):
            (desk.folder / f"casebook.db{ending}").unlink(missing_ok=True)
        desk.window.show_casebook()
        desk.wait_for_words("is damaged")
        desk.button("Repair it").click()
        wait_for(lambda: desk.room.model.now is not None, "the casebook")
        assert {one.name for one in desk.room.model.now.clients} == {"Ines", "Pavel"}
        desk.wait_for_words("3 clips wait", desk.room.view)


def test_it_is_remembered_that_the_casebook_was_in_use(qtbot, tmp_path: Path, monkeypatch):
    with book_desk(tmp_path, monkeypatch, ines_and_pavel(tmp_path)) as desk:
        desk.show()
        desk.window.close()
        assert type(desk.window.remembered)().uses_casebook
    with book_desk(tmp_path, monkeypatch, None) as desk:
        desk.window.close()
        assert not type(desk.window.remembered)().uses_casebook


@pytest.mark.parametrize("width", [800, 1280, 1920])
def test_no_page_needs_to_be_scrolled_sideways(desk: BookDesk, width: int):
    desk.window.resize(width, 800)
    for show in (lambda: desk.show_client("Ines"), desk.room.show_day):
        show()
        QTest.qWait(200)
        assert desk.window.width() == width
        for row in rows(desk):
            right = row.mapTo(desk.window, QPoint(row.width(), 0)).x()
            assert right <= width


def test_the_first_and_newest_clip_of_a_topic_are_set_side_by_side(
    desk: BookDesk, tmp_path: Path, monkeypatch
):
    compared: list[tuple[Path, Path]] = []
    monkeypatch.setattr(
        desk.window.pairing, "compare", lambda one, other: compared.append((one, other))
    )
    clips = [clip_file(tmp_path / "in", f"w{week}.mp4", f"w{week}", tmp_path) for week in (1, 2)]
    for week, clip in enumerate(clips, 1):
        desk.change(lambda book, clip=clip, week=week: book.add("Ines", [clip], week=week))
    desk.show_client("Ines")
    assert not desk.buttons("Compare")
    desk.change(lambda book: [book.set_state(number, "in_work") for number in (4, 5)])
    desk.button("Compare week 1 with week 2 (sitting)").click()
    wait_for(lambda: compared, "the comparison")
    paths = desk.look(lambda book: tuple(book.review_path(book.clip(n)) for n in (4, 5)))
    assert compared == [paths]


def test_a_clip_that_cant_be_opened_stays_new(desk: BookDesk):
    desk.look(lambda book: book.clip_path(book.clip(3))).unlink()
    desk.button("Review on the stage: Pavel").click()
    wait_for(lambda: desk.window.bar.sentence, "a sentence")
    assert desk.window.is_elsewhere and states(desk)[3] == "new"
