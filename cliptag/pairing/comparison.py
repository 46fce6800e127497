"""Two reviews compared: everything that is said of them and shown of them, but for the files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Self

from cliptag.errors import PairingError
from cliptag.export import ExportOptions
from cliptag.paint import PanelLabel, ensure_painter_ready, panel_labels
from cliptag.pairing.align import Alignment, align
from cliptag.pairing.differences import Difference, differences
from cliptag.pairing.document import Pairing
from cliptag.pairing.moments import fullest, repetitions_of, shared_moments
from cliptag.pairing.normalised import CurvePair, curve_pairs
from cliptag.pairing.pair_clip import PairClip
from cliptag.pairing.pair_marks import COLOURS
from cliptag.pairing.pair_review import PairReview, pair_review
from cliptag.pairing.placing import Placing, place
from cliptag.pairing.sheet import Sheet, lay_out
from cliptag.pairing.showing import Showing, shown_to_coach
from cliptag.pairing.side import Side, open_side
from cliptag.pairing.views import ViewWarning, view_warnings
from cliptag.pairing.wording import match_words
from cliptag.review import MOVEMENT_WORDS
from cliptag.words import ENGLISH, Words

Progress = Callable[[float, float | None], None]


@dataclass(eq=False)
class Comparison:
    """What two reviews come to when they are compared; use it in a ``with`` block, or close it."""

    pairing: Pairing
    sides: tuple[Side, Side]
    alignment: Alignment
    placing: Placing
    pair: PairClip
    differences: tuple[Difference, ...]
    curves: tuple[CurvePair, ...]
    warnings: tuple[ViewWarning, ...]
    review: PairReview
    words: Words = ENGLISH
    """What the client reads; ``warnings`` are for the coach, in English."""

    @property
    def sheet(self) -> Sheet:
        """How both pictures stand together."""
        return self.pair.sheet

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close both clips."""
        for side in self.sides:
            side.clip.close()


def compare_reviews(
    pairing: Pairing,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    showing: Showing = shown_to_coach,
    options: ExportOptions | None = None,
) -> Comparison:
    """Compare the first and the last review of a pairing; ``showing`` gives what may be seen.

    The client's words are in the language of the options, else of the last review.

    Following points that were not followed before takes a while, which ``progress`` is told of
    (0 to 1, and the seconds left). Raises PairingError when they can't be compared, ReviewError,
    ClipError, and TrackingCancelled when ``is_cancelled`` said so.
    """
    paths = (Path(pairing.reviews[0]), Path(pairing.reviews[-1]))
    with ExitStack() as opened:
        sides: list[Side] = []
        for number, path in enumerate(paths):
            side = open_side(path, _part(progress, number, len(paths)), is_cancelled, showing)
            opened.callback(side.clip.close)
            sides.append(side)
        first, second = named_apart(sides)
        words = (options or ExportOptions()).words_for(second.review)
        comparison = compare_sides(pairing, first, second, words)
        opened.pop_all()
    return comparison


def compare_sides(
    pairing: Pairing, first: Side, second: Side, words: Words = ENGLISH
) -> Comparison:
    """Compare two sides that are open and measured, in the client's words. Raises PairingError."""
    require_same((first, second))
    shared = shared_moments(fullest(repetitions_of(first)), fullest(repetitions_of(second)))
    alignment = align(
        shared,
        (first.clip.duration_us, second.clip.duration_us),
        (first.clip.info.nominal_fps, second.clip.info.nominal_fps),
        pairing.match,
        pairing.from_moment,
    )
    placing = place(first, second, pairing.mirror)
    sheet = lay_out(first, second, placing, pairing.layout)
    ensure_painter_ready()
    labels = panel_labels(
        (sheet.width, sheet.height), labels_on((first, second), sheet, placing, alignment, words)
    )
    pair = PairClip((first, second), alignment, sheet, labels)
    found = differences(first, second, pairing.goals)
    return Comparison(
        pairing=pairing,
        sides=(first, second),
        alignment=alignment,
        placing=placing,
        pair=pair,
        differences=found,
        curves=curve_pairs(first, second, alignment),
        warnings=view_warnings(first, second, placing),
        review=pair_review(pairing, (first, second), pair, found, words),
        words=words,
    )


def require_same(sides: Sequence[Side]) -> None:
    """Refuse reviews of different people or movements: nothing can be said of them together."""
    names_by_key = {name.casefold(): name for name in map(_client_of, sides) if name}
    if len(names_by_key) > 1:
        names = " and ".join(sorted(names_by_key.values()))
        raise PairingError(
            f"These are reviews of different clients ({names}): compare reviews of one client, or "
            "write the name alike in both."
        )
    movements = {side.review.movement for side in sides}
    if len(movements) > 1:
        words = " and ".join(sorted(MOVEMENT_WORDS[m].lower() for m in movements))
        raise PairingError(
            f"These are reviews of different movements ({words}): compare two of the same."
        )


def _client_of(side: Side) -> str:
    return (side.whose or side.review.client).strip()


def named_apart(sides: Sequence[Side]) -> tuple[Side, ...]:
    """The sides under names that differ, by a date or a number where weeks are the same."""
    named: list[Side] = []
    for place_, side in enumerate(sides):
        taken = {other.words for other in named}
        on = side.review.recorded_on
        tries = [side, *([side.told_apart(on.isoformat())] if on else [])]
        tries.append(side.told_apart(str(place_ + 1)))
        named.append(next((one for one in tries if one.words not in taken), tries[-1]))
    return tuple(named)


def labels_on(
    sides: tuple[Side, Side],
    sheet: Sheet,
    placing: Placing,
    alignment: Alignment,
    words: Words,
) -> list[PanelLabel]:
    """Which picture is which, and how they are matched, in pixels of the sheet."""
    labels = []
    for number, (side, panel) in enumerate(zip(sides, sheet.panels, strict=True)):
        about = [match_words(alignment, words)] if number == 1 else []
        about += [words.say("Mirrored")] if number == 1 and placing.is_mirrored else []
        # Beside an upright picture there is room for the names, else they stand on it.
        box = {
            "side": (panel.left, 0, panel.width, sheet.head),
            "above": (0, panel.top, panel.width, panel.height),
            "over": (panel.left, panel.top, panel.width, panel.height),
        }[sheet.layout]
        labels.append(
            PanelLabel(
                name=side.name_in(words),
                about=" · ".join(about),
                box=box,
                corner="right" if sheet.layout == "over" and number else "left",
                colour=COLOURS[number],
                is_row=sheet.layout == "side",
                most_width=panel.left if sheet.layout == "above" and panel.left else None,
            )
        )
    return labels


def _part(
    progress: Progress | None, number: int, count: int
) -> Callable[[float, float], None] | None:
    if progress is None:
        return None
    return lambda done, left: progress((number + done) / count, None)
