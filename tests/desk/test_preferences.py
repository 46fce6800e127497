"""What is preferred is kept for each user and truly takes effect."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PyQt6.QtGui import QRawFont
from support.desk import opened_desk, small_clip

from cliptag.desk import look
from cliptag.desk.export_job import export_options
from cliptag.desk.fields import own_name
from cliptag.desk.preferences import Preferences, PreferenceStore
from cliptag.export import CaptionRules, ExportOptions
from cliptag.paint import ensure_painter_ready
from cliptag.paint.typefaces import FONT_FOLDER
from cliptag.words import LANGUAGES


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "config" / "preferences.json"


@pytest.fixture(autouse=True)
def usual_look(qapp):
    yield
    look.look().set("system", "normal", 1.0)


def test_the_usual_values_are_those_of_the_library():
    assert export_options(Preferences()) == ExportOptions()
    assert Preferences().reading_cps == CaptionRules().max_cps


def test_a_choice_is_there_at_the_next_start(qapp, path: Path):
    PreferenceStore(path).set(coach="Mara Quell", reading_cps=12, scheme="dark", holds=False)
    again = PreferenceStore(path).now
    assert (again.coach, again.reading_cps, again.scheme) == ("Mara Quell", 12, "dark")
    assert again.new_hold_us == 0 and Preferences().new_hold_us is None


def test_nothing_is_written_before_something_is_chosen(qapp, path: Path):
    PreferenceStore(path).set(sound=True)
    assert not path.exists()


@pytest.mark.parametrize(
    ("name", "value"),
    [("reading_cps", 0), ("reading_cps", 99), ("text_size", 9.0), ("scheme", "pink")],
)
def test_what_cant_be_is_refused_and_changes_nothing(qapp, path: Path, name: str, value: object):
    store = PreferenceStore(path)
    with pytest.raises(ValueError, match=name):
        store.set(**{name: value})
    assert store.now == Preferences() and not path.exists()


@pytest.mark.parametrize("text", ["", "{", '{"reading_cps": "fast"}', '{"reading_cps": 1}', "[]"])
def test_a_damaged_file_is_set_aside_and_told(qapp, path: Path, text: str):
    path.parent.mkdir(parents=True)
    path.write_text(text)
    store = PreferenceStore(path)
    assert store.now == Preferences()
    assert store.message is not None and "damaged" in store.message
    assert path.with_suffix(".damaged.json").read_text() == text


def test_a_newer_programs_choices_do_not_harm(qapp, path: Path):
    path.parent.mkdir(parents=True)
    path.write_text(json.dumps({"coach": "Mara", "hologram": True}))
    store = PreferenceStore(path)
    assert store.now.coach == "Mara" and store.message is None


def test_where_it_cant_be_kept_it_holds_until_the_end_and_says_so(qtbot, tmp_path: Path):
    (tmp_path / "shut").write_text("a file where a folder should be")
    store = PreferenceStore(tmp_path / "shut" / "preferences.json")
    with qtbot.waitSignal(store.trouble):
        store.set(contrast="strong")
    assert store.now.contrast == "strong"


def test_captions_reading_speed_and_dates_reach_the_export():
    options = export_options(Preferences(caption_size="large", reading_cps=11, language="de"))
    assert (options.caption_scale, options.rules.max_cps) == (1.2, 11)
    assert (options.usual_language, options.language) == ("de", None)


@pytest.fixture
def desk(qtbot, tmp_path: Path):
    with opened_desk(small_clip(tmp_path)) as window:
        yield window


def test_colours_contrast_and_size_of_text_reach_the_desk_at_once(desk):
    before = look.space()
    desk.preferences.set(scheme="dark", contrast="strong", text_size=2.0)
    assert look.palette() == look.STRONG_DARK
    assert look.space() == pytest.approx(2 * before, rel=0.1)


def test_the_reading_speed_reaches_card_and_strip(qtbot, desk):
    desk.reviewing.new_note()
    for letter in "Let the knees come forward over the toes.":
        desk.card.page.text.insertPlainText(letter)
    qtbot.waitUntil(lambda: "Reading needs" in desk.card.page.reading.text(), timeout=3000)
    before = desk.card.page.reading.text()
    desk.preferences.set(reading_cps=8)
    qtbot.waitUntil(lambda: desk.card.page.reading.text() != before, timeout=3000)


def test_holds_and_the_coachs_name_reach_what_is_new(desk):
    desk.preferences.set(holds=False, coach="Mara Quell")
    desk.reviewing.new_note()
    assert desk.state.chosen_note.hold_us == 0
    clip = desk.state.clip.path
    desk.state.close()
    desk.keeper.end()
    clip.with_name("ines.review.json").unlink(missing_ok=True)
    assert desk.open_path(clip)
    assert desk.state.document.review.coach == "Mara Quell"
    assert desk.state.document.undo_words is None
    assert not clip.with_name("ines.review.json").exists(), "opening alone makes no file"


def test_the_page_shows_and_sets_every_choice(desk):
    desk.pages.toggle("preferences")
    page = desk.pages.page("preferences")
    page._captions._group.button(2).click()
    page._contrast._group.button(1).click()
    page._scheme._group.button(2).click()
    page._text._group.button(1).click()
    page._speed.setValue(10)
    page._holds.setChecked(False)
    page._sound.setChecked(False)
    page._language.setCurrentIndex(page._language.findData("de"))
    page._language.activated.emit(page._language.currentIndex())
    page._coach.setText(" Mara Quell ")
    page._coach.editingFinished.emit()
    assert desk.preferences.now == Preferences(
        coach="Mara Quell",
        caption_size="large",
        contrast="strong",
        scheme="dark",
        text_size=1.25,
        reading_cps=10,
        holds=False,
        sound=False,
        language="de",
    )


@pytest.mark.parametrize("code", LANGUAGES)
def test_every_language_offered_can_be_written_with_cliptags_own_fonts(qapp, code: str):
    ensure_painter_ready()
    fonts = [QRawFont(str(file), 20.0) for file in FONT_FOLDER.glob("*.ttf")]
    for char in own_name(code):
        assert any(font.supportsCharacter(char) for font in fonts) or char == " ", (code, char)
