"""Two reviews compared in a real window with keys and mouse alone; what comes out is read back."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path

import av
import pytest
import webvtt
from support.screen import screen_of, until
from support.truth import FOLDER

from cliptag.pairing import load_pairing

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs X11")

SAID = "Your trunk stays longer here."


@pytest.fixture
def reviews(tmp_path: Path) -> tuple[Path, Path]:
    """The demo's two rises, without followed points, which take a while to follow."""
    paths = []
    for week in ("01", "10"):
        name = f"sit_to_stand_week{week}"
        shutil.copyfile(FOLDER / f"{name}.mp4", tmp_path / f"{name}.mp4")
        review = json.loads((FOLDER / f"{name}.review.json").read_text("utf-8"))
        review["tracked"] = []
        path = tmp_path / f"{name}.review.json"
        path.write_text(json.dumps(review), "utf-8")
        paths.append(path)
    return paths[0], paths[1]


def test_two_reviews_are_compared_said_something_of_and_sent(tmp_path: Path, reviews):
    kept = tmp_path / "sit_to_stand_week01 and sit_to_stand_week10.pairing.json"
    folder = tmp_path / "sit_to_stand_week01 and sit_to_stand_week10 compared"
    with screen_of(tmp_path / "home", (1280, 800)) as screen:
        desk = screen.start(*reviews)
        window = desk.wait_for_title("week01 and sit_to_stand_week10")
        desk.fill_screen(window)
        before = screen.still()
        desk.press("alt+Right", "alt+Right", "Right", "n")
        desk.type(SAID)
        until(lambda: kept.exists() and load_pairing(kept).notes, "the note in its file")
        assert (screen.still() != before).any()
        desk.press("Escape", "2", "l")
        until(lambda: load_pairing(kept).layout == "above", "the other layout in the file")
        desk.press("ctrl+z")
        until(lambda: load_pairing(kept).layout == "side", "what undo left in the file")
        desk.press("ctrl+e")
        until((folder / "comparison.mp4").exists, "the comparison", 240.0)
        # The strip lies above the bar at the window's foot: a drag on it goes through both.
        still = screen.still()
        desk.drag((200, 690), (600, 690))
        assert (screen.still() != still).any()
        desk.press("ctrl+2")
        desk.wait_for_title("sit_to_stand_week10.mp4")
        desk.press("ctrl+q")
        assert desk.end() == 0
        assert "Traceback" not in screen.terminal()
    pairing = load_pairing(kept)
    assert [(n.text, n.kind) for n in pairing.notes] == [(SAID, "good")]
    assert [Path(name) for name in pairing.reviews] == list(reviews)
    cues = " ".join(caption.text for caption in webvtt.read(str(folder / "comparison.vtt")))
    assert SAID in cues.replace("\n", " ")
    with av.open(str(folder / "comparison.mp4")) as video:
        stream = video.streams.video[0]
        assert stream.width > 800 and stream.frames > 50
