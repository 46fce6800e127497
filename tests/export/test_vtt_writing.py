"""What is written keeps every rule of the WebVTT standard.

Rules: W3C, WebVTT: The Web Video Text Tracks Format, section "Syntax", looked at here with
patterns of the tests' own.
"""

from __future__ import annotations

import re

import pytest
import webvtt
from hypothesis import given, settings
from hypothesis import strategies as st
from support.words import HOSTILE, SCRIPTS, any_text, letters_of

from cliptag.errors import ExportError
from cliptag.export.chapters import Chapter
from cliptag.export.cues import Cue
from cliptag.export.vtt import write_captions, write_chapters

TIMINGS = re.compile(
    r"(\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3}) --> (\d{2,}):([0-5]\d):([0-5]\d)\.(\d{3})"
)

thorough = settings(max_examples=80, deadline=None)


def cue(*lines: str, start_us: int = 0, end_us: int = 2_000_000, **fields) -> Cue:
    usual = {
        "note_id": "n1",
        "region": "knees",
        "kind": "seen",
        "place": "bottom",
        "is_first": True,
    }
    return Cue(start_us, end_us, lines, **(usual | fields))


def ms(*parts: str) -> int:
    hours, minutes, seconds, thousandths = map(int, parts)
    return ((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths


@st.composite
def cue_lists(draw: st.DrawFn) -> list[Cue]:
    made = []
    for number in range(draw(st.integers(0, 6))):
        start_us = draw(st.integers(0, 400_000_000_000))
        made.append(
            cue(
                *draw(st.lists(any_text, min_size=1, max_size=2)),
                start_us=start_us,
                end_us=start_us + draw(st.integers(1, 9_000_000)),
                note_id=draw(st.sampled_from(["a", "b", "-->", "a\n\nb"])),
                place=draw(st.sampled_from(["top", "bottom"])),
                is_first=number == 0,
            )
        )
    return made


def keeps_the_rules(text: str) -> list[tuple[int, int, str]]:
    """Assert every rule of the file format; return the cues as (start ms, end ms, payload)."""
    text.encode("utf-8")
    assert text.startswith("WEBVTT\n\n")
    assert "\r" not in text and "\0" not in text
    assert text.count("-->") == len(TIMINGS.findall(text))
    head, *blocks = re.split("\n{2,}", text.rstrip("\n"))
    assert head == "WEBVTT"
    cues = []
    identifiers = []
    for block in blocks:
        lines = block.split("\n")
        if lines[0].startswith("NOTE "):
            assert len(lines) == 1 and not cues
            continue
        identifiers.append(lines[0])
        times = TIMINGS.match(lines[1])
        assert times, lines[1]
        assert lines[1][times.end() :] in ("", " line:0")
        payload = "\n".join(lines[2:])
        assert payload
        assert not re.search(r"[<>]|&(?!amp;|lt;|gt;)", payload)
        cues.append((ms(*times.groups()[:4]), ms(*times.groups()[4:]), payload))
    assert len(set(identifiers)) == len(identifiers)
    assert all(start < end for start, end, _ in cues)
    assert [start for start, _, _ in cues] == sorted(start for start, _, _ in cues)
    return cues


@given(cues=cue_lists(), title=any_text)
@thorough
def test_captions_keep_every_rule_of_the_standard(cues, title):
    written = keeps_the_rules(write_captions(cues, title))
    seen = [each for each in cues if letters_of("".join(each.lines))]
    assert len(written) >= len(seen)
    for start_ms, end_ms, _ in written:
        assert any(
            abs(start_ms * 1000 - each.start_us) <= 500
            and (abs(end_ms * 1000 - each.end_us) <= 500 or end_ms == start_ms + 1)
            for each in cues
        )


@given(cues=cue_lists())
@thorough
def test_webvtt_py_reads_back_what_it_wrote(cues):
    text = write_captions(cues)
    again = webvtt.WebVTT.from_string(text, strict=True)
    assert len(again) == len(keeps_the_rules(text))


@given(lengths=st.lists(st.integers(1, 5_000_000), max_size=6), title=any_text)
@thorough
def test_chapters_keep_every_rule_of_the_standard(lengths, title):
    clock_us = 0
    chapters = []
    for length_us in lengths:
        chapters.append(Chapter(clock_us, clock_us + length_us, title))
        clock_us += length_us
    written = keeps_the_rules(write_chapters(chapters))
    assert len(written) == len(chapters)
    assert all("\n" not in payload for _, _, payload in written)


@pytest.mark.parametrize(
    ("time_us", "written"),
    [
        (59_999_600, "00:01:00.000"),  # not 00:00:60.000
        (59_999_499, "00:00:59.999"),
        (3_599_999_500, "01:00:00.000"),
        (360_000_000_000, "100:00:00.000"),
        (1_000, "00:00:00.001"),
    ],
)
def test_times_are_rounded_to_whole_milliseconds_and_carried_on(time_us, written):
    text = write_captions([cue("x", start_us=time_us, end_us=time_us + 2_000_000)])
    assert f"\n{written} --> " in text


def test_a_cue_shorter_than_a_millisecond_still_ends_after_it_starts():
    assert keeps_the_rules(write_captions([cue("x", start_us=100, end_us=101)])) == [(0, 1, "x")]


def test_cues_that_touch_in_the_video_touch_in_the_file():
    cues = [cue("a", end_us=1_234_567), cue("b", start_us=1_234_567, end_us=3_000_000)]
    (_, end, _), (start, _, _) = keeps_the_rules(write_captions(cues))
    assert end == start


def test_cues_are_written_in_order_of_their_start():
    late, early = cue("late", start_us=5_000_000, end_us=6_000_000), cue("early")
    assert [payload for _, _, payload in keeps_the_rules(write_captions([late, early]))] == [
        "early",
        "late",
    ]


def test_identifiers_tell_the_note_and_the_cue_in_it():
    cues = [
        cue("a", note_id="impression"),
        cue("b", start_us=2_000_000, end_us=3_000_000, note_id="n9"),
        cue("c", start_us=3_000_000, end_us=4_000_000, note_id="n9"),
    ]
    assert re.findall(r"^\d\.\d$", write_captions(cues), re.MULTILINE) == ["1.1", "2.1", "2.2"]


def test_only_captions_at_the_top_say_where_they_stand():
    assert "line:" not in write_captions([cue("x")])
    assert write_captions([cue("x", place="top")]).count(" line:0\n") == 1


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_comes_out_harmless_and_whole(name):
    text = HOSTILE[name]
    (written,) = keeps_the_rules(write_captions([cue(text, note_id=text)], text))
    keeps_the_rules(write_chapters([Chapter(0, 1_000_000, text)], text))
    if name != "half characters":
        plain = written[2].replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
        assert letters_of(plain) == letters_of(text)


@pytest.mark.parametrize("script", SCRIPTS)
def test_every_script_and_its_directional_marks_survive(script):
    text = f"\u200f{SCRIPTS[script]}\u200e \u2067x\u2069"
    (written,) = keeps_the_rules(write_captions([cue(text)]))
    assert written[2].startswith("\u200f") and written[2].endswith("\u200e \u2067x\u2069")


def test_a_file_without_cues_is_still_a_file():
    assert write_captions([]) == "WEBVTT\n\n"
    assert write_captions([cue(" ", "\u200b")]) == "WEBVTT\n\n"
    assert write_chapters([]) == "WEBVTT\n\n"


def test_a_chapter_without_a_title_gets_one():
    assert keeps_the_rules(write_chapters([Chapter(0, 1_000_000, " ")])) == [(0, 1000, "Part 1")]


@pytest.mark.parametrize("times", [(2_000_000, 2_000_000), (2_000_000, 1_000_000), (-1, 5)])
def test_times_that_no_player_would_take_are_refused(times):
    with pytest.raises(ExportError, match="end after its start"):
        write_captions([cue("x", start_us=times[0], end_us=times[1])])
    with pytest.raises(ExportError, match="end after its start"):
        write_chapters([Chapter(*times, "x")])
