"""Take the picture of a comparison: python docs/take_pairing_pictures.py

Compares the demo's weeks 1 and 10, and sets a frame of the video beside the page. Needs Chromium
and Node.js.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from PIL import Image

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "tests")]

from support.driving import Visit, drive  # noqa: E402
from take_page_pictures import few_colours, joined  # noqa: E402

from cliptag.clip import open_clip  # noqa: E402
from cliptag.demo import demo_folder  # noqa: E402
from cliptag.pairing import Pairing, export_pairing  # noqa: E402

AT_US = 12_000_000
HEIGHT = 620


def main() -> None:
    reviews = tuple(
        str(demo_folder() / f"sit_to_stand_week{week}.review.json") for week in ("01", "10")
    )
    pairing = Pairing(reviews=reviews, goals={"peak_trunk_lean": "less"})
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        export_pairing(pairing, folder)
        with open_clip(folder / "comparison.mp4") as clip:
            frame = Image.fromarray(clip.frame(clip.index_at(AT_US)).rgb)
        shot = folder / "page.png"
        page = (folder / "summary.html").as_uri()
        drive([Visit(page, (f"picture {shot}",), 980, 1200)])
        pictures = [high(frame), high(Image.open(shot).convert("RGB"))]
        few_colours(joined(pictures)).save(HERE / "pictures" / "pairing.png", optimize=True)


def high(picture: Image.Image) -> Image.Image:
    width = round(picture.width * HEIGHT / picture.height)
    return picture.resize((width, HEIGHT), Image.Resampling.LANCZOS)


if __name__ == "__main__":
    main()
