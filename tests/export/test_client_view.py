"""What the client will see is what the exported file shows, at every time, in any order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import msgspec
import numpy as np
import pytest
from support.exporting import psnr_db, sound, tick_times
from support.media import X264, decoded_rgb, make_clip

from cliptag.clip import Clip, open_clip
from cliptag.errors import ClipError, ExportError
from cliptag.export import (
    Card,
    ClientView,
    ExportOptions,
    Hold,
    Play,
    export_take_home,
)
from cliptag.opening import review_path_of, start_review
from cliptag.review import Arrow, Joint, Note, Part, Point, Review, save_review

SIZE = (256, 192)
RATE = 48_000


def ringing(review: Review) -> Review:
    """Notes of several kinds: held, with a number, in slow motion, and an exercise."""
    arrow = Arrow(id="a1", tail=Point(30, 40), head=Point(90, 80))
    joint = Joint(
        id="j1",
        joint="knee",
        proximal=Point(60, 40),
        vertex=Point(120, 90),
        distal=Point(110, 160),
    )
    usual = {"region": "knees", "kind": "seen"}
    notes = (
        Note(id="n1", start_us=400_000, end_us=900_000, text="Keep it.", marks=(arrow,), **usual),
        Note(id="n2", start_us=1_000_000, end_us=1_300_000, text="Bent.", marks=(joint,), **usual),
        Note(id="n3", start_us=1_500_000, end_us=1_800_000, slow_by=3, **usual),
        Note(
            id="n4",
            region="hips",
            kind="exercise",
            start_us=2_200_000,
            end_us=2_300_000,
            text="Sit down slowly.",
            repetitions="3 x 8",
        ),
    )
    return msgspec.structs.replace(review, notes=notes, client="Ines")


def is_same(a: np.ndarray, b: np.ndarray) -> bool:
    """AAC decoded after a seek rounds a little differently for its first few packets."""
    return a.shape == b.shape and bool((np.abs(a.astype(int) - b) <= 16).all())


@dataclass
class Made:
    clip: Clip
    review: Review
    video: Path


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> Iterator[Made]:
    folder = tmp_path_factory.mktemp("client-view")
    coding = (*X264, "-g", "30", "-bf", "2", "-colorspace", "bt709", "-color_range", "tv")
    path = make_clip(folder / "ines.mp4", *coding, size=SIZE, seconds=3, sound=True)
    with open_clip(path) as clip:
        review = ringing(start_review(clip))
        review_path = save_review(review, review_path_of(path))
        export_take_home(review_path, folder / "out")
        yield Made(clip, review, folder / "out" / "commentary.mp4")


@pytest.fixture
def view(made: Made) -> Iterator[ClientView]:
    view = ClientView(made.clip, made.review)
    yield view
    view.close()


def test_every_picture_is_the_exported_one_within_the_encoders_noise(made, view):
    exported = decoded_rgb(made.video, *SIZE)
    assert len(exported) == len(view)
    worst = [psnr_db(view.picture(index), exported[index]) for index in range(len(view))]
    assert min(worst) > 33, (int(np.argmin(worst)), min(worst))
    spans = {type(frame.span) for frame in view._frames}
    assert spans == {Card, Hold, Play}


def test_the_comparison_tells_a_caption_from_none(made, view):
    holds = [
        index
        for index, frame in enumerate(view._frames)
        if isinstance(frame.span, Hold) and frame.span.note_id == "n1"
    ]
    bare = ClientView(made.clip, msgspec.structs.replace(made.review, notes=()))
    shown = view.picture(holds[0])
    same_frame = next(
        index
        for index, frame in enumerate(bare._frames)
        if frame.index == view._frames[holds[0]].index
    )
    assert psnr_db(shown, bare.picture(same_frame)) < 25
    bare.close()


def test_pictures_come_at_the_exported_files_own_times(made, view):
    ticks = [round(time_us * 90_000 / 1e6) for time_us in view.times_us.tolist()]
    assert np.abs(np.subtract(tick_times(made.video), ticks)).max() <= 1
    assert not view.times_us.flags.writeable
    assert view.duration_us > view.times_us[-1]


def test_the_order_in_which_pictures_are_asked_for_does_not_matter(made, view):
    in_order = [view.picture(index).copy() for index in range(len(view))]
    other = ClientView(made.clip, made.review)
    for index in np.random.default_rng(5).permutation(len(view))[:60].tolist():
        assert np.array_equal(other.picture(index), in_order[index]), index
    other.close()


def test_a_picture_that_stands_still_is_made_once(view):
    still = [i for i, frame in enumerate(view._frames) if isinstance(frame.span, Card)][:5]
    first = view.picture(still[0])
    assert all(view.picture(index) is first for index in still)
    assert not first.flags.writeable


def test_the_sound_is_the_exported_one(made, view):
    track = view.sound()
    ours = track.read(0, view.duration_us)[:, 0].astype(float)
    track.close()
    rate, samples = sound(made.video)
    assert rate == RATE
    theirs = samples[:, 0] * 32768
    length = min(len(ours), len(theirs))
    assert abs(len(ours) - len(theirs)) < 2048
    loud = np.abs(ours[:length]) > 1000
    assert 0.05 < loud.mean() < 0.5  # it plays in parts only
    error = ours[:length] - theirs[:length]
    assert np.sqrt(np.mean(error**2)) < 0.1 * np.sqrt(np.mean(ours**2))


def test_the_sound_is_the_same_from_wherever_one_begins(made, view):
    track, other = view.sound(), view.sound()
    whole = track.read(0, view.duration_us)
    dice = np.random.default_rng(6)
    for start_us in dice.integers(0, view.duration_us, 25).tolist():
        for stop_us in (start_us + 40_000, start_us + 250_000):
            first, stop = ((t * RATE + 500_000) // 1_000_000 for t in (start_us, stop_us))
            wanted = whole[first:stop]
            found = other.read(start_us, stop_us)
            assert len(found) == stop - first
            assert is_same(found[: len(wanted)], wanted)
            assert not found[len(wanted) :].any()
    track.close()
    other.close()


def test_reading_sound_piece_by_piece_leaves_nothing_out(made, view):
    track, other = view.sound(), view.sound()
    whole = track.read(0, view.duration_us)
    edges = [0, 19_999, 3_600_000, 5_533_333, 9_950_001, view.duration_us]
    pieces = [other.read(start_us, stop_us) for start_us, stop_us in pairwise(edges)]
    assert np.array_equal(np.concatenate(pieces), whole)
    track.close()
    other.close()


def test_there_is_silence_before_the_start_and_after_the_end(view):
    track = view.sound()
    assert track.read(-30_000, -10_000).shape == (960, 2)
    assert not track.read(-30_000, -10_000).any()
    assert track.read(-10_000, 10_000).shape == (960, 2)
    late = track.read(view.duration_us + 1_000_000, view.duration_us + 1_500_000)
    assert late.shape == (24_000, 2) and not late.any()
    track.close()


def test_larger_captions_are_seen(made, view):
    hold = next(i for i, f in enumerate(view._frames) if isinstance(f.span, Hold))
    large = ClientView(made.clip, made.review, ExportOptions(caption_scale=1.4))
    other = next(i for i, f in enumerate(large._frames) if isinstance(f.span, Hold))
    assert psnr_db(view.picture(hold), large.picture(other)) < 30
    large.close()


def test_a_part_outside_the_clip_is_refused(made):
    beyond = msgspec.structs.replace(made.review, part=Part(start_us=9_000_000, end_us=9_500_000))
    with pytest.raises(ExportError, match="earlier part"):
        ClientView(made.clip, beyond)


def test_a_closed_clips_file_that_went_away_is_a_sentence(made, tmp_path):
    path = tmp_path / "gone.mp4"
    path.write_bytes(made.clip.path.read_bytes())
    with open_clip(path) as clip:
        view = ClientView(clip, made.review)
        path.unlink()
        hold = next(i for i, f in enumerate(view._frames) if isinstance(f.span, Hold))
        with pytest.raises(ClipError, match="gone"):
            view.picture(hold)
