"""The whole pairing as plain text, for a screen reader, a message or a printer."""

from __future__ import annotations

from collections.abc import Iterator

from cliptag.export import Cue, Plan, inline
from cliptag.pairing.summary import Summary
from cliptag.review import KIND_WORDS, REGION_WORDS


def transcript_of(summary: Summary, plan: Plan) -> str:
    """Everything that video and page say; each line stands for itself, parts are parted by a
    blank line. The caution comes first and last.
    """
    parts = [
        "\n".join(map(inline, [summary.heading, *summary.about])),
        inline(summary.caution),
        "\n".join(map(inline, summary.warnings)),
        "\n".join(_spoken(plan)),
        "\n".join(_rows(summary)),
        "\n".join(map(inline, summary.foot)),
        f"Please remember\n{inline(summary.caution)}" if summary.caution else "",
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _spoken(plan: Plan) -> Iterator[str]:
    """The captions by the parts that they belong to, with their times in the video."""
    if plan.cues:
        yield "What the video says, with its times"
    for cue in plan.cues:
        minutes, seconds = divmod(cue.start_us // 1_000_000, 60)
        heading = f"{inline(cue.heading or _heading(cue))}: " if cue.is_first else ""
        yield f"At {minutes}:{seconds:02d}. {heading}{inline(cue.text)}"


def _heading(cue: Cue) -> str:
    region = REGION_WORDS[cue.region]
    return region if cue.kind is None else f"{KIND_WORDS[cue.kind]} · {region}"


def _rows(summary: Summary) -> Iterator[str]:
    if summary.rows:
        yield "What was measured in both"
    for row in summary.rows:
        yield (
            f"{inline(row.words)}: {inline(row.first)} in {inline(summary.names[0])}, "
            f"{inline(row.second)} in {inline(summary.names[1])}, change {inline(row.change)}: "
            f"{inline(row.verdict)} (smallest detectable change {inline(row.detectable)})."
        )
    if summary.more:
        yield inline(summary.more)
