"""Every language says everything, with nothing lost on the way.

Numbers, plurals and directions are compared with Babel's copy of the Unicode CLDR.
"""

from __future__ import annotations

import gettext
import importlib.util
import io
import re
import string
from pathlib import Path
from types import ModuleType

import pytest
from babel import Locale
from babel.messages.pofile import read_po
from babel.numbers import get_decimal_symbol
from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFont, QTextLayout, QTextOption

from cliptag.errors import CliptagError
from cliptag.export.numbers import DIRECTIONS, MEANINGS, PARTS, POINTS, number_words
from cliptag.measure import BODY_CHAIN, number_text, numbers, readings
from cliptag.measure.curves.angles import ANGLES
from cliptag.measure.movement.repetitions import _PHASES
from cliptag.paint import ensure_painter_ready
from cliptag.review import DEFAULT_CAUTION, Number, Point, Span
from cliptag.words import ENGLISH, LANGUAGES, catalogues, words_of

OTHERS = [language for language in LANGUAGES if language != "en"]
DOCS = Path(__file__).parents[2] / "docs"


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("write_words", DOCS / "write_words.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


WRITE_WORDS = _script()
TEXTS = WRITE_WORDS.texts_of_client()


def _fields(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated_with_all_its_values(language: str):
    file = catalogues.FOLDER / f"{language}.po"
    catalogue = read_po(io.BytesIO(file.read_bytes()), locale=language)
    assert len([message for message in catalogue if message.id]) == len(TEXTS)
    for text, context in TEXTS:
        message = catalogue.get(text if isinstance(text, str) else text[0], context)
        assert message is not None, f"{text!r} is missing: run docs/write_words.py"
        assert not message.fuzzy
        if isinstance(text, str):
            assert message.string, text
            assert _fields(message.string) == _fields(text), text
        else:
            assert len(message.string) == catalogue.num_plurals
            assert all(message.string), text
            assert _fields(message.string[-1]) == _fields(text[1]), text
            assert _fields(message.string[0]) <= _fields(text[0]), text


@pytest.mark.parametrize("language", OTHERS)
def test_the_compiled_catalogue_is_the_readable_one(language: str):
    file = catalogues.FOLDER / f"{language}.po"
    written = read_po(io.BytesIO(file.read_bytes()), locale=language)
    with file.with_suffix(".mo").open("rb") as stream:
        compiled = gettext.GNUTranslations(stream)
    for text, context in TEXTS:
        message = written.get(text if isinstance(text, str) else text[0], context)
        assert message is not None
        if not isinstance(text, str):
            assert tuple(compiled.ngettext(*text, n) for n in (1, 2)) == message.string
        elif context is None:
            assert compiled.gettext(text) == message.string
        else:
            assert compiled.pgettext(context, text) == message.string


@pytest.mark.parametrize("language", OTHERS)
def test_a_translation_differs_from_its_english(language: str):
    words = words_of(language)
    sentences = [(text, context) for text, context in TEXTS if isinstance(text, str)]
    same = {
        text
        for text, context in sentences
        if re.search("[a-z]{3}", re.sub("{.*?}", "", text))
        and words.term(context or "", text) == text
        and context is not None
    }
    assert same <= {"Pelvis"}  # Spanish says the same
    said = [(text, dict.fromkeys(_fields(text), "")) for text, context in sentences if not context]
    unsaid = {text for text, values in said if words.say(text, **values) == text.format(**values)}
    assert unsaid <= {"Coach: {coach}"}  # German and Spanish say the same


@pytest.mark.parametrize("language", LANGUAGES)
def test_plurals_numbers_and_direction_follow_the_cldr(language: str):
    locale = Locale.parse(language)
    words = words_of(language)
    one = words.count("{count} exercise", "{count} exercises", 1)
    for count in (0, 1, 2, 3, 5, 11, 21, 101):
        said = words.count("{count} exercise", "{count} exercises", count)
        is_one = locale.plural_form(count) == "one"
        assert (said == one) == is_one, (count, said)
        assert is_one or str(count) in said
    figures = words.figures("41.3 cm ± 0.4 cm").strip("\u2066\u2069")
    assert figures == "41.3 cm ± 0.4 cm".replace(".", get_decimal_symbol(locale))
    assert words.is_right_to_left == (locale.text_direction == "rtl")


def test_all_that_can_be_measured_has_its_words():
    told = {
        *readings.JOINT_WORDS.values(),
        *readings.SEGMENT_WORDS.values(),
        *readings.SPAN_WORDS.values(),
        readings.BETWEEN_WORDS,
    }
    assert told <= set(MEANINGS)
    parts = {part for kind in ANGLES for part in kind.words.split(", ")}
    parts |= {part for words, _ in numbers._DESCRIBED.values() for part in words.split(", ")}
    parts |= {*numbers._ENDS.values(), *numbers._TEST_WORDS.values()}
    parts |= {f"Time for {words}" for phases in _PHASES.values() for _, _, words in phases}
    assert parts <= {*MEANINGS, *PARTS}
    assert {name.capitalize() for name in BODY_CHAIN} - {"C7"} <= set(POINTS)
    ways = {way for _, pair in numbers._DESCRIBED.values() for way in pair if way}
    assert ways | {*numbers._UPWARD, *numbers._FORWARD} <= set(DIRECTIONS)
    across = Span(id="a", axis="across", a=Point(0, 0), b=Point(9, 0))
    senses = {readings.across_sense(across, True, way) for way in (-1.0, 1.0)}
    assert senses <= set(DIRECTIONS)


def test_two_times_eight_is_never_read_as_eight_times_two():
    """Shown by Qt's own implementation of UAX #9: the 2 stands at the left of the 8."""
    said = "2 × 8, בבוקר ובערב"
    assert words_of("de").counts(said) == said

    def places_px(text: str) -> list[float]:
        layout = QTextLayout(text, QFont())
        option = QTextOption()
        option.setTextDirection(Qt.LayoutDirection.RightToLeft)
        layout.setTextOption(option)
        layout.beginLayout()
        line = layout.createLine()
        layout.endLayout()
        return [line.glyphRuns(text.index(figure), 1)[0].positions()[0].x() for figure in "28"]

    ensure_painter_ready()
    two, eight = places_px(said)
    assert two > eight
    two, eight = places_px(words_of("he").counts(said))
    assert two < eight


def test_the_way_of_a_point_and_a_repetition_are_told_in_the_clients_language():
    number = Number(name="ear_across_highest", words="Ear forward, at most", value=12.34, sd=0.2,
                    unit="cm", repetition=2)  # fmt: skip
    german = number_words(number, words_of("de"))
    assert german == "Ohr nach vorn, größter Wert, Wiederholung 2: 12,3 cm ± 0,4 cm"
    assert number_words(number, ENGLISH) == number_text(number)


def test_the_usual_caution_is_translated_and_the_coachs_own_stays():
    german = words_of("de")
    assert "Diagnose" in german.caution(DEFAULT_CAUTION)
    assert german.caution("Stop if it hurts.") == "Stop if it hurts."
    assert ENGLISH.caution(DEFAULT_CAUTION) == DEFAULT_CAUTION


def test_a_value_in_braces_is_not_read_as_a_place_for_values():
    said = words_of("de").say("Reviewed by {coach}", coach="{week} {0}")
    assert said == "Durchgesehen von {week} {0}"


def test_a_language_without_a_catalogue_is_english_throughout():
    assert words_of("tlh") is ENGLISH


def test_a_catalogue_that_is_damaged_is_told_of(tmp_path, monkeypatch):
    (tmp_path / "de.mo").write_bytes(b"not a catalogue")
    monkeypatch.setattr(catalogues, "FOLDER", tmp_path)
    words_of.cache_clear()
    with pytest.raises(CliptagError, match="install cliptag again"):
        words_of("de")
    words_of.cache_clear()
