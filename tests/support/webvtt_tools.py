"""WebVTT as others read it: two parsers from npm, FFmpeg through PyAV, and Chromium's own.

Where a program isn't on the machine, the test that asked is skipped and says why.
"""

from __future__ import annotations

import io
import json
import re
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal

import av
from support.browser import ask_chromium
from support.npm import packages_of, program

JS: Final = Path(__file__).parent / "js"

Mode = Literal["subtitles", "chapters"]


@dataclass(frozen=True)
class ReadCue:
    """A cue as a parser read it: ``text`` unescaped, without tags, its lines parted by LF."""

    start_ms: int
    end_ms: int
    text: str
    id: str | None = None
    line: str | float | None = None


@dataclass(frozen=True)
class Reading:
    """What a parser made of a file, with its complaints in its own words."""

    cues: tuple[ReadCue, ...]
    complaints: tuple[str, ...] = ()


def by_npm(texts: Sequence[str], mode: Mode = "subtitles") -> list[dict[str, Reading]]:
    """What ``webvtt-parser`` ('validator') and ``vtt.js`` ('player') make of each file."""
    node = program("node")
    files = [{"text": text, "mode": mode} for text in texts]
    answer = subprocess.run(
        [node, str(JS / "read_vtt.js"), str(packages_of(JS))],
        input=json.dumps(files),
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=True,
    )
    return [
        {name: _reading(found) for name, found in each.items()}
        for each in json.loads(answer.stdout)
    ]


def by_ffmpeg(text: str) -> Reading:
    """What FFmpeg's WebVTT demuxer and decoder make of a file, through PyAV."""
    cues = []
    with av.open(io.BytesIO(text.encode("utf-8")), format="webvtt") as container:
        for packet in container.demux(container.streams.subtitles[0]):
            if packet.pts is None:
                continue
            start_ms = round(packet.pts * packet.time_base * 1000)
            length_ms = round((packet.duration or 0) * packet.time_base * 1000)
            shown = "".join(_unstyled(part.ass.decode("utf-8")) for part in packet.decode())
            cues.append(ReadCue(start_ms, start_ms + length_ms, shown))
    return Reading(tuple(cues))


_ASS_SIGNS: Final = {"\\{{}": "{", "\\\u2060": "\\", "\\N": "\n", "\\h": "\u00a0"}


def _unstyled(event: str) -> str:
    # FFmpeg hands text over as an ASS event: eight fields, then the text with its own escapes.
    words = event.split(",", 8)[8]
    signs = "|".join(map(re.escape, _ASS_SIGNS))
    return re.sub(signs, lambda sign: _ASS_SIGNS[sign[0]], words)


def by_chromium(files: Sequence[tuple[str, str]]) -> list[Reading]:
    """What Chromium makes of each (text, kind of track), in one start of the browser."""
    tracks = [{"name": f"/{n}.vtt", "kind": kind} for n, (_, kind) in enumerate(files)]
    served = {
        "/": ("text/html; charset=utf-8", (JS / "tracks.html").read_bytes()),
        "/files": ("application/json", json.dumps(tracks).encode("utf-8")),
    }
    for n, (text, _) in enumerate(files):
        served[f"/{n}.vtt"] = ("text/vtt", text.encode("utf-8"))
    return [_reading(found) for found in ask_chromium(served)]


def _reading(found: dict[str, Any]) -> Reading:
    cues = tuple(ReadCue(**cue) for cue in found["cues"])
    return Reading(cues, tuple(found["errors"]))
