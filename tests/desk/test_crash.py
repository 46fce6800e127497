"""kill -9 at any time loses at most the last second, and leaves a file that loads clean."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support.desk import small_clip

from cliptag.desk.bar import Bar
from cliptag.desk.keeping import Keeper
from cliptag.desk.remembered import Remembered
from cliptag.desk.state import DeskState
from cliptag.opening import review_path_of
from cliptag.review import load_review

PROGRAM = Path(__file__).with_name("crash_desk.py")

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="kill -9")


def changes_until_killed(clip: Path, after_s: float) -> tuple[list[tuple[int, float]], float]:
    """Let a desk work for a while and kill it; gives its changes with their times, and the end."""
    desk = subprocess.Popen([sys.executable, PROGRAM, clip], stdout=subprocess.PIPE, text=True)
    assert desk.stdout is not None
    first = desk.stdout.readline()
    time.sleep(after_s)
    desk.kill()
    killed_s = time.monotonic()
    lines = [first, *desk.stdout.read().splitlines()]
    desk.wait()
    desk.stdout.close()
    whole = [line.split() for line in lines if len(line.split()) == 2]
    return [(int(number), float(at_s)) for number, at_s in whole], killed_s


@pytest.mark.parametrize("seed", range(4))
def test_a_kill_at_a_random_moment_loses_at_most_the_last_second(tmp_path: Path, seed: int):
    clip = small_clip(tmp_path)
    after_s = random.Random(seed).uniform(1.2, 3.0)
    changes, killed_s = changes_until_killed(clip, after_s)
    due = [number for number, at_s in changes if at_s <= killed_s - 1.0]
    kept = int(load_review(review_path_of(clip)).impression.split()[1])
    assert due and kept >= due[-1], f"killed after {after_s:.2f} s, {due[-1] - kept} changes lost"


def test_the_next_start_offers_the_work_and_one_click_goes_on(qtbot, tmp_path: Path):
    clip = small_clip(tmp_path)
    changes_until_killed(clip, 1.5)
    state, bar = DeskState(), Bar()
    qtbot.addWidget(bar)
    keeper = Keeper(state, bar, Remembered(), state)
    keeper.offer_what_was_left()
    assert "ines.mp4" in bar.sentence
    (message,) = bar.earlier
    assert message.words == "Go on" and message.act is not None
    message.act()
    assert state.document is not None and state.document.review.impression.startswith("Change")
    keeper.end()
    state.close()
