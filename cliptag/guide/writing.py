"""The guide as a page for a phone and as a sheet to print."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Final

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from cliptag.errors import ExportError
from cliptag.files import replacing, write_bytes
from cliptag.guide.sketches import PAGE_COLOURS, PAPER_COLOURS
from cliptag.guide.steps import ShotGuide
from cliptag.paint import GuideStep, GuideText, write_guide_sheet

PAGE: Final = "filming.html"
SHEET: Final = "filming.pdf"

_FOLDER: Final = Path(__file__).parent


def write_guide(guide: ShotGuide, folder: Path) -> tuple[Path, Path]:
    """Write page and sheet into a folder, which is made if it isn't there; gives both.

    Raises ExportError when they can't be written.
    """
    page, sheet = folder / PAGE, folder / SHEET
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with replacing(sheet) as part:
            write_guide_sheet(part, _sheet_of(guide))
        write_bytes(page, guide_page(guide).encode("utf-8"))
    except OSError as error:
        raise ExportError(
            f"The guide can't be written to {folder} ({error.strerror or error}): "
            "choose another folder."
        ) from error
    return page, sheet


def guide_page(guide: ShotGuide) -> str:
    """The page as HTML: one file that needs nothing else."""
    style = Markup((_FOLDER / "guide.css").read_text("utf-8"))
    digest = base64.b64encode(hashlib.sha256(str(style).encode("utf-8")).digest()).decode()
    environment = Environment(
        loader=FileSystemLoader(_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("guide.html.jinja").render(
        guide=guide,
        style=style,
        policy=f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'",
        colours=PAGE_COLOURS,
        direction="rtl" if guide.words.is_right_to_left else "ltr",
    )


def _sheet_of(guide: ShotGuide) -> GuideText:
    words = guide.words
    return GuideText(
        heading=guide.heading,
        about=guide.about,
        steps=tuple(
            GuideStep(
                f"{number}. {step.title}", "\n".join(step.sentences), step.sketch(PAPER_COLOURS)
            )
            for number, step in enumerate(guide.steps, 1)
        ),
        caution_heading=guide.caution_heading,
        caution="\n".join(guide.caution),
        closing=guide.closing,
        language=words.language,
        right_to_left=words.is_right_to_left,
        page_words=lambda page, pages: words.say("Page {page} of {pages}", page=page, pages=pages),
    )
