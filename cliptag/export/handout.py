"""What the client reads beside the video: the watch page and the summary, with their pictures."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from cliptag.clip import Clip
from cliptag.export.account import Account, account_of
from cliptag.export.cards import title_picture
from cliptag.export.page import PagePicture, Watching, watch_page
from cliptag.export.scene import Scene
from cliptag.export.stills import PICTURE_WIDTH, Rgb, Stills, smaller, stills_of, webp_of
from cliptag.files import sync_file
from cliptag.paint import SummaryFinding, SummaryText, write_summary
from cliptag.review import Review

if TYPE_CHECKING:
    from cliptag.export.take_home import Plan

PAGE: Final = "index.html"
SUMMARY: Final = "summary.pdf"


def write_handouts(
    folder: Path,
    review: Review,
    clip: Clip,
    plan: Plan,
    video: str,
    transcript: str,
    *,
    has_burned_captions: bool = True,
) -> tuple[str, ...]:
    """Write the watch page and the summary; gives their names.

    ``video`` and ``transcript``, to which the page points, are in the same folder. Raises OSError,
    and ClipError when the clip can't be decoded.
    """
    account = account_of(review, plan.timeline, plan.measured, plan.readings, plan.words)
    scene = Scene(review, plan.timeline, (), plan.readings, plan.words, plan.moving)
    told = {finding.note_id for finding in account.findings}
    stills = stills_of([note for note in review.notes if note.id in told], clip, scene)
    title = title_picture(review, plan.size, plan.words)[..., :3]
    watching = Watching(
        video=video,
        size=plan.size,
        chapters=plan.chapters,
        cues=plan.cues,
        has_burned_captions=has_burned_captions,
        poster=_for_page(smaller(title, PICTURE_WIDTH)),
        stills={note_id: _for_page(still) for note_id, still in stills.items()},
        files={
            SUMMARY: plan.words.say("The summary to print"),
            video: plan.words.say("The video by itself"),
            transcript: plan.words.say("Everything as plain text"),
        },
    )
    (folder / PAGE).write_text(watch_page(account, review, watching), "utf-8", newline="\n")
    write_summary(folder / SUMMARY, _summary_of(account, stills))
    for name in (PAGE, SUMMARY):
        sync_file(folder / name)
    return PAGE, SUMMARY


def _for_page(rgb: Rgb) -> PagePicture:
    return PagePicture(webp_of(rgb), rgb.shape[1], rgb.shape[0])


def _summary_of(account: Account, stills: Stills) -> SummaryText:
    words = account.words
    return SummaryText(
        heading=account.heading,
        about=account.about,
        impression_heading=words.say("In general"),
        impression="\n".join(account.impression),
        findings_heading=words.say("What I saw, from the ground up"),
        findings=tuple(
            SummaryFinding(
                kind=finding.kind,
                title=finding.title,
                text="\n".join(finding.text),
                numbers=tuple((number.name, number.value) for number in finding.numbers),
                picture=stills.get(finding.note_id),
            )
            for finding in account.findings
        ),
        sureness=account.sureness,
        exercises_heading=words.say("Your exercises"),
        exercises=tuple(("\n".join(task.text), task.repetitions) for task in account.tasks),
        caution_heading=words.say("Please remember"),
        caution="\n".join(account.caution),
        language=words.language,
        right_to_left=words.is_right_to_left,
        page_words=lambda page, pages: words.say("Page {page} of {pages}", page=page, pages=pages),
    )
