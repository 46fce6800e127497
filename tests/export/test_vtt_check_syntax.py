"""The check of a WebVTT file against the standard.

Rules: W3C, WebVTT: The Web Video Text Tracks Format, section "Syntax". The kinds of damage follow
the web-platform-tests for WebVTT file parsing (arrows, ids, nulls, settings-*, timings-*,
whitespace-chars). As an independent judge, the validator ``webvtt-parser`` from npm looks at every
file here and at hundreds of random ones.
"""

from __future__ import annotations

import random

import pytest
from support import webvtt_tools as others

from cliptag.export.vtt_check import check_vtt

TIMES = "00:00:01.000 --> 00:00:04.000"


def errors_in(text: str | bytes, kind="captions") -> list[tuple[int, str]]:
    findings = check_vtt(text, kind=kind)
    return [(found.line, found.code) for found in findings if found.severity == "error"]


def with_cue(text: str, times: str = TIMES) -> str:
    return f"WEBVTT\n\n{times}\n{text}\n"


def with_settings(settings: str) -> str:
    return with_cue("Text", f"{TIMES} {settings}")


SOUND = {
    "a cue": with_cue("Keep your heels down."),
    "a byte order mark": "\ufeff" + with_cue("Text"),
    "words in the header": f"WEBVTT - made today --> now\n\n{TIMES}\nText\n",
    "lines that end with CR LF": with_cue("Two\nlines").replace("\n", "\r\n"),
    "lines that end with CR": with_cue("Two\nlines").replace("\n", "\r"),
    "no line end at the end": f"WEBVTT\n\n{TIMES}\nText",
    "many blank lines": f"WEBVTT\n\n\n\n{TIMES}\nText\n\n\n\n{TIMES}\nMore\n\n\n",
    "an identifier": f"WEBVTT\n\n1 - first\n{TIMES}\nText\n",
    "an identifier of spaces": f"WEBVTT\n\n \n{TIMES}\nText\n",
    "an identifier like an arrow": f"WEBVTT\n\n-- >\n{TIMES}\nText\n",
    "hours left out": with_cue("Text", "00:01.000 --> 59:59.999"),
    "many hours": with_cue("Text", "99:00:00.000 --> 123456:59:59.999"),
    "tabs round the arrow": with_cue("Text", "00:01.000\t -->\t\t00:04.000\talign:start\t"),
    "cues that overlap": f"WEBVTT\n\n{TIMES}\nA\n\n{TIMES}\nB\n",
    "notes": f"WEBVTT\n\nNOTE\nover\nlines\n\nNOTE one\n\n{TIMES}\nText\n\nNOTE\tend\n\nNOTE\n",
    "text that starts with NOTE": with_cue("NOTE this\nNOTE\nSTYLE"),
    "a style": f"WEBVTT\n\nSTYLE\n::cue(b) {{ color: lime }}\n\n{TIMES}\n<b>Text</b>\n",
    "tags": with_cue("<b>a<i>b<u>c</u></i></b> <c.loud.red>d</c> <lang en-GB>e</lang>"),
    "ruby": with_cue("<ruby>漢<rt>kan</rt>字<rt>ji</ruby>"),
    "a voice": with_cue("<v Mara>Hello</v> <v.loud Ines>Hi</v>"),
    "a voice that is never closed": with_cue("<v Mara>Hello\nthere"),
    "times in the text": with_cue("a <00:01.500>b <00:00:02.000>c"),
    "character references": with_cue("&amp; &lt; &gt; &nbsp; &#176; &lrm;&rlm; &eacute;"),
    "a hexadecimal reference": with_cue("&#xB0; &#X1F600;"),
    "a > by itself": with_cue("a > b -> c --&gt; d"),
    "settings": with_settings(
        "vertical:rl line:-1,end position:50%,line-left size:35.5% align:end"
    ),
    "a line in percent": with_settings("line:100%,center position:0% size:100.0%"),
}

DAMAGED = {
    # Signature, header and order of blocks.
    "an empty file": ("", [(1, "signature")]),
    "no signature": (f"{TIMES}\nText\n", [(1, "signature")]),
    "a longer signature": (f"WEBVTTX\n\n{TIMES}\nText\n", [(1, "signature")]),
    "a small signature": (f"webvtt\n\n{TIMES}\nText\n", [(1, "signature")]),
    "a space before the signature": (f" WEBVTT\n\n{TIMES}\nText\n", [(1, "signature")]),
    "no blank line after the header": (f"WEBVTT\n{TIMES}\nText\n", [(2, "header")]),
    "header lines": (
        f"WEBVTT\nKind: captions\n\n{TIMES}\nText\n",
        [(2, "header"), (2, "stray-text")],
    ),
    "a style after a cue": (f"WEBVTT\n\n{TIMES}\nText\n\nSTYLE\n::cue {{}}\n", [(6, "late-block")]),
    "text without times": (f"WEBVTT\n\nhello\nthere\n\n{TIMES}\nText\n", [(3, "stray-text")]),
    "a blank line in the text": (with_cue("one\n\ntwo"), [(6, "stray-text")]),
    "a NUL": (with_cue("a\0b"), [(4, "null")]),
    # Arrows where none may be.
    "an arrow in the text": (with_cue("a --> b"), [(4, "arrow"), (4, "time"), (4, "time")]),
    "an arrow in a note": (f"WEBVTT\n\nNOTE a --> b\n\n{TIMES}\nText\n", [(3, "arrow")]),
    "an arrow in a long note": (f"WEBVTT\n\nNOTE\na\n{TIMES}\nText\n", [(5, "arrow")]),
    "an arrow in a style": (f"WEBVTT\n\nSTYLE\na {{}}\n{TIMES}\nText\n", [(5, "arrow")]),
    "no blank line between cues": (
        f"WEBVTT\n\n{TIMES}\nText\n{TIMES}\nText\n",
        [(5, "arrow")],
    ),
    "an arrow as identifier": (
        f"WEBVTT\n\n-->\n{TIMES}\nText\n",
        [(3, "timings"), (3, "time"), (3, "time"), (4, "arrow")],
    ),
    # Times.
    "a comma": (with_cue("x", "00:00:01,000 --> 00:00:04.000"), [(3, "time")]),
    "two digits of a second": (with_cue("x", "00:00:01.00 --> 00:00:04.000"), [(3, "time")]),
    "four digits of a second": (with_cue("x", "00:00:01.0000 --> 00:00:04.000"), [(3, "time")]),
    "60 seconds": (with_cue("x", "00:00:60.000 --> 00:02:00.000"), [(3, "time")]),
    "60 minutes": (with_cue("x", "00:60:00.000 --> 02:00:00.000"), [(3, "time")]),
    "one digit of an hour": (with_cue("x", "0:00:01.000 --> 0:00:04.000"), [(3, "time")] * 2),
    "one digit of a minute": (with_cue("x", "0:01.000 --> 00:04.000"), [(3, "time")]),
    "three digits of a minute": (with_cue("x", "000:01.000 --> 00:04.000"), [(3, "time")]),
    "a sign": (with_cue("x", "-00:01.000 --> 00:04.000"), [(3, "time")]),
    "digits of another script": (with_cue("x", "٠٠:01.000 --> 00:04.000"), [(3, "time")]),
    "no end": (with_cue("x", "00:01.000 -->"), [(3, "timings"), (3, "time")]),
    "no spaces at the arrow": (with_cue("x", "00:01.000-->00:04.000"), [(3, "timings")]),
    "a space before the start": (with_cue("x", " 00:01.000 --> 00:04.000"), [(3, "timings")]),
    "an end before the start": (with_cue("x", "00:04.000 --> 00:01.000"), [(3, "no-length")]),
    "an end at the start": (with_cue("x", "00:04.000 --> 00:04.000"), [(3, "no-length")]),
    "cues out of order": (f"WEBVTT\n\n00:05.000 --> 00:06.000\nB\n\n{TIMES}\nA\n", [(6, "order")]),
    # Identifiers.
    "an identifier used twice": (f"WEBVTT\n\n1\n{TIMES}\nA\n\n1\n{TIMES}\nB\n", [(7, "id-twice")]),
    # Settings.
    "an unknown setting": (with_settings("colour:red"), [(3, "unknown-setting")]),
    "a setting without a value": (with_settings("align:"), [(3, "setting-value")]),
    "a space in a setting": (
        with_settings("line: 0"),
        [(3, "setting-value"), (3, "unknown-setting")],
    ),
    "a setting twice": (with_settings("align:start align:end"), [(3, "setting-twice")]),
    "align:middle": (with_settings("align:middle"), [(3, "setting-value")]),
    "vertical:tb": (with_settings("vertical:tb"), [(3, "setting-value")]),
    "a size over 100 %": (with_settings("size:101%"), [(3, "setting-value")]),
    "a size just over 100 %": (with_settings("size:100.1%"), [(3, "setting-value")]),
    "a size without %": (with_settings("size:50"), [(3, "setting-value")]),
    "a position with a sign": (with_settings("position:-1%"), [(3, "setting-value")]),
    "a position's wrong end": (with_settings("position:5%,middle"), [(3, "setting-value")]),
    "a broken line": (with_settings("line:1."), [(3, "setting-value")]),
    "a line's wrong end": (with_settings("line:1,left"), [(3, "setting-value")]),
    "a position that must be told": (
        with_settings("size:50% align:start"),
        [(3, "position-missing")],
    ),
    # Tags and character references.
    "a bare &": (with_cue("you & me"), [(4, "ampersand")]),
    "an & with a strange name": (with_cue("&nosuchname;"), [(4, "ampersand")]),
    "a reference without its end": (with_cue("a &amp b"), [(4, "ampersand")]),
    "a reference to no character": (with_cue("&#xD800; &#0;"), [(4, "ampersand")] * 2),
    "a tag that is no tag": (with_cue("<script>x</script>"), [(4, "unknown-tag")] * 2),
    "a bare <": (with_cue("1 < 2"), [(4, "tag-open")]),
    "a tag over two lines": (with_cue("<v Mara\nB>x</v>"), [(4, "tag-open"), (5, "tag-crossed")]),
    "a tag that is never closed": (with_cue("<b>x\ny"), [(5, "tag-not-closed")]),
    "tags that cross": (with_cue("<b><i>x</b></i>"), [(4, "tag-crossed")]),
    "a tag closed only": (with_cue("x</b>"), [(4, "tag-crossed")]),
    "a second voice that isn't closed": (with_cue("a <v Mara>x"), [(4, "tag-not-closed")]),
    "a voice without a name": (with_cue("<v>x</v>"), [(4, "annotation")]),
    "a language without a name": (with_cue("<lang >x</lang>"), [(4, "annotation")]),
    "a language that is none": (with_cue("<lang en_GB>x</lang>"), [(4, "language")]),
    "a bold tag with words": (with_cue("<b loud>x</b>"), [(4, "annotation")]),
    "a class without a name": (with_cue("<c.>x</c>"), [(4, "tag-class")]),
    "rt outside ruby": (with_cue("<rt>x</rt>"), [(4, "tag-place")]),
    "a time outside its cue": (with_cue("a <00:05.000>b"), [(4, "time-in-text")]),
    "times out of order": (with_cue("<00:03.000>b <00:02.000>c"), [(4, "time-in-text")]),
    "a broken time in the text": (with_cue("a <00:2.0>b"), [(4, "time-in-text")]),
}

# HTML's character references may be hexadecimal; webvtt-parser 2.2 knows decimal ones only.
FALSE_ALARMS_OF_THE_VALIDATOR = {"a hexadecimal reference"}

# What webvtt-parser 2.2 doesn't look at.
BEYOND_THE_VALIDATOR = {
    "a NUL",
    "a language that is none",
    "a language without a name",
    "a second voice that isn't closed",
    "a space before the start",
    "a tag over two lines",
    "a position that must be told",
    "an identifier used twice",
    "one digit of an hour",
    "a class without a name",
    "rt outside ruby",
    "a size just over 100 %",
    "a reference to no character",
    "text without times",
}


@pytest.mark.parametrize("name", SOUND)
def test_a_sound_file_has_no_errors(name):
    assert errors_in(SOUND[name]) == []
    assert errors_in(SOUND[name].encode("utf-8")) == []


@pytest.mark.parametrize("name", DAMAGED)
def test_damage_is_told_with_its_line(name):
    text, expected = DAMAGED[name]
    assert errors_in(text) == expected


def test_every_finding_is_one_plain_sentence():
    for text, _ in DAMAGED.values():
        for found in check_vtt(text):
            assert found.sentence.endswith(".") and "\n" not in found.sentence
            assert len(found.sentence) < 200


def test_the_validator_of_npm_agrees():
    texts = [*SOUND.values(), *(text for text, _ in DAMAGED.values())]
    read = [reading["validator"] for reading in others.by_npm(texts)]
    complained = {
        name: bool(reading.complaints)
        for name, reading in zip([*SOUND, *DAMAGED], read, strict=True)
    }
    assert {name for name in SOUND if complained[name]} == FALSE_ALARMS_OF_THE_VALIDATOR
    assert {name for name in DAMAGED if not complained[name]} <= BEYOND_THE_VALIDATOR


def random_file(choose: random.Random) -> str:
    """A sound file, often with a line or two lost, doubled or damaged."""
    lines = ["WEBVTT", ""]
    for second in range(choose.randint(1, 4)):
        lines += choose.choice([[], ["NOTE x", ""], ["NOTE", "y", "z", ""]])
        lines += choose.choice([[], [f"id {second}"]])
        settings = choose.choice(["", " line:0", " align:start", " position:20% size:50%"])
        lines.append(f"00:0{second}.000 --> 00:0{second + 1}.500{settings}")
        lines += choose.choices(["Text", "<b>bold</b> words", "a &amp; b", "<v Mara>x"], k=2)
        lines.append("")
    for _ in range(choose.randint(0, 2)):
        place = choose.randrange(1, len(lines))
        damage = ["", "<i>", "&", "-->", "00:07.000 --> 00:07.5", "STYLE", "0 --> 1", "size:5%"]
        lines[place : place + choose.randint(0, 1)] = choose.choice([[], [choose.choice(damage)]])
    return "\n".join(lines)


def test_a_file_without_errors_pleases_the_validator_of_npm():
    texts = [random_file(random.Random(seed)) for seed in range(1000)]
    read = [reading["validator"] for reading in others.by_npm(texts)]
    sound = [not errors_in(text) for text in texts]
    assert 200 < sum(sound) < 800
    for text, reading, is_sound in zip(texts, read, sound, strict=True):
        assert not (is_sound and reading.complaints), f"{text}\n{reading.complaints}"


REGIONS = (
    "WEBVTT\n\nREGION\nid:a width:40%\nlines:2 regionanchor:0%,100%\n"
    "viewportanchor:10%,90%\nscroll:up\n\n"
)


def test_regions_are_checked():
    assert errors_in(f"{REGIONS}{TIMES} region:a\nText\n") == []
    twice = f"{REGIONS}REGION\nid:a\n\n{TIMES}\nText\n"
    assert errors_in(twice) == [(9, "id-twice")]
    assert errors_in(f"WEBVTT\n\nREGION\nwidth:4%\n\n{TIMES}\nx\n") == [(3, "region-id-missing")]
    broken = (
        f"WEBVTT\n\nREGION\nid:a lines:x\nregionanchor:0,0\nscroll:down\nhigh:4\n\n{TIMES}\nx\n"
    )
    codes = [
        (4, "setting-value"),
        (5, "setting-value"),
        (6, "setting-value"),
        (7, "unknown-setting"),
    ]
    assert errors_in(broken) == codes


def test_what_a_region_makes_of_other_settings_is_advised():
    codes = {found.code for found in check_vtt(f"{REGIONS}{TIMES} region:b line:0\nText\n")}
    assert {"unknown-region", "region-ignored"} <= codes


CHAPTERS = """WEBVTT

00:00.000 --> 01:24.000
Introduction

00:00.000 --> 00:44.000
Topics

00:44.000 --> 01:19.000
Presenters

01:24.000 --> 05:00.000
Scrolling Effects

01:35.000 --> 03:00.000
Achim's Demo

03:00.000 --> 05:00.000
Timeline Panel
"""


def test_chapters_lie_within_each_other_or_apart():
    """The two examples of the standard, "WebVTT file using only nested cues"."""
    assert errors_in(CHAPTERS, "chapters") == []
    assert check_vtt(CHAPTERS, kind="chapters") == ()
    crossing = (
        "WEBVTT\n\n00:00.000 --> 01:00.000\nThe First Minute\n\n"
        "00:30.000 --> 01:30.000\nThe Final Minute\n"
    )
    assert errors_in(crossing, "chapters") == [(6, "crossing")]


def test_the_order_of_chapters_that_start_together_doesn_t_matter():
    start_together = (
        "WEBVTT\n\n00:00.000 --> 00:44.000\nTopics\n\n00:00.000 --> 01:24.000\nAll\n\n"
        "00:50.000 --> {}\nLast\n"
    )
    assert errors_in(start_together.format("01:24.000"), "chapters") == []
    assert errors_in(start_together.format("01:25.000"), "chapters") == [(9, "crossing")]


def test_a_chapter_s_title_has_no_tags():
    text = with_cue("The <b>knees</b> &amp; you & me")
    assert errors_in(text, "chapters") == [(4, "ampersand"), (4, "tag-in-title")] or errors_in(
        text, "chapters"
    ) == [(4, "tag-in-title"), (4, "ampersand")]


@pytest.mark.parametrize(
    ("data", "line"),
    [
        (with_cue("naïve").encode("latin-1"), 4),
        (b"WEBVTT\r\n\r\n" + TIMES.encode() + b"\r\n\xff\r\n", 4),
        (b"\xc0\xafWEBVTT", 1),
        (with_cue("x").encode("utf-16"), 1),
    ],
)
def test_other_encodings_than_utf_8_are_told_with_the_line(data, line):
    assert errors_in(data)[0] == (line, "encoding")


def test_half_a_character_can_t_be_utf_8():
    assert errors_in(with_cue("\ud83d")) == [(4, "encoding")]


def test_the_attributes_block_of_newer_drafts_is_let_pass():
    assert errors_in(f"WEBVTT\n\nATTRIBUTES\nlang: en\n\n{TIMES}\nText\n") == []
