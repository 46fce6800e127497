"""What the client gets of a pairing: the video with captions, and one page that says it all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import PairingError
from cliptag.export import (
    CardPictures,
    ClientView,
    ExportOptions,
    Hold,
    Plan,
    Progress,
    Staging,
    card_pictures,
    export_video,
    plan_export,
    write_captions,
    write_chapters,
)
from cliptag.files import sync_file
from cliptag.paint import TitleText, rgba_of, title_card
from cliptag.pairing.comparison import Comparison, compare_reviews
from cliptag.pairing.differences import Difference
from cliptag.pairing.document import Pairing
from cliptag.pairing.page import page_of
from cliptag.pairing.pair_marks import PairMarks
from cliptag.pairing.pdf import write_pdf
from cliptag.pairing.sheet import CAPTION_SCALES
from cliptag.pairing.showing import shown_by
from cliptag.pairing.summary import Summary, summary_of
from cliptag.pairing.transcript import transcript_of
from cliptag.pairing.trend import Trend, trend_of
from cliptag.pairing.trend_page import trend_page

VIDEO: Final = "comparison.mp4"
CAPTIONS: Final = "comparison.vtt"
CHAPTERS: Final = "chapters.vtt"
TRANSCRIPT: Final = "transcript.txt"
PAGE: Final = "summary.html"
PDF: Final = "summary.pdf"
TREND: Final = "trend.html"

_MEASURING_SHARE: Final = 0.35
"""Of the time that all takes, where no point was followed before."""
_TREND_SHARE: Final = 0.2


@dataclass(frozen=True, slots=True)
class PairingTakeHome:
    """What was written. ``advice`` are sentences that the coach should read before sending it;
    ``names`` are those of both sides for the coach, in English.
    """

    folder: Path
    files: tuple[Path, ...]
    duration_us: int
    width: int
    height: int
    frame_count: int
    cue_count: int
    differences: tuple[Difference, ...]
    summary: Summary
    names: tuple[str, str]
    advice: tuple[str, ...]


def plan_pairing(comparison: Comparison, options: ExportOptions | None = None) -> Plan:
    """Lay out the video of a comparison, as any review's is laid out."""
    made = comparison.review
    plan = plan_export(made.review, comparison.pair, _sized(comparison, options))
    moving = PairMarks(comparison.sides, comparison.pair)
    return replace(
        plan,
        cues=made.headed(plan.cues),
        chapters=made.chapters(plan.chapters, plan.timeline),
        readings=made.readings,
        moving=moving,
        sizes=replace(plan.sizes, panels=_boxes(comparison)),
    )


def pairing_view(comparison: Comparison, plan: Plan | None = None) -> ClientView:
    """The video as it would be now, picture by picture; close it, and the comparison too."""
    return ClientView(
        comparison.pair,
        comparison.review.review,
        _sized(comparison),
        plan=plan or plan_pairing(comparison),
    )


def export_pairing(
    pairing: Pairing,
    out_dir: str | Path,
    progress: Progress | None = None,
    *,
    options: ExportOptions | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> PairingTakeHome:
    """Make the take-home of a pairing in a folder, which is made if it isn't there.

    Writes the video, its captions and chapters as WebVTT, a transcript, and the summary as HTML
    and PDF, in the client's language; with more than two reviews a page of their trend too. Files
    of these names are replaced, all at once when all are complete; otherwise the folder is as it
    was.

    Faces are covered where the options say so. Raises PairingError, ReviewError, ClipError,
    ExportError; ConsentError when a client hasn't agreed to what the options say; UncoveredError
    when a face may be open; ExportCancelled or TrackingCancelled when ``is_cancelled`` said so.
    """
    folder = Path(out_dir).absolute()
    showing = shown_by(options or ExportOptions(), is_cancelled)
    trend: Trend | None = None
    trend_share = _TREND_SHARE if len(pairing.reviews) > 2 else 0.0
    measuring = _share_of(progress, 0.0, _MEASURING_SHARE)
    with (
        compare_reviews(pairing, measuring, is_cancelled, showing, options) as comparison,
        Staging(folder) as staging,
    ):
        _refuse_own_clips(comparison, folder)
        plan = plan_pairing(comparison, options)
        pictures = telling_pictures(comparison, plan)
        summary = summary_of(comparison, pictures)
        facts = export_video(
            comparison.pair,
            comparison.review.review,
            plan.timeline,
            plan.cues,
            staging.path / VIDEO,
            readings=plan.readings,
            words=plan.words,
            moving=plan.moving,
            cards=_cards(comparison, plan),
            chapters=plan.chapters,
            title=summary.title,
            size=plan.size,
            caption_scale=_sized(comparison, options).caption_scale,
            panels=plan.sizes.panels,
            progress=_share_of(progress, _MEASURING_SHARE, 0.98 - trend_share),
            is_cancelled=is_cancelled,
        )
        texts = {
            CAPTIONS: write_captions(plan.cues, summary.title),
            CHAPTERS: write_chapters(plan.chapters, summary.title),
            TRANSCRIPT: transcript_of(summary, plan),
            PAGE: page_of(summary),
        }
        if len(pairing.reviews) > 2:
            watch = _share_of(progress, 0.98 - trend_share, 0.98)
            trend = trend_of(pairing, comparison, watch, is_cancelled, showing)
            texts[TREND] = trend_page(trend)
        _write(staging.path, texts)
        write_pdf(summary, staging.path / PDF)
        names = (VIDEO, *texts, PDF)
        staging.deliver(names)
    if progress is not None:
        progress(1.0, 0.0)
    return PairingTakeHome(
        folder=folder,
        files=tuple(folder / name for name in names),
        duration_us=facts.duration_us,
        width=facts.width,
        height=facts.height,
        frame_count=facts.frame_count,
        cue_count=len(plan.cues),
        differences=comparison.differences,
        summary=summary,
        names=(comparison.sides[0].words, comparison.sides[1].words),
        advice=_advice(comparison),
    )


def telling_pictures(
    comparison: Comparison, plan: Plan
) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """(H, W, 3) of both at the moment at which they differ most, with their marks."""
    bare = replace(plan, cues=())
    view = pairing_view(comparison, bare)
    try:
        picture = view.picture(_telling_index(comparison, view))
    finally:
        view.close()
    left, right = (
        picture[p.top : p.top + p.height, p.left : p.left + p.width]
        for p in comparison.sheet.panels
    )
    return left, right


def _boxes(comparison: Comparison) -> tuple[tuple[float, float, float, float], ...]:
    if comparison.sheet.layout == "over":
        return ()
    return tuple((p.left, p.top, p.width, p.height) for p in comparison.sheet.panels)


def _sized(comparison: Comparison, options: ExportOptions | None = None) -> ExportOptions:
    """The options with captions as large as the layout has room for."""
    options = options or ExportOptions()
    scale = CAPTION_SCALES[comparison.sheet.layout] * options.caption_scale
    return replace(options, caption_scale=min(max(scale, 0.5), 2.0))


def _telling_index(comparison: Comparison, view: ClientView) -> int:
    """The picture of the hold at the most telling moment, else the one in the middle."""
    best, most = None, 0.0
    for difference in comparison.differences:
        for note in comparison.review.review.notes:
            name = note.id.removeprefix("moment-")
            if name != note.id and difference.name.endswith(f"_at_{name}"):
                size = abs(difference.change) / max(difference.detectable, 1e-9)
                if size > most:
                    best, most = note.id, size
    holds = [s for s in view.plan.timeline.spans if isinstance(s, Hold)]
    hold = next((s for s in holds if s.note_id == best), None)
    at_us = view.duration_us // 2 if hold is None else hold.out_start_us
    if hold is None and holds:
        at_us = holds[len(holds) // 2].out_start_us
    return int(np.abs(view.times_us - at_us).argmin())


def _cards(comparison: Comparison, plan: Plan) -> CardPictures:
    review, words = comparison.review.review, comparison.words
    first, second = (side.name_in(words) for side in comparison.sides)
    text = TitleText(
        client=review.client,
        movement=words.movement(review.movement),
        week=words.say("{first} and {second}", first=first, second=second),
        coach=words.say("Compared by {coach}", coach=review.coach) if review.coach else "",
        caution=words.caution(review.caution),
        heading=words.say("Side by side"),
        right_to_left=words.is_right_to_left or None,
    )
    cards = dict(card_pictures(review, plan))
    cards["title", 0] = rgba_of(title_card(plan.size, text))
    return cards


def _advice(comparison: Comparison) -> tuple[str, ...]:
    sentences = [warning.sentence for warning in comparison.warnings]
    sentences += [f"{s.words}: {s.trouble}" for s in comparison.sides if s.trouble]
    if comparison.alignment.basis in ("proposed", "mixed"):
        sentences.append(comparison.alignment.basis_words + " Confirm them before you send it.")
    if comparison.alignment.basis == "none":
        sentences.append(comparison.alignment.basis_words)
    if not comparison.differences:
        sentences.append(
            "Nothing was measured in both, so there is no table: track the same points in both, "
            "or measure the same joint at the same moment."
        )
    for side in comparison.sides:
        if side.review.consent is None:
            sentences.append(
                f"No written consent is recorded in the review of {side.words}: have it before "
                "you send this, and show it to nobody but the client."
            )
    return tuple(sentences)


def _refuse_own_clips(comparison: Comparison, folder: Path) -> None:
    for side in comparison.sides:
        for name in (VIDEO,):
            target = folder / name
            if target.exists() and target.samefile(side.clip.path):
                raise PairingError(
                    f"{target} is one of the clips themselves: choose another folder."
                )


def _write(folder: Path, texts: Mapping[str, str]) -> None:
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
        sync_file(folder / name)


def _share_of(progress: Progress | None, start: float, end: float) -> Progress | None:
    if progress is None:
        return None

    def told(done: float, left: float | None) -> None:
        progress(start + (end - start) * done, left)

    return told
