"""The whole pairing as plain text, for a screen reader, a message or a printer."""

from __future__ import annotations

from collections.abc import Iterator

from cliptag.export import Cue, Plan, inline
from cliptag.pairing.summary import Summary
from cliptag.words import Words


def transcript_of(summary: Summary, plan: Plan) -> str:
    """Everything that video and page say; each line stands for itself, parts are parted by a
    blank line. The caution comes first and last.
    """
    say = summary.words.say
    parts = [
        "\n".join(map(inline, [summary.heading, *summary.about])),
        inline(summary.caution),
        "\n".join(map(inline, summary.warnings)),
        "\n".join(_spoken(plan, summary.words)),
        "\n".join(_rows(summary)),
        "\n".join(map(inline, summary.foot)),
        f"{say('Please remember')}\n{inline(summary.caution)}" if summary.caution else "",
    ]
    return "\n\n".join(part for part in parts if part) + "\n"


def _spoken(plan: Plan, words: Words) -> Iterator[str]:
    """The captions by the parts that they belong to, with their times in the video."""
    if plan.cues:
        yield words.say("What the video says, with its times")
    for cue in plan.cues:
        minutes, seconds = divmod(cue.start_us // 1_000_000, 60)
        heading = f"{inline(cue.heading or _heading(cue, words))}: " if cue.is_first else ""
        text = f"{heading}{inline(cue.text)}"
        yield words.say("At {time}. {text}", time=f"{minutes}:{seconds:02d}", text=text)


def _heading(cue: Cue, words: Words) -> str:
    return words.region(cue.region) if cue.kind is None else words.title(cue.region, cue.kind)


def _rows(summary: Summary) -> Iterator[str]:
    if summary.rows:
        yield summary.words.say("What was measured in both")
    if summary.lead:
        yield inline(summary.lead)
    for row in summary.rows:
        yield summary.words.say(
            "{quantity}: {first_name} {first}, {second_name} {second}, change {change}, measuring "
            "error up to {error}: {verdict}.",
            quantity=inline(row.words),
            first_name=inline(summary.names[0]),
            first=inline(row.first),
            second_name=inline(summary.names[1]),
            second=inline(row.second),
            change=inline(row.change),
            error=inline(row.detectable),
            verdict=inline(row.verdict),
        )
    if summary.more:
        yield inline(summary.more)
