"""A lift measured in a real window, with nothing but keys and mouse.

What comes out is read from the files alone, and compared with the drawn clip's truth.
"""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
import pytest
import webvtt
from numpy.typing import NDArray
from support.screen import Place, Program, Screen, screen_of, until
from support.truth import Truth, read_truth

from cliptag.errors import CliptagError
from cliptag.measure import BODY_CHAIN, COVERAGE_FACTOR, shown
from cliptag.review import Note, PointKey, Review, Tilt, load_review

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs X11")

TEXT = "Here the trunk lies level."
START, CORRECTED, NOTED = 78, 200, 95
SLACK_US = 70_000
"""Two frames: how far a proposed moment may lie from the true one."""


@dataclass
class Job:
    """A copy of the demo lift, its truth, and the screen on which it is measured."""

    screen: Screen
    desk: Program
    clip: Path
    truth: Truth
    place: Place

    @property
    def take_home(self) -> Path:
        return self.clip.parent / f"{self.clip.stem} take-home"

    def review(self) -> Review | None:
        try:
            return load_review(self.clip.with_name(f"{self.clip.stem}.review.json"))
        except CliptagError:
            return None

    def saved(self, is_so: Callable[[Review], bool], what: str, patience_s: float = 60.0) -> Review:
        """The saved review, as soon as it has something."""

        def found() -> Review | None:
            review = self.review()
            return review if review is not None and is_so(review) else None

        return until(found, f"a saved review with {what}", patience_s)

    def until_saved(
        self, act: Callable[[], None], is_so: Callable[[Review], bool], what: str
    ) -> Review:
        """Do something, and again while the points are still being followed."""
        end_s = time.monotonic() + 60.0
        while True:
            act()
            is_last = time.monotonic() > end_s
            review = self._soon(is_so) or (self.saved(is_so, what) if is_last else None)
            if review is not None:
                return review

    def _soon(self, is_so: Callable[[Review], bool]) -> Review | None:
        end_s = time.monotonic() + 5.0
        while time.monotonic() < end_s:
            review = self.review()
            if review is not None and is_so(review):
                return review
            time.sleep(0.1)
        return None

    def on_screen(self, name: str, frame: int) -> tuple[int, int]:
        point = self.truth.point(name)[frame]
        return self.place.on_screen(float(point.real), float(point.imag))

    def go_to(self, frame: int) -> None:
        """Type the time of a frame."""
        self.desk.press("g")
        self.desk.type(f"{self.truth.times_us[frame] / 1e6 + 0.005:.3f}")
        self.desk.press("Return")

    def look(self, frame: int) -> None:
        """Find the picture anew: rows above and beneath it may have come or gone."""
        (picture,) = frames_of(self.clip, range(frame, frame + 1))
        self.place = until(lambda: self.screen.find(picture), "the picture on the screen")


def frames_of(path: Path, wanted: range) -> list[NDArray[np.uint8]]:
    """Frames as PyAV alone decodes them."""
    with av.open(str(path)) as container:
        frames = enumerate(container.decode(video=0))
        return [f.to_ndarray(format="rgb24") for n, f in frames if n in wanted]


@pytest.fixture
def job(tmp_path: Path) -> Iterator[Job]:
    truth = read_truth("lift_week01")
    clip = tmp_path / "clips" / "ines lifts.mp4"
    clip.parent.mkdir()
    shutil.copyfile(truth.path, clip)
    with screen_of(tmp_path / "home") as screen:
        desk = screen.start(clip)
        try:
            desk.fill_screen(desk.wait_for_title("ines lifts.mp4"))
            yield Job(screen, desk, clip, truth, Place(1.0, 0.0, 0.0))
        finally:
            if desk.is_running:
                print("The screen at the end:", screen.keep(tmp_path / "screen.png"))
                desk.kill()


def test_a_lift_is_measured_by_keys_and_mouse_alone(job: Job):
    tell_the_scene(job)
    place_ten_points(job)
    correct_a_point(job)
    confirm_moments(job)
    put_numbers_into_a_note(job)
    let_an_angle_follow(job)
    export(job)
    job.desk.press("ctrl+q")
    assert job.desk.end() == 0
    assert "Traceback" not in job.screen.terminal()


def tell_the_scene(job: Job) -> None:
    """The client faces left and lifts; a rule of 100 cm and a door frame are in the picture."""
    desk, truth = job.desk, job.truth
    desk.press("ctrl+shift+l", "ctrl+m")
    job.screen.still()
    desk.press("Down", "Down", "Return")
    job.saved(lambda r: (r.facing, r.movement) == ("left", "lift"), "facing and movement")
    job.go_to(START)
    job.look(START)
    desk.press("c")
    for ends in truth.scale_ends:
        desk.click(*job.place.on_screen(float(ends[START].real), float(ends[START].imag)))
    job.screen.still()
    desk.type("100")
    desk.press("Return")
    job.saved(lambda r: r.scale is not None, "a scale")
    job.look(START)
    desk.press("b")
    for end in ("upper", "lower"):
        plumb = truth.data["plumb"][end]
        desk.click(*job.place.on_screen(plumb["x"][START], plumb["y"][START]))
    review = job.saved(lambda r: r.plumb is not None, "a plumb line")
    assert review.scale is not None
    a, b = (complex(end.x, end.y) for end in (review.scale.a, review.scale.b))
    assert abs(a - b) / 100.0 == pytest.approx(truth.data["px_per_cm"], rel=0.01)


def place_ten_points(job: Job) -> None:
    """One click for each, on one frame; then the load, which is offered next."""
    job.look(START)
    job.desk.press("k")
    for name in (*BODY_CHAIN, "load"):
        job.desk.click(*job.on_screen(name, START))
    review = job.saved(lambda r: len(r.tracked) == len(BODY_CHAIN) + 1, "eleven points")
    assert [point.name for point in review.tracked] == [*BODY_CHAIN, "load"]
    for point in review.tracked:
        (key,) = point.keys
        true = job.truth.point(point.name)[START]
        assert abs(complex(key.place.x, key.place.y) - true) <= COVERAGE_FACTOR * key.sd_px
    job.desk.press("Escape")


def correct_a_point(job: Job) -> None:
    """Move the knee a little on another frame: it is placed there too, and nowhere else."""
    job.desk.press("shift+k")
    job.go_to(CORRECTED)

    def correct() -> None:
        job.look(CORRECTED)
        job.desk.click(*job.on_screen("knee", CORRECTED))
        job.desk.press("Down", "Down")

    review = job.until_saved(correct, lambda r: len(keys_of(r, "knee")) == 2, "a corrected knee")
    assert [len(keys_of(review, name)) for name in BODY_CHAIN].count(2) == 1
    job.desk.press("Escape", "shift+k")


def confirm_moments(job: Job) -> None:
    """All at once, then move one by two frames."""
    desk, times_us = job.desk, job.truth.times_us
    review = job.until_saved(
        lambda: desk.press("ctrl+shift+Return"), lambda r: len(r.moments) == 5, "five moments"
    )
    set_us = {moment.name: moment.at_us for moment in review.moments}
    for moment in job.truth.data["moments"]:
        assert set_us[moment["name"]] == pytest.approx(moment["time_us"], abs=SLACK_US), moment
    moved_us = times_us[times_us.searchsorted(set_us["upright"]) + 2]
    desk.press("Home", *["alt+Right"] * 4, "Right", "Right", "shift+m")
    job.screen.still()
    desk.press("Down", "Down", "Down", "Return")
    job.saved(lambda r: moved_us in {moment.at_us for moment in r.moments}, "a moved moment")


def put_numbers_into_a_note(job: Job) -> None:
    """What the strip's curves say, by a key, and a descriptor, by the page's button."""
    desk = job.desk
    job.go_to(NOTED)
    desk.press("n")
    desk.type(TEXT)
    desk.press("Escape")
    review = job.until_saved(
        lambda: desk.press("shift+n"),
        lambda r: bool(r.notes and r.notes[0].numbers),
        "numbers in a note",
    )
    desk.press("ctrl+shift+m")
    job.screen.still()
    desk.press("Tab", "Tab", "space")  # past the time, to the button of the first sentence
    more = len(review.notes[0].numbers) + 1
    review = job.saved(lambda r: len(r.notes[0].numbers) == more, "a descriptor in the note")
    desk.press("Escape")
    note = review.notes[0]
    assert note.start_us == job.truth.times_us[NOTED]
    trunk, hip, peak = (
        job.truth.angle("trunk_tilt"),
        job.truth.angle("hip_flexion"),
        note.numbers[2],
    )
    for number, true in zip(note.numbers, (trunk[NOTED], hip[NOTED], trunk.max()), strict=True):
        assert abs(number.value - true) <= COVERAGE_FACTOR * number.sd, number
    assert peak.name == "peak_trunk_lean"


def let_an_angle_follow(job: Job) -> None:
    job.screen.still()
    job.look(NOTED)
    job.desk.press("t")
    for name in ("hip", "shoulder"):
        job.desk.click(*job.on_screen(name, NOTED))
    job.desk.press("ctrl+k")
    review = job.saved(lambda r: any(m.follows for m in r.notes[0].marks), "a mark that follows")
    (mark,) = review.notes[0].marks
    assert isinstance(mark, Tilt) and mark.follows == ("hip", "shoulder")
    job.desk.press("Escape", "Escape", "Escape")


def export(job: Job) -> None:
    review = job.review()
    assert review is not None
    (note,) = review.notes
    job.desk.press("ctrl+e")
    video = job.take_home / "commentary.mp4"
    until(video.exists, "the take-home", 180.0)
    captions = webvtt.read(str(job.take_home / "commentary.vtt"))
    said = " ".join(caption.text for caption in captions)
    told = (job.take_home / "transcript.txt").read_text("utf-8")
    page = (job.take_home / "index.html").read_text("utf-8")
    for number in note.numbers:
        for text in (said, told, page):
            assert spaced(shown(number)) in spaced(text), number.words
    last_s = captions[-1].end_time.in_milliseconds() / 1000.0
    see_the_angle_move(job, note, video, last_s)


def see_the_angle_move(job: Job, note: Note, video: Path, until_s: float) -> None:
    """The picture runs in the note's last second, and the white ends go with the body."""
    source = frames_of(job.clip, range(NOTED, NOTED + 25))
    small = np.array([frame[::8, ::8].astype(np.int16) for frame in source])
    seen = {}
    with av.open(str(video)) as container:
        for frame in container.decode(video=0):
            if until_s - 1.0 <= float(frame.time) < until_s:
                rgb = frame.to_ndarray(format="rgb24")
                apart = np.abs(small - rgb[::8, ::8]).mean(axis=(1, 2, 3))
                seen[NOTED + int(apart.argmin())] = rgb
    marked = [index for index, rgb in seen.items() if is_marked(job, index, rgb, source)]
    assert len(marked) >= 10, f"marked on {marked} of {sorted(seen)}"
    way = job.truth.point("shoulder")[[min(marked), max(marked)]]
    assert abs(way[1] - way[0]) > 60, "the shoulder hardly moved: nothing is proved"


def is_marked(
    job: Job, index: int, sent: NDArray[np.uint8], source: list[NDArray[np.uint8]]
) -> bool:
    """Whether white was painted on hip and shoulder."""
    for name in ("hip", "shoulder"):
        point = job.truth.point(name)[index]
        x, y = round(point.real), round(point.imag)
        box = np.s_[y - 8 : y + 9, x - 8 : x + 9]
        if sent[box].min(axis=2).max() < source[index - NOTED][box].min(axis=2).max() + 40:
            return False
    return True


def keys_of(review: Review, name: str) -> tuple[PointKey, ...]:
    return next(point.keys for point in review.tracked if point.name == name)


def spaced(text: str) -> str:
    """With plain spaces alone."""
    return " ".join(text.split())
