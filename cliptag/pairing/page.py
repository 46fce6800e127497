"""The summary as one HTML file that needs nothing beside it and may load nothing."""

from __future__ import annotations

import base64
import hashlib
import io
from pathlib import Path
from typing import Any, Final

import numpy as np
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup
from numpy.typing import NDArray
from PIL import Image

from cliptag.pairing.plot_svg import svg_of
from cliptag.pairing.summary import Summary
from cliptag.words import Words

_FOLDER: Final = Path(__file__).parent / "pages"
_WIDEST: Final = 900
_QUALITY: Final = 82


def page_of(summary: Summary) -> str:
    """The page: every text escaped, pictures inside it, light and dark, fit for a printer."""
    height, width = summary.pictures[0].shape[:2]
    return rendered(
        "summary.html.jinja",
        summary.words,
        title=summary.title,
        caution=summary.caution,
        summary=summary,
        pictures=[
            (name, picture_url(picture))
            for name, picture in zip(summary.names, summary.pictures, strict=True)
        ],
        plots=[(plot.heading, Markup(svg_of(plot, summary.words))) for plot in summary.plots],
        is_wide=width > height,
    )


def rendered(template: str, words: Words, **values: Any) -> str:
    """A template of this room filled in, with the common style, its policy and its words."""
    style = Markup((_FOLDER / "page.css").read_text("utf-8"))
    environment = Environment(
        loader=FileSystemLoader(_FOLDER),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page: str = environment.get_template(template).render(
        style=style, policy=_policy(style), words=words, say=words.say, **values
    )
    return page


def picture_url(picture: NDArray[np.uint8]) -> str:
    """A picture as part of the page; JPEG, which every reader shows."""
    height, width = picture.shape[:2]
    image = Image.fromarray(np.ascontiguousarray(picture))
    if width > _WIDEST:
        image = image.resize((_WIDEST, round(height * _WIDEST / width)), Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    image.save(stream, "JPEG", quality=_QUALITY)
    return f"data:image/jpeg;base64,{base64.b64encode(stream.getvalue()).decode()}"


def _policy(style: str) -> str:
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return (
        f"default-src 'none'; img-src data:; style-src 'sha256-{digest}'; "
        "base-uri 'none'; form-action 'none'"
    )
