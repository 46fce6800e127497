"""What is written is read by parsers of other people, without complaint and as it was meant.

They are ``webvtt-parser`` (the validator of the standard's own group) and ``vtt.js`` from npm,
FFmpeg's through PyAV, and Chromium's text tracks. Times agree to 1 ms.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
import pytest
from support import reviews as made
from support import webvtt_tools as others
from support.words import HOSTILE, PROSE, SCRIPTS, at_most

from cliptag.export.captions import make_cues, reading_times
from cliptag.export.chapters import Chapter, chapters_of
from cliptag.export.cues import Cue
from cliptag.export.plain_text import one_line
from cliptag.export.source_time import source_time_cues
from cliptag.export.timeline import build_timeline
from cliptag.export.vtt import write_captions, write_chapters
from cliptag.export.vtt_check import check_vtt
from cliptag.review import Arrow, Point, Review

DURATION_US = 20_000_000
TIMES = np.arange(0, DURATION_US, 33_367, dtype=np.int64)


@dataclass(frozen=True)
class File:
    """A file and the cues that it should have: (start ms, end ms, text)."""

    kind: str
    text: str
    meant: tuple[tuple[int, int, str], ...]


def files_of(review: Review) -> dict[str, File]:
    fits = at_most(34)
    timeline = build_timeline(
        review, TIMES, DURATION_US, reading_times(review, fits), closing_cards_us=[5_000_000]
    )
    cues = make_cues(review, timeline, fits)
    in_source_time = source_time_cues(cues, timeline)
    chapters = chapters_of(review, timeline)
    return {
        "captions": File("subtitles", write_captions(cues, review.client), meant_by(cues)),
        "source": File("subtitles", write_captions(in_source_time), meant_by(in_source_time)),
        "chapters": File("chapters", write_chapters(chapters), meant_by(chapters)),
    }


def meant_by(parts: tuple[Cue, ...] | tuple[Chapter, ...]) -> tuple[tuple[int, int, str], ...]:
    return tuple(
        (
            round(part.start_us / 1000),
            round(part.end_us / 1000),
            "\n".join(part.lines) if isinstance(part, Cue) else one_line(part.title),
        )
        for part in parts
    )


def review_with(text: str) -> Review:
    low = Arrow(id="a", tail=Point(1, 900), head=Point(1, 1900))
    return Review(
        clip=made.clip_ref(duration_us=DURATION_US),
        client=text[:200],
        impression=text,
        notes=(
            made.note(1, text=text, marks=(low,)),
            made.note(2, text=text, region="head", kind="exercise"),
            made.note(3, text=PROSE, slow_by=2),
        ),
    )


def all_files() -> dict[str, File]:
    texts = {"prose": PROSE} | SCRIPTS | {k: v[:400] for k, v in HOSTILE.items()}
    files = {
        f"{name}, {what}": file
        for name, text in texts.items()
        for what, file in files_of(review_with(text)).items()
    }
    long = Chapter(0, 360_000_001_000, "A hundred hours & <more>")
    files["hundred hours"] = File("chapters", write_chapters([long]), meant_by((long,)))
    files["empty"] = File("subtitles", write_captions([]), ())
    return files


FILES = all_files()


def agree(file: File, reading: others.Reading, text_of=lambda text: text) -> None:
    assert reading.complaints == ()
    assert len(reading.cues) == len(file.meant)
    for cue, (start_ms, end_ms, text) in zip(reading.cues, file.meant, strict=True):
        assert abs(cue.start_ms - start_ms) <= 1
        assert abs(cue.end_ms - end_ms) <= 1
        assert cue.text == text_of(text)


def lines_at_top(file: File) -> list[bool]:
    return ["line:0" in line for line in file.text.splitlines() if " --> " in line]


@pytest.fixture(scope="module")
def by_npm() -> dict[str, dict[str, others.Reading]]:
    subtitles = {name: file for name, file in FILES.items() if file.kind == "subtitles"}
    chapters = {name: file for name, file in FILES.items() if file.kind == "chapters"}
    read = others.by_npm([file.text for file in subtitles.values()])
    read += others.by_npm([file.text for file in chapters.values()], "chapters")
    return dict(zip([*subtitles, *chapters], read, strict=True))


@pytest.fixture(scope="module")
def by_chromium() -> dict[str, others.Reading]:
    read = others.by_chromium([(file.text, file.kind) for file in FILES.values()])
    return dict(zip(FILES, read, strict=True))


def test_the_files_hold_what_makes_parsers_stumble():
    whole = "\n".join(file.text for file in FILES.values())
    for sign in ("&lt;script&gt;", "--&gt;", "&amp;amp;", "\u2067", "שלום", "👩‍👩‍👧‍👦", "line:0"):
        assert sign in whole


@pytest.mark.parametrize("name", FILES)
def test_the_validator_of_npm_reads_what_was_meant(name, by_npm):
    agree(FILES[name], by_npm[name]["validator"])


@pytest.mark.parametrize("name", FILES)
def test_the_player_of_npm_reads_what_was_meant(name, by_npm):
    def unescaped_again(text: str) -> str:
        # vtt.js 0.13 unescapes until nothing is left: it reads "&amp;lt;" as "<" (its unescape()).
        signs = {"amp": "&", "lt": "<", "gt": ">", "nbsp": "\u00a0"}
        while (found := re.search("&(amp|lt|gt|nbsp);", text)) is not None:
            text = text.replace(found[0], signs[found[1]], 1)
        return text

    agree(FILES[name], by_npm[name]["player"], unescaped_again)


@pytest.mark.parametrize("name", FILES)
def test_ffmpeg_reads_what_was_meant(name):
    agree(FILES[name], others.by_ffmpeg(FILES[name].text))


@pytest.mark.parametrize("name", FILES)
def test_chromium_reads_what_was_meant(name, by_chromium):
    agree(FILES[name], by_chromium[name])


@pytest.mark.parametrize("name", FILES)
def test_all_agree_which_captions_stand_at_the_top(name, by_npm, by_chromium):
    expected = [0 if at_top else "auto" for at_top in lines_at_top(FILES[name])]
    for reading in (*by_npm[name].values(), by_chromium[name]):
        assert [cue.line for cue in reading.cues] == expected


@pytest.mark.parametrize("name", FILES)
def test_our_own_check_finds_nothing_wrong(name):
    file = FILES[name]
    kind = "chapters" if file.kind == "chapters" else "captions"
    findings = check_vtt(file.text, kind=kind)
    assert [finding for finding in findings if finding.severity == "error"] == []
    advice = {finding.code for finding in findings} - {"no-cues"}
    if "source" in name:  # the clip's own time leaves less time to read
        advice -= {"fast", "short", "long"}
    if "marks" in name:  # sixty marks on one letter can't be parted from it
        advice -= {"long-line"}
    assert advice == set()
