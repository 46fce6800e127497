"""The watch page from an account, through a template that escapes whatever is put into it.

Jinja2 rather than plain replacement: the page is made of lists in lists, and with its automatic
escaping no text can be forgotten.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, get_args

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from cliptag.export.account import Account
from cliptag.export.chapters import Chapter
from cliptag.export.cues import Cue
from cliptag.export.timeline import IMPRESSION_ID
from cliptag.export.transcript import clock_words
from cliptag.paint import kind_svg_path
from cliptag.review import Kind, Review
from cliptag.words import Words

_FOLDER: Final = Path(__file__).parent
_TEMPLATE: Final = "watch.html.jinja"


@dataclass(frozen=True, slots=True)
class PagePicture:
    """A WebP file and its size in pixels."""

    webp: bytes
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Watching:
    """The video that a page shows, and what is beside it.

    ``has_burned_captions``: the captions are in the picture already, so the page offers none.
    ``stills`` are pictures by note id, ``poster`` is one that stands for the video; all of them
    become part of the page, so that it is whole wherever it is sent. ``files`` are others in the
    folder that the page points to, by their names, each with what it is called.
    """

    video: str
    size: tuple[int, int]
    chapters: Sequence[Chapter]
    cues: Sequence[Cue]
    has_burned_captions: bool = True
    poster: PagePicture | None = None
    stills: Mapping[str, PagePicture] = field(default_factory=dict)
    files: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Passage:
    """The cues of one note under its title."""

    title: str
    kind: Kind | None
    start_us: int
    cues: tuple[Cue, ...]


def watch_page(account: Account, review: Review, watching: Watching) -> str:
    """The page as HTML: it needs nothing from a network and may load nothing but its video."""
    words = account.words
    style, script = (
        Markup((_FOLDER / name).read_text("utf-8")) for name in ("watch.css", "watch.js")
    )
    return (
        _environment(words)
        .get_template(_TEMPLATE)
        .render(
            account=account,
            watching=watching,
            passages=_passages(review, watching.cues, words),
            style=style,
            script=script,
            policy=_policy(style, script),
            shapes={kind: kind_svg_path(kind) for kind in get_args(Kind)},
            is_wide=watching.size[0] > watching.size[1],
            key=_key(review),
            lang=words.language,
            direction="rtl" if words.is_right_to_left else "ltr",
        )
    )


def _environment(words: Words) -> Environment:
    environment = Environment(
        loader=FileSystemLoader(_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"say": words.say, "count": words.count}
    environment.filters |= {
        "clock": clock_words,
        "seconds": lambda time_us: f"{time_us / 1e6:.3f}",
        "webp": lambda data: f"data:image/webp;base64,{base64.b64encode(data).decode()}",
    }
    return environment


def _policy(style: str, script: str) -> str:
    """Nothing may be loaded but pictures inside the page and media beside it."""
    return "; ".join(
        [
            "default-src 'none'",
            "img-src data:",
            # For a page opened as a file some browsers don't count its folder as 'self'.
            "media-src 'self' file:",
            f"style-src 'sha256-{_digest(style)}'",
            f"script-src 'sha256-{_digest(script)}'",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode()


def _key(review: Review) -> str:
    """Under which a browser remembers this client's ticks: tells nothing of the client."""
    told = f"{review.clip.digest}/{review.client}"
    return hashlib.sha256(told.encode("utf-8", "replace")).hexdigest()[:16]


def _passages(review: Review, cues: Sequence[Cue], words: Words) -> list[_Passage]:
    kinds = {note.id: note.kind for note in review.notes}
    passages: list[_Passage] = []
    for note_id in dict.fromkeys(cue.note_id for cue in cues):
        said = tuple(cue for cue in cues if cue.note_id == note_id)
        title = words.region(said[0].region)
        if note_id != IMPRESSION_ID:
            title = words.title(said[0].region, kinds[note_id])
        passages.append(_Passage(title, kinds.get(note_id), said[0].start_us, said))
    return passages
