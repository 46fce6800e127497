"""The watch page in Chromium: as a file and from a server, in every light and size."""

from __future__ import annotations

from pathlib import Path

import pytest
import webvtt
from support.driving import Answer, Visit, drive, served
from support.reviews import every_mark, note
from support.take_homes import made_take_home, saved_review

from cliptag.clip import open_clip
from cliptag.export import ExportOptions, TakeHome, plan_export
from cliptag.export.handout import write_handouts
from cliptag.review import Arrow, Joint, Note, Ring

TEXT = "Let the knees come forward over the toes before the seat lets go of the stool."
LOOKS = {
    "phone": (360, 740, "light"),
    "phone in the dark": (360, 740, "dark"),
    "desktop": (1280, 900, "light"),
    "desktop in the dark": (1280, 900, "dark"),
    # WCAG 2.2, 1.4.10: 1280 x 1024 at 400 % is a window of 320 x 256 CSS pixels.
    "at 400 %": (320, 256, "light"),
}
PLAYABLE = """(async () => {
  const video = document.querySelector("video");
  if (video.readyState < 2) await new Promise((done) => {
    video.addEventListener("loadeddata", done, { once: true });
    video.addEventListener("error", done, { once: true });
    video.preload = "auto";
    video.load();
    setTimeout(done, 20000);
  });
  return { error: video.error && video.error.message, length: video.duration };
})()"""
FOLLOWS = """(async () => {
  const parts = [...document.querySelectorAll(".parts a")];
  const video = document.querySelector("video");
  const seen = [];
  for (const part of parts) {
    part.click();
    await new Promise((done) => video.addEventListener("seeked", done, { once: true }));
    video.pause();
    await new Promise((done) => setTimeout(done, 400));
    const cue = document.querySelector(".cue[aria-current]");
    seen.push({
      at: video.currentTime,
      current: parts.flatMap((one, place) => one.ariaCurrent === "true" ? [place] : []),
      cue: cue && [cue.dataset.at, cue.dataset.end, cue.textContent],
    });
  }
  return seen;
})()"""
TICK = """(() => {
  const tick = document.querySelector("input[data-task]");
  const days = document.querySelector(".days");
  const before = days.textContent;
  tick.click();
  return [before, days.textContent, document.querySelector(".forgets").hidden];
})()"""
IS_TICKED = "[...document.querySelectorAll('input[data-task]')].map((one) => one.checked)"
NO_STORAGE = """Object.defineProperty(window, "localStorage", {
  get() { throw new DOMException("no", "SecurityError"); } });"""
BROKEN_STORAGE = """Storage.prototype.getItem = () => "[not json";
Storage.prototype.setItem = () => {
  throw new DOMException("full", "QuotaExceededError"); };"""


CAPTIONS = """(async () => {
  const track = document.querySelector("video").textTracks[0];
  const button = document.querySelector("button.captions");
  const states = () => [track.kind, track.mode, button && button.getAttribute("aria-pressed")];
  const before = states();
  if (button) button.click();
  await new Promise((done) => setTimeout(done, 200));
  const cues = [...track.cues].map((cue) => [cue.startTime, cue.endTime, cue.text, cue.line]);
  return { before, after: states(), cues, language: track.language };
})()"""
HOSTILE = "</p></script><script>alert(1)</script><img src=x onerror=alert(2)> \" onfocus=alert(3) '"
HARM = "[document.scripts.length, document.images.length, document.querySelector('h1').textContent]"
KEYS = (
    "press Tab",
    "document.activeElement.className",
    "press Enter",
    "document.activeElement.id",
    "document.querySelectorAll('.parts a')[2].focus()",
    "press Enter",
    """new Promise((done) => setTimeout(() => done(
      document.querySelector('video').currentTime), 600))""",
    "document.querySelector('input[data-task]').focus()",
    "press Space",
    "document.querySelector('input[data-task]').checked",
)
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


def _notes() -> list[Note]:
    marks = tuple(mark for mark in every_mark() if isinstance(mark, Joint | Ring | Arrow))
    return [
        note(1, start_us=0, end_us=300_000, region="feet", kind="care", text=TEXT),
        note(2, start_us=400_000, end_us=600_000, text=TEXT, marks=marks),
        note(3, start_us=700_000, end_us=800_000, kind="exercise", text=TEXT, repetitions="2 × 8"),
        note(4, start_us=900_000, end_us=950_000, kind="exercise", region="neck", text="Nod."),
    ]


@pytest.fixture(scope="module")
def burned(tmp_path_factory: pytest.TempPathFactory) -> TakeHome:
    folder = tmp_path_factory.mktemp("burned")
    return made_take_home(folder, notes=tuple(_notes()), impression="You get up & away <well>.")


@pytest.fixture(scope="module")
def clean(tmp_path_factory: pytest.TempPathFactory) -> TakeHome:
    options = ExportOptions(clean=True, language="he")
    return made_take_home(tmp_path_factory.mktemp("clean"), options, notes=tuple(_notes()))


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page, without its video, of a review that tries to break out of every field."""
    folder = tmp_path_factory.mktemp("hostile")
    notes = tuple(
        note(n, start_us=0, end_us=300_000, kind=kind, text=HOSTILE, repetitions=HOSTILE)
        for n, kind in enumerate(("care", "exercise"))
    )
    texts = dict.fromkeys(("client", "coach", "impression", "caution"), HOSTILE)
    review, path = saved_review(folder, notes=notes, **texts)
    with open_clip(path.parent / "clip.mp4") as clip:
        plan = plan_export(review, clip)
        write_handouts(folder, review, clip, plan, "none.mp4", "none.txt")
    return folder / "index.html"


@pytest.fixture(scope="module")
def answers(burned: TakeHome, clean: TakeHome, hostile: Path) -> dict[str, Answer]:
    """All visits to the pages, in one start of the browser."""
    file = (burned.folder / "index.html").as_uri()
    other = (clean.folder / "index.html").as_uri()
    with served(burned.folder) as address:
        visits = {
            "file": Visit(file, (PLAYABLE, FOLLOWS)),
            "server": Visit(f"{address}index.html", (PLAYABLE, FOLLOWS, TICK, "reload", IS_TICKED)),
            "ticks": Visit(file, (TICK, "reload", IS_TICKED)),
            "no storage": Visit(file, (TICK, IS_TICKED), before=NO_STORAGE),
            "broken storage": Visit(file, (TICK, IS_TICKED), before=BROKEN_STORAGE),
            "no scripts": Visit(file, (), scripts=False),
            "keys": Visit(file, KEYS),
            "hostile": Visit(hostile.as_uri(), (HARM,)),
            "burned captions": Visit(file, (CAPTIONS,)),
            "clean captions": Visit(other, (PLAYABLE, CAPTIONS)),
        }
        for look, (width, height, scheme) in LOOKS.items():
            for name, url in (("burned", file), ("clean", other)):
                steps = ("axe", SIDEWAYS)
                visits[f"{name}, {look}"] = Visit(url, steps, width, height, scheme)
        return dict(zip(visits, drive(list(visits.values())), strict=True))


@pytest.mark.parametrize("how", ["file", "server"])
def test_the_page_plays_the_video_beside_it_and_asks_for_nothing_else(
    answers: dict[str, Answer], burned: TakeHome, how: str
):
    answer = answers[how]
    assert answer.results[0]["error"] is None
    assert answer.results[0]["length"] == pytest.approx(burned.duration_us / 1e6, abs=0.1)
    asked = {url.rpartition("/")[2] for url in answer.asked if not url.startswith("data:")}
    assert asked <= {"index.html", "commentary.mp4", "favicon.ico"}
    assert [words for words in answer.said if "favicon" not in words and "404" not in words] == []


@pytest.mark.parametrize("how", ["file", "server"])
def test_a_chapter_is_followed_and_marked_and_so_is_what_is_said(
    answers: dict[str, Answer], burned: TakeHome, how: str
):
    chapters = webvtt.read(str(burned.folder / "chapters.vtt"))
    cues = webvtt.read(str(burned.folder / "commentary.vtt"))
    seen = answers[how].results[1]
    assert len(seen) == len(chapters) > 3
    for number, (chapter, found) in enumerate(zip(chapters, seen, strict=True)):
        start_s = chapter.start_time.in_milliseconds() / 1000
        assert found["at"] == pytest.approx(start_s, abs=0.5)  # it plays on for a moment
        assert found["current"] == [number]
        said = [
            cue
            for cue in cues
            if cue.start_time.in_milliseconds()
            <= 1000 * found["at"]
            < cue.end_time.in_milliseconds()
        ]
        if said:
            assert found["cue"][2] == " ".join(said[0].text.split())
        else:
            assert found["cue"] is None


@pytest.mark.parametrize("how", ["server", "ticks"])
def test_a_ticked_exercise_is_remembered(answers: dict[str, Answer], how: str):
    (before, after, is_hidden), ticked = answers[how].results[-2:]
    assert (before[-1:], after[-1:], is_hidden) == ("0", "1", True)
    assert ticked == [True, False]


@pytest.mark.parametrize("how", ["no storage", "broken storage"])
def test_a_browser_that_forgets_is_told_of_and_ticks_still_work(
    answers: dict[str, Answer], how: str
):
    (_, after, is_hidden), ticked = answers[how].results
    assert (after[-1:], is_hidden, ticked) == ("1", False, [True, False])
    assert answers[how].said == []


def test_burned_captions_are_not_shown_twice(answers: dict[str, Answer]):
    found = answers["burned captions"].results[0]
    assert found["before"] == found["after"] == ["metadata", "hidden", None]


def test_captions_of_a_clean_video_come_and_go_at_the_files_times(
    answers: dict[str, Answer], clean: TakeHome
):
    played, found = answers["clean captions"].results
    assert played["error"] is None
    assert found["before"] == ["captions", "showing", "true"]
    assert found["after"] == ["captions", "hidden", "false"]
    assert found["language"] == "he"
    file = webvtt.read(str(clean.folder / "commentary.vtt"))
    times = [
        [cue.start_time.in_milliseconds() / 1000, cue.end_time.in_milliseconds() / 1000]
        for cue in file
    ]
    assert [cue[:2] for cue in found["cues"]] == times
    assert [" ".join(cue.text.split()) for cue in file] == [cue[2] for cue in found["cues"]]


def test_everything_can_be_reached_by_keys(answers: dict[str, Answer], burned: TakeHome):
    skip, went, _, at_s, _, is_ticked = answers["keys"].results
    chapter = webvtt.read(str(burned.folder / "chapters.vtt"))[2]
    assert (skip, went, is_ticked) == ("skip", "exercises", True)
    assert at_s == pytest.approx(chapter.start_time.in_milliseconds() / 1000, abs=1.0)


def test_hostile_text_stays_text(answers: dict[str, Answer]):
    scripts, images, heading = answers["hostile"].results[0]
    assert (scripts, images) == (1, 0)
    assert "<script>alert(1)</script>" in heading
    said = " ".join(answers["hostile"].said)
    assert "dialog" not in said and "Content Security Policy" not in said


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("which", ["burned", "clean"])
def test_axe_finds_nothing_and_nothing_sticks_out(
    answers: dict[str, Answer], which: str, look: str
):
    violations, sideways = answers[f"{which}, {look}"].results
    assert violations == []
    assert sideways == 0
