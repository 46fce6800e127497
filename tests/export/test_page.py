"""The watch page as it is written: its policy, its words, its pictures and what it leaves out."""

from __future__ import annotations

import base64
import hashlib
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from support.media import make_clip
from support.reviews import every_mark, note

from cliptag.clip import open_clip
from cliptag.export import plan_export
from cliptag.export.handout import write_handouts
from cliptag.export.scene import Scene
from cliptag.export.stills import ASPECT, stills_of
from cliptag.opening import start_review
from cliptag.review import Joint, Number, Point, Review, Ring, edit

TEXT = "Let the knees come forward."


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    folder = tmp_path_factory.mktemp("clip")
    with open_clip(make_clip(folder / "a.mp4", size=(1080, 1920), seconds=0.4)) as clip:
        yield clip


def _review(clip: Any, **fields: Any) -> Review:
    marks = tuple(mark for mark in every_mark() if isinstance(mark, Joint | Ring))
    notes = (
        note(1, region="neck", start_us=0, end_us=50_000, text=TEXT, marks=marks),
        note(2, region="feet", start_us=100_000, end_us=150_000, text=TEXT),
        note(3, region="knees", start_us=200_000, end_us=250_000, kind="exercise", text="Do."),
    )
    return edit.with_fields(start_review(clip), **({"notes": notes} | fields))


def _page(clip: Any, folder: Path, review: Review, **options: Any) -> str:
    write_handouts(
        folder,
        review,
        clip,
        plan_export(review, clip),
        "commentary.mp4",
        "transcript.txt",
        **options,
    )
    return (folder / "index.html").read_text("utf-8")


def test_the_policy_allows_its_own_style_and_script_and_nothing_of_a_network(
    clip: Any, tmp_path: Path
):
    page = _page(clip, tmp_path, _review(clip))
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', page)
    assert policy is not None
    rules = dict(rule.strip().split(" ", 1) for rule in policy[1].replace("&#39;", "'").split(";"))
    assert rules.pop("default-src") == "'none'"
    for name, element in (("style-src", "style"), ("script-src", "script")):
        found = re.findall(f"<{element}>(.*?)</{element}>", page, re.DOTALL)
        assert len(found) == 1
        digest = base64.b64encode(hashlib.sha256(found[0].encode()).digest()).decode()
        assert rules.pop(name) == f"'sha256-{digest}'"
    assert rules == {
        "img-src": "data:",
        "media-src": "'self' file:",
        "base-uri": "'none'",
        "form-action": "'none'",
    }
    bare = re.sub("base64,[A-Za-z0-9+/=]*", "", page)
    assert not re.search(r"https?:|//[a-z]|\sstyle=|\son[a-z]+=|url\(|@import", bare)


def test_findings_go_from_the_ground_up_and_the_video_in_its_order(clip: Any, tmp_path: Path):
    page = _page(clip, tmp_path, _review(clip))
    findings, parts = page[page.index('class="findings"') :], page[page.index('class="parts"') :]
    assert findings.index("Feet: what I see") < findings.index("Neck: what I see")
    assert parts.index("Neck: what I see") < parts.index("Feet: what I see")


def test_numbers_come_with_their_uncertainty_and_their_meaning(clip: Any, tmp_path: Path):
    number = Number(
        name="peak_trunk_lean", words="Trunk lean, at most", value=48.34, sd=0.2, unit="°",
        sense="forward",
    )  # fmt: skip
    review = edit.with_note_fields(_review(clip), "n2", numbers=(number,))
    page = _page(clip, tmp_path, review)
    assert "Trunk lean, at most" in page and "48.3° ± 0.4° forward" in page
    assert "How far the trunk leans from the vertical" in page
    assert re.search(r"Knee flexion</dt><dd><strong dir=\"auto\">[\d.]+° ± [\d.]+°", page)
    assert "about 95 times in 100" in page
    without = edit.with_fields(review, notes=(note(1, start_us=0, end_us=50_000, text=TEXT),))
    assert "about 95 times in 100" not in _page(clip, tmp_path, without)


def test_what_is_empty_is_left_out(clip: Any, tmp_path: Path):
    review = edit.with_fields(start_review(clip), caution="")
    page = _page(clip, tmp_path, review)
    for part in ('id="exercises"', 'class="findings"', 'class="caution"', 'class="transcript"'):
        assert part not in page


def test_a_page_with_ten_pictures_is_light(clip: Any, tmp_path: Path):
    marks = tuple(mark for mark in every_mark() if isinstance(mark, Joint))
    notes = tuple(
        note(n, start_us=n * 30_000, end_us=n * 30_000 + 10_000, text=TEXT, marks=marks)
        for n in range(10)
    )
    page = _page(clip, tmp_path, edit.with_fields(start_review(clip), notes=notes))
    pictures = re.findall(r'<img src="data:image/webp;base64,([^"]*)"', page)
    assert len(pictures) == 10
    for picture in pictures:
        with Image.open(io.BytesIO(base64.b64decode(picture))) as image:
            assert image.width / image.height == pytest.approx(ASPECT, abs=0.01)
    assert len(page.encode()) < 1_000_000


@pytest.mark.parametrize(
    "where", [(60.0, 60.0), (1000.0, 1880.0), (540.0, 900.0), (-400.0, 5000.0)]
)
def test_a_still_shows_what_its_marks_speak_of(clip: Any, where: tuple[float, float]):
    """The ring's own colour lies in the cut; a mark off the picture doesn't break it."""
    ring = Ring(id="r", centre=Point(*where), radius_x=50.0, radius_y=50.0, colour="vermillion")
    notes = (note(1, start_us=0, end_us=50_000, text=TEXT, marks=(ring,)),)
    review = edit.with_fields(start_review(clip), notes=notes)
    plan = plan_export(review, clip)
    still = stills_of(notes, clip, Scene(review, plan.timeline, (), plan.readings))["n1"]
    assert still.shape[2] == 3 and still.shape[1] <= 480
    red = (np.abs(still.astype(int) - (0xD5, 0x5E, 0x00)).max(axis=2) < 40).sum()
    assert (red > 30) == (0 <= where[0] <= 1080)
