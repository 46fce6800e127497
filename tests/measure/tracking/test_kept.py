from __future__ import annotations

import numpy as np
import pytest
from support.films import DrawnFilm, MovingCloth

from cliptag.measure.tracking import Placement, Settings, TrackStore, track

KEYS = {"knee": [Placement(0, 320.0, 240.0, 1.0)], "füße": [Placement(2, 300.0, 250.0, 1.0)]}


@pytest.fixture
def film():
    return DrawnFilm(5, MovingCloth(lambda i: (320 + 2.0 * i, 240.0)))


def test_what_was_followed_once_is_not_decoded_again(tmp_path, film):
    store = TrackStore(tmp_path / "new folder")
    first = track(film, KEYS, store=store)
    film.decoded.clear()
    again = track(film, KEYS, store=store)
    assert not film.decoded
    for column in ("points", "sd_px", "states", "likeness"):
        for name in KEYS:
            assert np.array_equal(getattr(first, column)[name], getattr(again, column)[name], True)
    assert again.keys == first.keys


def test_another_placement_clip_or_setting_is_followed(tmp_path, film):
    store = TrackStore(tmp_path)
    track(film, KEYS, store=store)
    film.decoded.clear()
    track(film, KEYS | {"knee": [Placement(0, 320.5, 240.0, 1.0)]}, store=store)
    assert film.decoded
    film.decoded.clear()
    track(film, KEYS, store=store, settings=Settings(keep_likeness=0.9))
    assert film.decoded
    film.decoded.clear()
    film.digest = "another"
    track(film, KEYS, store=store)
    assert film.decoded


@pytest.mark.parametrize("harm", [lambda b: b[: len(b) // 2], lambda b: b"", lambda b: b[::-1]])
def test_a_damaged_file_counts_as_absent_and_is_replaced(tmp_path, film, harm):
    store = TrackStore(tmp_path)
    first = track(film, KEYS, store=store)
    (path,) = tmp_path.iterdir()
    path.write_bytes(harm(path.read_bytes()))
    again = track(film, KEYS, store=store)
    assert np.array_equal(first.points["knee"], again.points["knee"])
    film.decoded.clear()
    track(film, KEYS, store=store)
    assert not film.decoded


def test_a_folder_that_cannot_be_written_does_no_harm(tmp_path, film):
    blocked = tmp_path / "file"
    blocked.write_text("in the way")
    assert track(film, KEYS, store=TrackStore(blocked)).points["knee"].shape == (5, 2)
