"""Both pages in Chromium: no violation of axe-core's rules, nothing cut off, nothing said."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from support.driving import Visit, drive
from support.pairs import demo_pairing

from cliptag.export import ExportOptions
from cliptag.pairing import compare_reviews, trend_of
from cliptag.pairing.export import plan_pairing, telling_pictures
from cliptag.pairing.page import page_of
from cliptag.pairing.summary import summary_of
from cliptag.pairing.trend_page import trend_page

SIZES = {
    "phone": {"width": 360, "height": 740},
    "desktop": {"width": 1280, "height": 900},
    "desktop at 400 %": {"width": 320, "height": 256},
}
"""WCAG 2.2, 1.4.10: 1280 x 1024 at 400 % is a window of 320 x 256 CSS pixels."""
FITS = "document.documentElement.scrollWidth <= document.documentElement.clientWidth"


@pytest.fixture(scope="module", params=["en", "he"])
def pages(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    folder = tmp_path_factory.mktemp("pages")
    pairing = msgspec.structs.replace(demo_pairing("bend"), goals={"peak_trunk_lean": "less"})
    options = ExportOptions(language=request.param)
    with compare_reviews(pairing, options=options) as comparison:
        summary = summary_of(comparison, telling_pictures(comparison, plan_pairing(comparison)))
        texts = {
            "summary.html": page_of(summary),
            "trend.html": trend_page(trend_of(pairing, comparison)),
        }
    for name, text in texts.items():
        Path(folder / name).write_text(text, "utf-8")
    return [(folder / name).as_uri() for name in texts]


def test_axe_finds_no_violation_and_nothing_is_cut_off(pages: list[str]):
    visits = [
        Visit(url, ("axe", FITS), scheme=scheme, **size)
        for url in pages
        for scheme in ("light", "dark")
        for size in SIZES.values()
    ]
    for visit, answer in zip(visits, drive(visits), strict=True):
        violations, fits = answer.results
        assert violations == [], (visit.url, visit.scheme, visit.width)
        assert fits, (visit.url, visit.width)
        assert answer.said == []
