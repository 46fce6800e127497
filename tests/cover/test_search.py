"""Heads are found on real people and followed; what is covered holds every face that was seen."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from support.exporting import review_of
from support.media import real_clip, write_frames
from support.people import FACES, Person, moved, person, shifts, write_person

from cliptag.clip import Clip, open_clip
from cliptag.cover import Cover, SearchStore
from cliptag.cover.areas import mask_of
from cliptag.cover.faces import FaceFinder
from cliptag.cover.search import samples_of, search_heads
from cliptag.errors import CoverCancelled


def covered_share(cover: Cover, index: int, face: tuple[float, float, float, float]) -> float:
    """How much of the face's box is covered on a frame."""
    x, y, half_x, half_y = face
    box = round(x - half_x), round(y - half_y), round(x + half_x), round(y + half_y)
    return float(mask_of(cover.at(index), box).mean())


def cover_of(clip: Clip) -> Cover:
    return Cover(review_of(clip), clip.times_us, search_heads(clip))


@pytest.mark.parametrize("who", ["astronaut", "cameraman"])
def test_a_moving_face_is_covered_on_every_frame_from_the_front_and_from_the_side(
    tmp_path: Path, who: Person
):
    with open_clip(write_person(tmp_path / "clip.mp4", who)) as clip:
        cover = cover_of(clip)
        assert cover.doubts == ()
        x, y, half_x, half_y = FACES[who]
        for index, (dx, dy) in enumerate(shifts(len(clip))):
            assert covered_share(cover, index, (x + dx, y + dy, half_x, half_y)) > 0.999, index


def test_every_face_that_is_found_in_any_frame_of_a_real_clip_lies_under_the_cover():
    finder = FaceFinder()
    with open_clip(real_clip("carphone")) as clip:
        cover = cover_of(clip)
        for index in range(0, len(clip), 7):
            for face in finder.find(clip.frame(index).rgb, 0.5):
                box = (
                    face.left + face.width / 2,
                    face.top + face.height / 2,
                    face.width / 2,
                    face.height / 2,
                )
                assert covered_share(cover, index, box) > 0.999, index


def test_while_a_face_is_hidden_more_is_covered_and_the_coach_is_asked(tmp_path: Path):
    face = person("astronaut")
    hidden = face.copy()
    hidden[:260, 100:350] = 90  # a board before the head, for a second
    frames = [
        moved(hidden if 30 <= index < 60 else face, by) for index, by in enumerate(shifts(90))
    ]
    with open_clip(write_frames(tmp_path / "clip.mp4", frames, 30)) as clip:
        cover = cover_of(clip)
        assert [doubt.why for doubt in cover.doubts] == ["lost"]
        assert 30 < cover.doubts[0].first < cover.doubts[0].last < 60
        x, y, half_x, half_y = FACES["astronaut"]
        for index in (0, 29, 33, 57, 60, 89):
            dx, dy = shifts(90)[index]
            assert covered_share(cover, index, (x + dx, y + dy, half_x, half_y)) > 0.999, index
        area = [float(mask_of(cover.at(i), (0, 0, 512, 512)).sum()) for i in (10, 45)]
        assert area[1] > area[0]


def test_where_nobody_is_found_every_frame_is_in_doubt(tmp_path: Path):
    rng = np.random.default_rng(3)
    frames = [rng.integers(0, 255, (96, 128, 3), np.uint8) for _ in range(20)]
    with open_clip(write_frames(tmp_path / "clip.mp4", frames, 20)) as clip:
        doubts = cover_of(clip).doubts
        assert [(d.first, d.last, d.why) for d in doubts] == [(0, 19, "nobody")]


@pytest.mark.parametrize("degrees", [0, 45, 90, 180])
def test_a_face_is_found_however_the_client_bends(degrees: int):
    picture = person("astronaut")
    turned = np.asarray(Image.fromarray(picture).rotate(degrees, fillcolor=(120, 120, 120)))
    best = FaceFinder().find(turned, 0.25)[0]
    x, y, _, _ = FACES["astronaut"]
    turn = np.radians(degrees)
    from_middle = complex(x - 256, y - 256) * complex(np.cos(turn), -np.sin(turn))
    assert best.left < 256 + from_middle.real < best.left + best.width
    assert best.top < 256 + from_middle.imag < best.top + best.height


def test_the_first_and_the_last_frame_are_looked_at_and_no_gap_is_long(tmp_path: Path):
    with open_clip(real_clip("bikes")) as clip:
        samples = samples_of(clip)
        times = clip.times_us[samples]
        assert samples[0] == 0 and samples[-1] == len(clip) - 1
        assert np.diff(times).max() <= 125_000


def test_a_search_is_kept_and_a_damaged_one_is_made_again(tmp_path: Path):
    store = SearchStore(tmp_path / "kept")
    with open_clip(write_person(tmp_path / "clip.mp4", "astronaut", count=5)) as clip:
        search = search_heads(clip)
        store.keep(clip, search)
        assert store.load(clip) == search
        next((tmp_path / "kept").iterdir()).write_bytes(b"{")
        assert store.load(clip) is None


def test_a_search_stops_when_it_is_told_to(tmp_path: Path):
    path = write_person(tmp_path / "clip.mp4", "astronaut", count=5)
    with open_clip(path) as clip, pytest.raises(CoverCancelled):
        search_heads(clip, is_cancelled=lambda: True)
