"""The five kinds can be told apart by word, by shape alone, and by colour for any eyes."""

from __future__ import annotations

import itertools
from typing import get_args

import numpy as np
import pytest
from colorspacious import cspace_convert
from paint.canvas import painted
from PyQt6.QtCore import QRectF

from cliptag.paint import KIND_COLOURS, KIND_SHAPES, kind_colour, paint_kind
from cliptag.review import KIND_WORDS, Kind

KINDS = get_args(Kind)
PAIRS = list(itertools.combinations(KINDS, 2))


def silhouette(kind: Kind, side: int) -> np.ndarray:
    """How much of each pixel the shape covers, 0 to 1."""
    pixels = painted(side, side, lambda p: _smooth(p, kind, side))
    return pixels[..., 3] / 255.0


def _smooth(painter, kind, side):
    painter.setRenderHint(painter.RenderHint.Antialiasing)
    paint_kind(painter, kind, QRectF(0, 0, side, side))


def test_every_kind_has_a_word_a_shape_and_a_colour_of_its_own():
    for table in (KIND_WORDS, KIND_SHAPES, KIND_COLOURS):
        assert set(table) == set(KINDS)
        assert len(set(table.values())) == len(KINDS)


def test_the_colours_are_of_okabe_and_itos_palette():
    """Okabe & Ito, Color Universal Design (2008); Wong, Nature Methods 2011;8:441."""
    rgb = {
        "seen": (86, 180, 233),
        "good": (0, 158, 115),
        "try": (230, 159, 0),
        "exercise": (204, 121, 167),
        "care": (213, 94, 0),
    }
    assert {kind: kind_colour(kind).getRgb()[:3] for kind in KINDS} == rgb


@pytest.mark.parametrize("side", [13, 24, 60])
@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_kinds_differ_by_shape_alone_even_when_small(first, second, side):
    """13 px is the shape beside a caption on a picture 360 px wide."""
    a, b = silhouette(first, side), silhouette(second, side)
    differing = np.abs(a - b).sum() / max(a.sum(), b.sum())
    assert differing > 0.14, differing


@pytest.mark.parametrize("kind", KINDS)
def test_shapes_fill_their_box_about_equally(kind):
    cover = silhouette(kind, 60)
    assert 0.35 < cover.mean() < 0.65
    assert cover[[0, -1], :].max() < 0.1 and cover[:, [0, -1]].max() < 0.1


@pytest.mark.parametrize("blindness", ["deuteranomaly", "protanomaly", "tritanomaly"])
@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_kinds_differ_by_colour_for_colour_blind_eyes(first, second, blindness):
    """Machado, Oliveira & Fernandes 2009 at full severity; distance in CAM02-UCS (colorspacious).

    In that space 1 is about a just noticeable difference.
    """
    space = {"name": "sRGB1+CVD", "cvd_type": blindness, "severity": 100}
    seen = [
        cspace_convert(
            np.clip(cspace_convert(np.array(kind_colour(k).getRgbF()[:3]), space, "sRGB1"), 0, 1),
            "sRGB1",
            "CAM02-UCS",
        )
        for k in (first, second)
    ]
    assert np.linalg.norm(seen[0] - seen[1]) > 7.0
