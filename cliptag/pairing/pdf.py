"""The summary as a PDF of one page."""

from __future__ import annotations

from pathlib import Path

from cliptag.files import sync_file
from cliptag.paint import PairPage, write_pair_pdf
from cliptag.pairing.summary import Summary

MOST_PLOTS = 3


def write_pdf(summary: Summary, path: Path) -> None:
    """Write the summary to a new file."""
    names, words = summary.names, summary.words
    heads = (
        words.say("What"),
        *names,
        words.say("Change"),
        words.say("Measuring error up to"),
        words.say("Verdict"),
    )
    table = [
        (row.words, row.first, row.second, row.change, row.detectable, row.verdict)
        for row in summary.rows
    ]
    page = PairPage(
        title=summary.title,
        heading=summary.heading,
        about=summary.about,
        names=names,
        pictures=summary.pictures,
        table=(heads, *table) if table else (),
        strong_rows=frozenset(n for n, row in enumerate(summary.rows, 1) if row.is_changed),
        plots=summary.plots[:MOST_PLOTS],
        said=(*(f"{heading}. {text}" for heading, text in summary.said), summary.lead),
        warnings=summary.warnings,
        foot=tuple(filter(None, [summary.more, *summary.foot])),
        caution=summary.caution,
        language=words.language,
        right_to_left=words.is_right_to_left,
    )
    write_pair_pdf(page, path)
    sync_file(path)
