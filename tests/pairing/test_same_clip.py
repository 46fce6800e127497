"""A clip against itself, made over by ffmpeg: nothing may be called changed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from support.pairs import made_over
from support.truth import FOLDER

from cliptag.pairing import Comparison, Pairing, compare_reviews

SOURCE = FOLDER / "sit_to_stand_week01.review.json"

CASES = {
    "encoded anew": {"crf": 30, "scale": 0.5},
    "mirrored": {"mirrored": True, "scale": 0.7},
    "another frame rate": {"fps": 24.0, "scale": 0.5},
    "all at once": {"scale": 0.6, "mirrored": True, "fps": 50.0, "crf": 26},
}


@pytest.fixture(scope="module", params=CASES.values(), ids=CASES.keys())
def itself(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory):
    folder = tmp_path_factory.mktemp("same")
    other = made_over(SOURCE, folder, **request.param)
    with compare_reviews(Pairing(reviews=(str(SOURCE), str(other)))) as comparison:
        yield request.param, comparison


def test_a_clip_against_itself_shows_no_change_at_all(itself: tuple[dict, Comparison]):
    _, comparison = itself
    assert len(comparison.differences) >= 30
    changed = [f"{d.name}: {d.change:.3f} > {d.detectable:.3f}" for d in comparison.differences
               if d.verdict == "changed"]  # fmt: skip
    assert not changed, "\n".join(changed)


def test_a_clip_against_itself_is_laid_exactly_over_itself(itself: tuple[dict, Comparison]):
    made, comparison = itself
    first, second = comparison.sheet.panels
    width = comparison.sides[1].review.clip.width
    scale = made.get("scale", 1.0)
    for z in (0j, complex(540, 960), complex(900, 1800)):
        x = width - z.real * scale if made.get("mirrored") else z.real * scale
        at = second.onto_sheet(complex(x, z.imag * scale)) - complex(second.left, second.top)
        assert abs(at - first.onto_sheet(z) + complex(first.left, first.top)) < 2.0


def test_only_mirroring_is_warned_of(itself: tuple[dict, Comparison]):
    made, comparison = itself
    wanted = ["side"] if made.get("mirrored") else []
    assert [warning.aspect for warning in comparison.warnings] == wanted


def test_curves_of_a_clip_against_itself_lie_within_their_bands(itself: tuple[dict, Comparison]):
    for pair in itself[1].curves:
        gap = np.abs(pair.first.values - pair.second.values)
        band = 2 * np.hypot(pair.first.sd, pair.second.sd)
        known = np.isfinite(gap)
        assert known.any()
        # The band is one of 95 %: here and there a point may lie a little outside.
        assert (gap[known] <= band[known]).mean() >= 0.95, pair.first.name
        assert (gap[known] <= 1.5 * band[known]).all(), pair.first.name


def test_the_made_over_clip_is_another_file(itself: tuple[dict, Comparison]):
    first, second = itself[1].sides
    assert Path(first.clip.path) != Path(second.clip.path)
    assert first.clip.digest != second.clip.digest
