"""A coach's whole job in a real window, with nothing but keys and mouse.

What comes out is read from the files alone, and compared with the clip's truth, PyAV and webvtt-py.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
import pytest
import webvtt
from numpy.typing import NDArray
from support.screen import Program, Screen, screen_of, until
from support.truth import Truth, read_truth

from cliptag.errors import CliptagError
from cliptag.measure import COVERAGE_FACTOR, readings_of
from cliptag.review import Joint, Note, Region, Review, Ring, Span, load_review

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="needs X11")

FEET = "Both feet stand far in front of your knees."
KNEES = "Here your knees are wide open, and the trunk must throw you up."
HIPS = "Tip forward from the hips, and keep the back long."
FEET_FRAME, KNEE_FRAME, HIPS_FRAME, LAST_FRAME = 4, 8, 12, 18


@dataclass
class Job:
    """A copy of the demo clip, its truth, and the screen on which it is reviewed."""

    screen: Screen
    clip: Path
    truth: Truth

    @property
    def take_home(self) -> Path:
        return self.clip.parent / f"{self.clip.stem} take-home"

    def review(self) -> Review | None:
        """The review as it was saved last."""
        try:
            return load_review(self.clip.with_name(f"{self.clip.stem}.review.json"))
        except CliptagError:
            return None

    def saved(self, is_so: Callable[[Review], bool], what: str) -> Review:
        """The saved review, as soon as it has something."""

        def found() -> Review | None:
            review = self.review()
            return review if review is not None and is_so(review) else None

        return until(found, f"a saved review with {what}")

    def note(self, region: Region) -> Note | None:
        review = self.review()
        notes = review.notes if review is not None else ()
        return next((note for note in notes if note.region == region), None)

    def picture(self, index: int) -> NDArray[np.uint8]:
        return frames_of(self.clip, range(index, index + 1))[0]

    def pixel(self, name: str, index: int) -> tuple[float, float]:
        point = self.truth.point(name)[index]
        return float(point.real), float(point.imag)


def frames_of(path: Path, wanted: range) -> list[NDArray[np.uint8]]:
    """Frames as PyAV alone decodes them."""
    found = []
    with av.open(str(path)) as container:
        for index, frame in enumerate(container.decode(video=0)):
            if index in wanted:
                found.append(frame.to_ndarray(format="rgb24"))
            if index + 1 >= wanted.stop:
                break
    return found


@pytest.fixture
def job(tmp_path: Path):
    truth = read_truth("sit_to_stand_week01")
    clip = tmp_path / "clips" / "ines monday.mp4"
    clip.parent.mkdir()
    shutil.copyfile(truth.path, clip)
    with screen_of(tmp_path / "home") as screen:
        yield Job(screen, clip, truth)


def test_a_clip_becomes_a_take_home_by_keys_and_mouse_alone(job: Job):
    desk = job.screen.start(job.clip)
    try:
        desk.fill_screen(desk.wait_for_title("ines monday.mp4.*unchanged"))
        write_about_the_feet(desk, job)
        measure_the_knee(desk, job)
        undo_and_redo(desk, job)
        write_about_the_hips(desk, job)
        before = job.review()
        desk.kill()

        desk = job.screen.start()
        go_on_with_what_was_left(desk)
        assert job.review() == before, "the start after the crash changed the review"
        send_only_the_start(desk, job)
        export(desk, job)
        leave(desk, job)
    finally:
        if desk.is_running:
            print("The screen at the end:", job.screen.keep(job.clip.with_name("screen.png")))
            desk.kill()


def write_about_the_feet(desk: Program, job: Job) -> None:
    go_to_frame(desk, FEET_FRAME)
    desk.press("u")
    write(desk, FEET)
    place = until(lambda: job.screen.find(job.picture(FEET_FRAME)), "the picture on the screen")
    heel, toe = job.pixel("heel", FEET_FRAME), job.pixel("toe", FEET_FRAME)
    corners = (heel[0] - 50, heel[1] - 90), (toe[0] + 50, toe[1] + 50)
    desk.press("r")
    desk.drag(*(place.on_screen(*corner) for corner in corners))
    review = job.saved(lambda r: bool(r.notes and r.notes[0].marks), "a ring round the feet")
    (note,) = review.notes
    assert (note.region, note.text) == ("feet", FEET)
    assert note.start_us == job.truth.times_us[FEET_FRAME]
    (ring,) = note.marks
    assert isinstance(ring, Ring)
    (left, top), (right, bottom) = corners
    drawn = (ring.centre.x, ring.centre.y, ring.radius_x, ring.radius_y)
    meant = ((left + right) / 2, (top + bottom) / 2, (right - left) / 2, (bottom - top) / 2)
    assert drawn == pytest.approx(meant, abs=2.0 / place.zoom)
    desk.press("Escape", "Escape")


def measure_the_knee(desk: Program, job: Job) -> None:
    go_to_frame(desk, KNEE_FRAME)
    desk.press("u", "f", "u")  # the ankles are fine; on to the knees
    write(desk, KNEES)
    place = until(lambda: job.screen.find(job.picture(KNEE_FRAME)), "the picture on the screen")
    desk.press("j")
    for name in ("hip", "knee", "ankle"):
        desk.click(*place.on_screen(*job.pixel(name, KNEE_FRAME)))
    review = job.saved(lambda r: len(r.notes) == 2 and bool(r.notes[1].marks), "a measured knee")
    note = review.notes[1]
    assert (note.region, note.text) == ("knees", KNEES)
    assert note.start_us == job.truth.times_us[KNEE_FRAME]
    assert review.looked_at == ("ankles",)
    (mark,) = note.marks
    assert isinstance(mark, Joint) and mark.joint == "knee"
    (reading,) = readings_of(review)
    true_deg = job.truth.angle("knee_flexion")[KNEE_FRAME]
    assert abs(reading.value - true_deg) <= COVERAGE_FACTOR * reading.sd, reading.text


def undo_and_redo(desk: Program, job: Job) -> None:
    desk.press("Escape", "ctrl+z")
    undone = job.saved(lambda r: not any(note.marks for note in r.notes[1:]), "the knee undone")
    assert undone.notes[1].text == KNEES
    desk.press("ctrl+shift+z")
    job.saved(lambda r: bool(r.notes[1].marks), "the knee done again")
    desk.press("Escape", "Escape")


def write_about_the_hips(desk: Program, job: Job) -> None:
    go_to_frame(desk, HIPS_FRAME)
    desk.press("u")
    write(desk, HIPS)
    place = until(lambda: job.screen.find(job.picture(HIPS_FRAME)), "the picture on the screen")
    desk.press("2", "d")
    for name in ("hip", "shoulder"):
        desk.click(*place.on_screen(*job.pixel(name, HIPS_FRAME)))
    review = job.saved(lambda r: len(r.notes) == 3 and bool(r.notes[2].marks), "the hips' distance")
    note = review.notes[2]
    assert (note.region, note.kind, note.text) == ("hips", "good", HIPS)
    assert isinstance(note.marks[0], Span)


def go_on_with_what_was_left(desk: Program) -> None:
    desk.fill_screen(desk.wait_for_title("^cliptag$"))
    desk.click_where_key_leads("F8")
    desk.wait_for_title("ines monday.mp4.*saved")


def send_only_the_start(desk: Program, job: Job) -> None:
    go_to_frame(desk, LAST_FRAME)
    desk.press("ctrl+End")
    review = job.saved(lambda r: r.part is not None, "a part to send")
    assert review.part is not None
    assert review.part.end_us == job.truth.times_us[LAST_FRAME + 1]


def export(desk: Program, job: Job) -> None:
    desk.press("ctrl+e")
    video = job.take_home / "commentary.mp4"
    until(video.exists, "the take-home", 120.0)
    captions = webvtt.read(str(job.take_home / "commentary.vtt"))
    said = " ".join(caption.text.replace("\n", " ") for caption in captions)
    for text in (FEET, KNEES, HIPS):
        assert text in said
    with av.open(str(video)) as container:
        shown = [float(frame.time) for frame in container.decode(video=0)]
    last_s = captions[-1].start_in_seconds
    assert last_s < shown[-1], "the captions go on after the video"
    assert np.all(np.diff(shown) > 0)
    knee = next(caption for caption in captions if "knees are wide open" in caption.text)
    middle_ms = (knee.start_time.in_milliseconds() + knee.end_time.in_milliseconds()) / 2
    index = int(np.searchsorted(shown, middle_ms / 1000, "right")) - 1
    (sent,) = frames_of(video, range(index, index + 1))
    assert nearest_frame(job, sent) == KNEE_FRAME


def nearest_frame(job: Job, sent: NDArray[np.uint8]) -> int:
    """Which of the clip's first frames was sent, by the part that bears no marks or captions."""
    height, width = sent.shape[:2]
    frames = frames_of(job.clip, range(LAST_FRAME + 1))
    assert frames[0].shape == sent.shape
    part = np.s_[height // 8 : height * 5 // 8, width // 8 : width * 7 // 8]
    apart = [np.abs(frame[part].astype(int) - sent[part]).mean() for frame in frames]
    return int(np.argmin(apart))


def leave(desk: Program, job: Job) -> None:
    desk.press("ctrl+q")
    assert desk.end() == 0
    assert "Traceback" not in job.screen.terminal()


def go_to_frame(desk: Program, index: int) -> None:
    """Step there, one key press for each frame."""
    desk.press("Home", *["Right"] * index)


def write(desk: Program, text: str) -> None:
    """Start a note, write in it, and give the keyboard back to the stage."""
    desk.press("n")
    desk.type(text)
    desk.press("Escape")
