"""What it costs to step through two reviews together, against two single views.

    python tests/bench/bench_pair_view.py [--quick]

The demo's clips, 1080 x 1920. Three ways show the same frames of the same clips in turns, in this
one run, each with clips of its own: the pairing view, with both pictures laid on the sheet and the
marks of both; two stages of the desk side by side, each with its own review; and two bare feeds
that paint nothing. Of each step the better of two tries counts. Beside the time stands the
processor's, of all threads, which the load of the machine changes less.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from bench_seek import row
from PyQt6.QtCore import QEventLoop, QTimer
from PyQt6.QtGui import QPaintEvent
from PyQt6.QtWidgets import QApplication, QHBoxLayout, QWidget
from support.pairs import demo_pairing
from support.watchdog import rest

from cliptag.clip import Clip, open_clip
from cliptag.desk.frames import FrameFeed
from cliptag.desk.pairing.laid import lay
from cliptag.desk.pairing.stage import PairStage
from cliptag.desk.pairing.state import PairState
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState
from cliptag.pairing import compare_reviews

_SIZE = (900, 560)
_PATIENCE_MS = 20_000
_MOST_RATIO = 1.2
_SETTLE_S = 8.0

Frames = tuple[int, int]


class Wait:
    """An event loop that ends when something has become true."""

    def __init__(self) -> None:
        self._loop: QEventLoop | None = None
        self._awaited: Callable[[], bool] = lambda: True

    def look(self) -> None:
        """Something may be true now."""
        if self._loop is not None and self._awaited():
            self._loop.quit()

    def until(self, awaited: Callable[[], bool]) -> None:
        if awaited():
            return
        self._awaited, self._loop = awaited, QEventLoop()
        QTimer.singleShot(_PATIENCE_MS, self._loop.quit)
        self._loop.exec()
        self._loop = None
        if not awaited():
            raise AssertionError("the awaited pictures never came")


class Pair:
    """The pairing view's stage."""

    name = "the pairing view"

    def __init__(self, state: PairState, wait: Wait) -> None:
        self.state, self._painted = state, False
        self.stage = PairStage(state)
        self.stage.resize(*_SIZE)
        paint = self.stage.paintEvent

        def paint_event(event: QPaintEvent | None) -> None:
            paint(event)
            assert state.pictures is not None
            self._painted = state.pictures.is_exact
            wait.look()

        self.stage.paintEvent = paint_event  # type: ignore[method-assign]
        self.stage.show()

    def show(self, index: int) -> Callable[[], bool]:
        self._painted &= self.state.playhead.index == index
        self.state.playhead.go_to(index)
        return lambda: self._painted


class Stages:
    """Two of the desk's stages, each with a review of its own."""

    name = "two single views"

    def __init__(self, reviews: tuple[Path, Path], frames: list[Frames], wait: Wait) -> None:
        self._frames = frames
        self.host = QWidget()
        layout = QHBoxLayout(self.host)
        self.states, self._stages = [], []
        self._painted: list[int | None] = [None, None]
        for which, path in enumerate(reviews):
            state = DeskState()
            stage = StageView(state)
            layout.addWidget(stage)
            assert state.open(path)
            self.states.append(state)
            self._stages.append(stage)
            self._watch(which, stage, wait)
        self.host.resize(*_SIZE)
        self.host.show()

    def _watch(self, which: int, stage: StageView, wait: Wait) -> None:
        paint = stage.paintEvent

        def paint_event(event: QPaintEvent | None) -> None:
            paint(event)
            if stage.model.is_exact:
                self._painted[which] = stage.model.index
            wait.look()

        stage.paintEvent = paint_event  # type: ignore[method-assign]

    def show(self, index: int) -> Callable[[], bool]:
        wanted = list(self._frames[index])
        for state, frame in zip(self.states, wanted, strict=True):
            state.playhead.go_to(frame)
        return lambda: self._painted == wanted


class Feeds:
    """Two bare feeds."""

    name = "two bare feeds"

    def __init__(self, clips: tuple[Clip, Clip], frames: list[Frames], wait: Wait) -> None:
        self._frames = frames
        self.feeds = [FrameFeed(clip) for clip in clips]
        self._there: list[int | None] = [None, None]
        for which, feed in enumerate(self.feeds):
            feed.pictured.connect(lambda index, *_, which=which: self._take(which, index, wait))

    def _take(self, which: int, index: int, wait: Wait) -> None:
        self._there[which] = index
        wait.look()

    def show(self, index: int) -> Callable[[], bool]:
        wanted = self._frames[index]
        for feed, frame, there in zip(self.feeds, wanted, self._there, strict=True):
            if frame != there:
                feed.exact(frame)
        return lambda: self._there == list(wanted)


Way = Pair | Stages | Feeds


def step(way: Way, here: int, there: int, wait: Wait) -> tuple[float, float]:
    """Milliseconds and the processor's milliseconds of one step, the better of two tries."""
    best = (float("inf"), float("inf"))
    for _ in range(2):
        wait.until(way.show(here))
        rest(0.03)
        start_s, start_cpu_s = time.perf_counter(), time.process_time()
        wait.until(way.show(there))
        took = time.perf_counter() - start_s, time.process_time() - start_cpu_s
        best = min(best[0], took[0] * 1e3), min(best[1], took[1] * 1e3)
    return best


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer steps")
    count = 15 if parser.parse_args().quick else 50
    with tempfile.TemporaryDirectory(prefix="bench-pair-") as home:
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_STATE_HOME"] = home
        bench(count, Path(home))


def bench(count: int, home: Path) -> None:
    application = QApplication(sys.argv[:1])
    pairing, wait = demo_pairing("sit_to_stand"), Wait()
    first, second = map(Path, pairing.reviews)
    laid = lay(compare_reviews(pairing))
    pair = laid.comparison.pair
    frames = [pair.indices(index) for index in range(len(pair))]
    state = PairState()
    state.open(laid, home / "bench.pairing.json")
    clips = tuple(open_clip(side.clip.path) for side in laid.comparison.sides)
    ways: list[Way] = [
        Pair(state, wait),
        Stages((first, second), frames, wait),
        Feeds((clips[0], clips[1]), frames, wait),
    ]
    rest(_SETTLE_S)  # until the small pictures of all are made
    dice, times = random.Random(8), {way.name: np.empty((0, 2)) for way in ways}
    # Steps on which both clips go on: where one stands still there is less to do.
    both = [
        (index, index + 1)
        for index, (now, then) in enumerate(pairwise(frames))
        if now[0] != then[0] and now[1] != then[1]
    ]
    for here, there in dice.sample(both, min(count, len(both))):
        dice.shuffle(ways)
        for way in ways:
            took = step(way, here, there, wait)
            times[way.name] = np.vstack([times[way.name], took])
    report(times)
    for way in ways:
        if isinstance(way, Feeds):
            for feed in way.feeds:
                feed.close()
        elif isinstance(way, Stages):
            for single in way.states:
                single.close()
    state.close()
    for clip in clips:
        clip.close()
    application.quit()


def report(times: dict[str, np.ndarray]) -> None:
    load = os.getloadavg()[0]
    print(
        f"load {load:.1f} on {os.cpu_count()} processors; medians of {len(times[Pair.name])} steps"
    )
    for name, taken in times.items():
        wall, cpu = np.median(taken, axis=0)
        print(f"  {name:24} {wall:7.1f} ms   {cpu:7.1f} ms of the processor")
    for peer in (Stages.name, Feeds.name):
        wall, cpu = np.median(times[Pair.name] / times[peer], axis=0)
        target = f"<= {_MOST_RATIO} x" if peer == Stages.name else "told"
        is_met = peer != Stages.name or wall <= _MOST_RATIO
        row(f"linked stepping against {peer}", f"{wall:.2f} x ({cpu:.2f} x)", target, is_met)


if __name__ == "__main__":
    main()
