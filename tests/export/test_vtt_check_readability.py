"""Advice on how well captions can be read, each limit with its published source."""

from __future__ import annotations

import pytest

from cliptag.export.splitting import CaptionRules
from cliptag.export.vtt_check import check_vtt

EXAMPLE = "Shift your weight forward, then push through both feet."


def stamp(time_ms: int) -> str:
    return f"{time_ms // 60000:02d}:{time_ms // 1000 % 60:02d}.{time_ms % 1000:03d}"


def file_of(*cues: tuple[int, int, str]) -> str:
    blocks = [f"{stamp(start)} --> {stamp(end)}\n{text}\n" for start, end, text in cues]
    return "WEBVTT\n\n" + "\n".join(blocks)


def advice(*cues: tuple[int, int, str], rules: CaptionRules | None = None) -> list[str]:
    findings = check_vtt(file_of(*cues), rules)
    assert all(found.severity == "advice" for found in findings)
    return [found.code for found in findings]


@pytest.mark.parametrize(
    ("length_ms", "speed"),
    [(2500, "22.0"), (3000, "18.3"), (3235, "17.0"), (3236, None), (3500, None)],
)
def test_the_worked_example_of_reading_speed(length_ms, speed):
    """55 characters: 22.0 a second in 2.5 s, 18.33 in 3.0 s, 15.71 in 3.5 s; 17 a second take
    3.235 s (Netflix, English Template Timed Text Style Guide: 17 characters a second)."""
    two_lines = EXAMPLE.replace(", then", ",\nthen ")  # the line end itself isn't read
    findings = check_vtt(file_of((0, length_ms, two_lines)))
    if speed is None:
        assert findings == ()
    else:
        (found,) = findings
        assert found.code == "fast"
        assert f"are {speed} a second" in found.sentence
        assert "give them 3.236 s" in found.sentence


def test_tags_and_references_count_as_what_is_seen():
    words = "<v Mara><b>Shift</b> your <c.quiet>weight</c> &amp; push</v>"
    assert len("Shift your weight & push") == 24
    assert advice((0, 1412, words)) == []
    assert advice((0, 1411, words)) == ["fast"]


def test_lines_over_42_characters_are_told():
    """Netflix, English Template Timed Text Style Guide: 42 characters a line."""
    assert advice((0, 5000, "x" * 42)) == []
    assert advice((0, 5000, "x" * 43)) == ["long-line"]
    assert advice((0, 7000, "慢" * 21)) == []
    assert advice((0, 7000, "慢" * 22)) == ["long-line"]


def test_more_than_two_lines_are_told():
    """Netflix, Timed Text Style Guide: General Requirements: 2 lines at most."""
    assert advice((0, 3000, "a\nb")) == []
    assert advice((0, 3000, "a\nb\nc")) == ["many-lines"]


def test_cues_under_a_second_or_over_seven_are_told():
    """Netflix: 5/6 s to 7 s; here 1 s, which is stricter."""
    assert advice((0, 1000, "Good.")) == []
    assert advice((0, 999, "Good.")) == ["short"]
    assert advice((0, 7000, "Good.")) == []
    assert advice((0, 7001, "Good.")) == ["long"]


def test_a_long_text_may_stand_as_long_as_it_takes_to_read():
    assert advice((0, 8000, "x" * 136)) == ["long-line"]


def test_cues_that_overlap_are_told_also_with_one_further_up():
    assert advice((0, 5000, "a"), (4999, 7000, "b")) == ["overlap"]
    assert advice((0, 7000, "a"), (1000, 2000, "b"), (3000, 4000, "c")) == ["overlap", "overlap"]


def test_gaps_under_two_frames_flicker_but_none_is_fine():
    """Netflix, Timed Text Style Guide: General Requirements: two frames at least."""
    assert advice((0, 2000, "a"), (2000, 4000, "b")) == []
    assert advice((0, 2000, "a"), (2083, 4000, "b")) == ["flicker"]
    assert advice((0, 2000, "a"), (2084, 4000, "b")) == []


def test_a_cue_or_a_file_without_text_is_told():
    assert advice((0, 2000, "<b></b>")) == ["no-text"]
    assert [found.code for found in check_vtt("WEBVTT\n\n")] == ["no-cues"]


def test_chapters_are_not_read_against_the_clock():
    text = file_of((0, 60_000, "x" * 60), (60_000, 60_200, "A title that nobody reads so fast"))
    assert check_vtt(text, kind="chapters") == ()


def test_the_limits_are_those_of_the_rules():
    slow = CaptionRules(max_cps=10.0, min_cue_us=2_000_000, max_lines=1, max_line_length=10)
    assert advice((0, 1500, "one two three\nfour"), rules=slow) == [
        "many-lines",
        "long-line",
        "fast",
        "short",
    ]


def test_advice_stands_on_the_line_of_the_times():
    (found,) = check_vtt(file_of((0, 2000, "fine"), (2000, 2500, "short")))
    assert found.line == 6
