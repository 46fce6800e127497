"""The check takes any input at all: it ends soon, and says something of use."""

from __future__ import annotations

import random
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.words import HOSTILE

from cliptag.export.vtt_check import MOST_BYTES, check_vtt
from cliptag.export.vtt_findings import MOST_FINDINGS

HEAD = "WEBVTT\n\n"
TIMES = "00:00:00.000 --> 00:00:05.000"

# What is repeated, and what stands before and after it.
REPEATED = {
    "x": (HEAD, "x", ""),
    "lines": (HEAD, "\n", ""),
    "returns": (HEAD, "\r", ""),
    "spaces before an arrow": (HEAD, " ", "-->"),
    "arrows": (HEAD, "-->", ""),
    "arrows in lines": (HEAD, "-->\n", ""),
    "tags": (f"{HEAD}{TIMES}\n", "<b>", ""),
    "closed tags": (f"{HEAD}{TIMES}\n", "</b>", ""),
    "open tags": (f"{HEAD}{TIMES}\n", "<", ""),
    "classes": (f"{HEAD}{TIMES}\n<c", ".a", ">"),
    "an annotation of spaces": (f"{HEAD}{TIMES}\n<v", " ", ">"),
    "ampersands": (f"{HEAD}{TIMES}\n", "&", ""),
    "digits of a reference": (f"{HEAD}{TIMES}\n&#", "1", ";"),
    "digits of an hour": (HEAD, "1", f":{TIMES}"),
    "digits of a percentage": (f"{HEAD}{TIMES} size:", "0", "%\nx"),
    "settings": (f"{HEAD}{TIMES} ", "line:0 ", ""),
    "cues": (HEAD, f"{TIMES}\nx\n\n", ""),
    "cues without blank lines": (HEAD, f"{TIMES}\nx\n", ""),
    "cues with one id": (HEAD, f"a\n{TIMES}\nx\n\n", ""),
    "regions": (HEAD, "REGION\nid:a\n\n", ""),
    "notes": (HEAD, "NOTE\n\n", ""),
    "marks": (f"{HEAD}{TIMES}\n", "\u0301", ""),
    "directions": (f"{HEAD}{TIMES}\n", "\u202e", ""),
    "NULs": ("", "\0", ""),
}


@given(
    data=st.binary(max_size=400) | st.binary(max_size=400).map(lambda tail: HEAD.encode() + tail)
)
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_taken(data):
    for found in check_vtt(data):
        assert 1 <= found.line <= data.count(b"\n") + data.count(b"\r") + 2


@given(text=st.text(max_size=400).map(lambda tail: f"{HEAD}{TIMES}\n{tail}"))
@settings(max_examples=200, deadline=None)
def test_any_text_is_taken(text):
    lines = [found.line for found in check_vtt(text)]
    assert lines == sorted(lines)
    check_vtt(text, kind="chapters")


@pytest.mark.parametrize("kind", ["captions", "chapters"])
@pytest.mark.parametrize("name", REPEATED)
def test_the_time_grows_no_faster_than_the_length(name, kind):
    before, piece, after = REPEATED[name]

    def seconds(length: int) -> float:
        text = before + piece * (length // len(piece)) + after
        best = float("inf")
        for _ in range(2):
            started = time.process_time()
            check_vtt(text, kind=kind)
            best = min(best, time.process_time() - started)
        return best

    # Sixteen times as much takes sixteen times as long; the square of it would take 256 times.
    assert seconds(160_000) < 64 * max(seconds(10_000), 0.001)


def test_a_binary_file_is_refused_in_a_few_words():
    data = random.Random(1).randbytes(2_000_000)
    assert {found.code for found in check_vtt(data)} <= {"encoding", "null", "signature"}


def test_of_a_huge_file_only_the_beginning_is_looked_at():
    text = HEAD + f"{TIMES}\né\n" * 3 + "\n" + "é" * MOST_BYTES
    findings = check_vtt(text.encode("utf-8"))
    assert findings[0].code == "too-large"
    assert "encoding" not in {found.code for found in findings}


def test_a_thousand_findings_are_enough():
    findings = check_vtt(HEAD + "a\n\n" * 5000)
    assert len(findings) == MOST_FINDINGS + 1
    assert findings[-1].code == "more"


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_quoted_of_a_file_can_t_harm_a_terminal(name):
    text = HOSTILE[name]
    for whole in (f"{HEAD}{text}", f"{HEAD}{TIMES} {text}\n<{text}>", f"{HEAD}{text}\n{TIMES}\nx"):
        for found in check_vtt(whole):
            assert found.sentence.isprintable() or all(
                char.isprintable()
                or char in "\u200b\u200e\u2066\u2067\u2069\u202b\u202c\u202d\u202e\u3000"
                for char in found.sentence
            )
            assert "\x1b" not in found.sentence and len(found.sentence) < 400
