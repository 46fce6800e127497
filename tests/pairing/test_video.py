"""The exported video of a pairing, read back by OpenCV, and what lies beside it."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass
from pathlib import Path

import cv2
import msgspec
import numpy as np
import pytest
import webvtt
from support.media import ffmpeg

from cliptag.clip import Clip, open_clip
from cliptag.cover import CoveredClip
from cliptag.errors import ConsentError, ExportCancelled, PairingError
from cliptag.export import ExportOptions
from cliptag.opening import review_path_of, start_review
from cliptag.pairing import (
    Layout,
    Pairing,
    PairingNote,
    PairingTakeHome,
    compare_reviews,
    export_pairing,
    plan_pairing,
)
from cliptag.pairing.showing import shown_by
from cliptag.review import Consent, Moment, Review, edit, save_review

MOMENTS = {"start": (0.5, 0.8), "deepest": (1.0, 2.0), "back_up": (1.9, 2.5)}
"""When each is, in seconds, in the first and in the second clip."""


@dataclass(frozen=True)
class Shape:
    width: int
    height: int
    fps: int


SHAPES = (Shape(320, 240, 30), Shape(240, 320, 25))


def counted_clip(path: Path, shape: Shape, seconds: float = 3.0) -> Path:
    """Frame n is grey of 40 + 2 n throughout."""
    ffmpeg(
        *("-f", "lavfi", "-i"),
        f"color=c=black:s={shape.width}x{shape.height}:r={shape.fps}:d={seconds},"
        "format=yuv420p,geq=lum='40+2*N':cb=128:cr=128,"
        "setparams=range=tv:color_primaries=bt709:color_trc=bt709:colorspace=bt709",
        *("-c:v", "libx264", "-qp", "0", "-preset", "ultrafast", "-pix_fmt", "yuv420p"),
        path,
    )
    return path


def reviewed(path: Path, which: int, **fields: object) -> Path:
    with open_clip(path) as clip:
        review = start_review(clip)
    moments = tuple(
        Moment(name=name, at_us=round(at[which] * 1e6))  # type: ignore[arg-type]
        for name, at in MOMENTS.items()
    )
    facts = {"client": "Ines", "movement": "bend", "week": (1, 10)[which], "moments": moments}
    review = msgspec.structs.replace(review, **{**facts, **fields})
    msgspec.convert(msgspec.to_builtins(review), Review)
    return save_review(review, review_path_of(path))


@pytest.fixture(scope="module")
def reviews(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str]:
    folder = tmp_path_factory.mktemp("counted")
    paths = [
        reviewed(counted_clip(folder / f"week{which}.mp4", shape), which)
        for which, shape in enumerate(SHAPES)
    ]
    return str(paths[0]), str(paths[1])


NOTE = PairingNote(percent=50.0, text="Both reach the same depth here.", region="hips", kind="good")


@pytest.fixture(scope="module", params=["side", "above"])
def made(
    request: pytest.FixtureRequest,
    reviews: tuple[str, str],
    tmp_path_factory: pytest.TempPathFactory,
) -> tuple[Pairing, PairingTakeHome]:
    pairing = Pairing(reviews=reviews, layout=request.param, notes=(NOTE,))
    return pairing, export_pairing(pairing, tmp_path_factory.mktemp("out"))


def pictures_of(path: Path) -> tuple[list[float], list[np.ndarray]]:
    """Times in seconds and grey pictures, by OpenCV's reader, which is none of ours."""
    video = cv2.VideoCapture(str(path))
    times, pictures = [], []
    while True:
        is_there, picture = video.read()
        if not is_there:
            break
        times.append(video.get(cv2.CAP_PROP_POS_MSEC) / 1000)
        pictures.append(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY))
    video.release()
    return times, pictures


def frame_number(patch: np.ndarray) -> float:
    """From full-range grey back to the number that was drawn."""
    luma = float(np.median(patch)) * 219 / 255 + 16
    return (luma - 40) / 2


def test_both_panels_show_their_moment_to_one_frame(made: tuple[Pairing, PairingTakeHome]):
    pairing, home = made
    times, pictures = pictures_of(home.folder / "comparison.mp4")
    with compare_reviews(pairing) as comparison:
        plan, sheet = plan_pairing(comparison), comparison.sheet
    for name, (first_s, second_s) in MOMENTS.items():
        window = plan.timeline.window_of(f"moment-{name}")
        assert window is not None
        index = int(np.searchsorted(np.array(times), window.start_us / 1e6 - 0.002))
        assert abs(times[index] - window.start_us / 1e6) <= 1 / 30
        for panel, at_s, shape in zip(sheet.panels, (first_s, second_s), SHAPES, strict=True):
            y, x = panel.top + panel.height // 2, panel.left + panel.width // 2
            shown = frame_number(pictures[index][y - 8 : y + 8, x - 8 : x + 8])
            assert abs(shown - at_s * shape.fps) <= 1.0, (name, shown, at_s * shape.fps)


def test_each_phase_runs_evenly_from_moment_to_moment(made: tuple[Pairing, PairingTakeHome]):
    """Between two moments each clip's frame number rises in a straight line of the shown time."""
    pairing, home = made
    times, pictures = pictures_of(home.folder / "comparison.mp4")
    with compare_reviews(pairing) as comparison:
        plan, sheet, pair = plan_pairing(comparison), comparison.sheet, comparison.pair
        frames = list(plan.timeline.frames(pair.times_us))
        times_us = pair.times_us
    panel, rate = sheet.panels[1], SHAPES[1].fps
    y, x = panel.top + panel.height // 2, panel.left + panel.width // 2
    checked = 0
    for frame in frames:
        if frame.index is None:
            continue
        at_s = np.interp(times_us[frame.index] / 1e6, [0.5, 1.7, 2.6], [0.8, 2.0, 2.5])
        if not 0.5 <= times_us[frame.index] / 1e6 <= 2.6:
            continue
        index = int(np.abs(np.array(times) - frame.out_us / 1e6).argmin())
        shown = frame_number(pictures[index][y - 8 : y + 8, x - 8 : x + 8])
        # A frame stays until the next: what is on is the last that began.
        assert abs(shown - np.floor(at_s * rate + 1e-3)) < 1.0, times_us[frame.index]
        checked += 1
    assert checked > 60


def test_captions_are_sound_and_say_what_the_coach_said(made: tuple[Pairing, PairingTakeHome]):
    text = (made[1].folder / "comparison.vtt").read_text("utf-8")
    captions = webvtt.from_buffer(io.StringIO(text))
    said = " ".join(caption.text.replace("\n", " ") for caption in captions)
    assert NOTE.text in said
    assert "Week 10" in said


def test_chapters_are_named_after_the_moments(made: tuple[Pairing, PairingTakeHome]):
    text = (made[1].folder / "chapters.vtt").read_text("utf-8")
    titles = [caption.text for caption in webvtt.from_buffer(io.StringIO(text))]
    for title in ("Start", "Deepest", "Back up"):
        assert title in titles


def test_the_sheet_fits_the_screen_that_it_is_for(made: tuple[Pairing, PairingTakeHome]):
    pairing, home = made
    if pairing.layout == "above":
        assert home.width < home.height
    assert max(home.width, home.height) <= 1930


def test_transcript_has_the_caution_first_and_last(made: tuple[Pairing, PairingTakeHome]):
    lines = (made[1].folder / "transcript.txt").read_text("utf-8").strip().splitlines()
    assert "not a medical diagnosis" in lines[-1]
    assert sum("not a medical diagnosis" in line for line in lines) == 2
    assert any(NOTE.text in line for line in lines)


@pytest.mark.parametrize("layout", ["side", "above", "over"])
def test_stopping_leaves_no_file_behind(reviews: tuple[str, str], tmp_path: Path, layout: Layout):
    out = tmp_path / "out"
    out.mkdir()
    (out / "comparison.mp4").write_bytes(b"older")
    with pytest.raises(ExportCancelled):
        export_pairing(Pairing(reviews=reviews, layout=layout), out, is_cancelled=lambda: True)
    assert [path.name for path in out.iterdir()] == ["comparison.mp4"]
    assert (out / "comparison.mp4").read_bytes() == b"older"


def test_over_each_other_both_are_half_seen(reviews: tuple[str, str]):
    """Two greys make their mean, where neither caption nor mark lies."""
    with compare_reviews(Pairing(reviews=reviews, layout="over")) as comparison:
        pair = comparison.pair
        index = len(pair) // 2
        planes = next(iter(pair.planes(index, index + 1)))
        wanted = [40 + 2 * n for n in pair.indices(index)]
        height, width = planes.y.shape
        middle = planes.y[height // 2, width // 2]
    assert abs(float(middle) - np.mean(wanted)) <= 1


def test_the_pair_is_a_clip_whose_frames_go_in_any_order(reviews: tuple[str, str]):
    with compare_reviews(Pairing(reviews=reviews)) as comparison:
        pair = comparison.pair
        for index in (40, 3, 60):
            straight = next(iter(pair.planes(index, index + 1)))
            among = list(pair.planes(index - 3, index + 1))[-1]
            np.testing.assert_array_equal(straight.y, among.y)
        assert pair.frame(5).rgb.shape == (pair.info.height, pair.info.width, 3)
        assert len({c.digest for c in (pair, pair)}) == 1


def test_reviews_of_two_clients_are_never_set_side_by_side(
    reviews: tuple[str, str], tmp_path: Path
):
    other = counted_clip(tmp_path / "otto.mp4", Shape(64, 64, 10), 3.0)
    path = reviewed(other, 1, client="Otto")
    with pytest.raises(PairingError, match=r"different clients \(Ines and Otto\)"):
        compare_reviews(Pairing(reviews=(reviews[0], str(path))))


def test_two_clients_are_told_apart_also_where_names_are_left_out(
    reviews: tuple[str, str], tmp_path: Path
):
    def nameless(_: Path, review: Review, clip: Clip) -> tuple[Review, Clip]:
        return edit.with_fields(review, client=""), clip

    other = counted_clip(tmp_path / "otto.mp4", Shape(64, 64, 10), 3.0)
    path = reviewed(other, 1, client="Otto")
    with pytest.raises(PairingError, match="different clients"):
        compare_reviews(Pairing(reviews=(reviews[0], str(path))), showing=nameless)


def test_different_movements_are_refused(reviews: tuple[str, str], tmp_path: Path):
    other = counted_clip(tmp_path / "lift.mp4", Shape(64, 64, 10), 3.0)
    path = reviewed(other, 1, movement="lift", moments=())
    with pytest.raises(PairingError, match="different movements"):
        compare_reviews(Pairing(reviews=(reviews[0], str(path))))


def test_nothing_leaves_without_consent_in_force(reviews: tuple[str, str], tmp_path: Path):
    """A consent that has ended is none; the folder stays as it was."""
    given = Consent(
        given_on=dt.date(2020, 1, 1), covers=("private_feedback",), reference="a letter",
        until=dt.date(2020, 2, 1),
    )  # fmt: skip
    path = reviewed(counted_clip(tmp_path / "a.mp4", Shape(64, 64, 10), 3.0), 1, consent=given)
    out = tmp_path / "out"
    with pytest.raises(ConsentError, match="consent"):
        export_pairing(Pairing(reviews=(reviews[0], str(path))), out)
    assert not out.exists()


def test_what_nobody_may_see_is_covered_in_a_pairing_too(reviews: tuple[str, str]):
    """All that the export of one review covers or mutes is so here: it is the same code."""
    by = shown_by(ExportOptions(mute=True))
    with compare_reviews(Pairing(reviews=reviews), showing=by) as comparison:
        assert all(isinstance(side.clip, CoveredClip) for side in comparison.sides)
        assert next(iter(comparison.pair.planes(0, 1))).y.shape[0] == comparison.sheet.height
