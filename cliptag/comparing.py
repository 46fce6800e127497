"""What ``cliptag compare`` does."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path
from typing import Any

import msgspec
import rich
from rich.table import Table
from rich.text import Text

from cliptag.errors import PairingError
from cliptag.export import ExportOptions, one_line
from cliptag.pairing import (
    SUFFIX,
    Difference,
    Pairing,
    PairingTakeHome,
    compare_reviews,
    export_pairing,
    load_pairing,
    row_of,
    save_pairing,
)
from cliptag.printing import clock_words, print_json, size_words
from cliptag.working import working


def compare(options: Namespace) -> int:
    """Set reviews side by side, and tell what changed."""
    pairing = _pairing_of(options)
    if options.save is not None:
        save_pairing(pairing, options.save)
    if options.out is None:
        return _tell(pairing, options.json)
    with working("Setting them side by side") as work:
        made = export_pairing(
            pairing,
            options.out,
            work.advance,
            options=ExportOptions(shown_for=options.shown_for, language=options.language),
            is_cancelled=work.is_stopped,
        )
    for sentence in made.advice:
        print(f"cliptag: {sentence}", file=sys.stderr)
    if options.json:
        print_json(_facts_of_take_home(made))
        return 0
    _print_table(made.differences, made.names)
    print(f"Wrote the comparison to {made.folder}:")
    for file in made.files:
        print(f"  {file.name:<22} {size_words(file.stat().st_size)}")
    print(f"The video lasts {clock_words(made.duration_us)} and has {made.cue_count} captions.")
    return 0


def _pairing_of(options: Namespace) -> Pairing:
    """The pairing that was named or given by its reviews, with what the options change in it."""
    names: list[Path] = options.reviews
    if len(names) == 1 and names[0].name.endswith(SUFFIX):
        pairing = load_pairing(names[0])
    elif len(names) == 1:
        raise PairingError(
            f"Only one review is named ({names[0].name}): name two or more, earliest first, or "
            f"one NAME{SUFFIX}."
        )
    else:
        pairing = Pairing(reviews=tuple(str(name.absolute()) for name in names))
    changes: dict[str, Any] = {}
    if options.layout is not None:
        changes["layout"] = options.layout
    if options.by is not None:
        changes["match"] = options.by.replace("-", "_")
    if options.from_moment is not None:
        changes |= {"from_moment": options.from_moment, "match": "true_speed"}
    if options.mirror is not None:
        changes["mirror"] = options.mirror
    if options.goal:
        changes["goals"] = {**pairing.goals, **dict(options.goal)}
    return msgspec.structs.replace(pairing, **changes)


def _tell(pairing: Pairing, as_json: bool) -> int:
    """The table alone, without a video."""
    with (
        working("Measuring both") as work,
        compare_reviews(pairing, work.advance, work.is_stopped) as comparison,
    ):
        found = comparison.differences
        names = (comparison.sides[0].words, comparison.sides[1].words)
        warnings = [warning.sentence for warning in comparison.warnings]
    for sentence in warnings:
        print(f"cliptag: {sentence}", file=sys.stderr)
    if as_json:
        print_json({"differences": [_facts(d) for d in found], "warnings": warnings})
    else:
        _print_table(found, names)
    return 0


def _print_table(found: tuple[Difference, ...], names: tuple[str, str]) -> None:
    if not found:
        print("Nothing was measured in both.")
        return
    table = Table(
        caption="Values show ± 2 standard uncertainties. Changed: by more than the smallest "
        "detectable change (95 %); that says neither better nor worse. --goal takes the names in "
        "italics. Coaching is not medical diagnosis.",
        caption_justify="left",
    )
    table.add_column("what", overflow="fold", min_width=23)
    for heading in (*names, "change", "detectable from", "verdict"):
        table.add_column(heading, overflow="fold")
    for difference in found:
        row = row_of(difference)
        name = Text.assemble(row.words, "\n", (one_line(difference.name), "not bold italic"))
        said = (row.first, row.second, row.change, row.detectable, row.verdict)
        table.add_row(name, *map(Text, said), style="bold" if row.is_changed else None)
    rich.print(table)


def _facts_of_take_home(made: PairingTakeHome) -> dict[str, Any]:
    return {
        "folder": str(made.folder),
        "files": [{"name": f.name, "size_bytes": f.stat().st_size} for f in made.files],
        "duration_us": made.duration_us,
        "width": made.width,
        "height": made.height,
        "frame_count": made.frame_count,
        "cue_count": made.cue_count,
        "differences": [_facts(difference) for difference in made.differences],
        "advice": list(made.advice),
    }


def _facts(difference: Difference) -> dict[str, Any]:
    first, second = difference.first, difference.second
    return {
        "name": difference.name,
        "words": difference.words,
        "unit": difference.unit,
        "source": first.source,
        "first": round(first.value, 4),
        "first_standard_uncertainty": round(first.sd, 4),
        "first_repetitions": first.count,
        "second": round(second.value, 4),
        "second_standard_uncertainty": round(second.sd, 4),
        "second_repetitions": second.count,
        "change": round(difference.change, 4),
        "standard_uncertainty": round(difference.sd, 4),
        "smallest_detectable_change": round(difference.detectable, 4),
        "verdict": difference.verdict,
        "goal": difference.goal,
        "towards": difference.towards,
    }
