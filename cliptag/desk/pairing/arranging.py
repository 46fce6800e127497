"""What a coach can change about two reviews on the desk, each a step that can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from msgspec.structs import replace

from cliptag.desk.pairing.state import PairState
from cliptag.pairing import LAYOUTS, Direction, Layout, Mirror, Pairing, PairingNote, edit
from cliptag.review import MOMENT_WORDS, Kind, MomentName, Region

LAYOUT_WORDS: Final[dict[Layout, str]] = {
    "side": "Side by side",
    "above": "Above each other",
    "over": "Over each other",
}
MIRROR_WORDS: Final[dict[Mirror, str]] = {
    "auto": "Mirror if needed",
    "yes": "Mirror the second",
    "no": "Mirror nothing",
}
GOAL_WORDS: Final[dict[Direction | None, str]] = {
    "less": "Less",
    "more": "More",
    None: "No goal",
}
BY_MOMENTS: Final = "Match each moment"
FROM_START: Final = "From start to end"
SEE_STEP: Final = 0.1


class Arranging:
    """Changes the pairing of a state; without one nothing happens."""

    def __init__(self, state: PairState) -> None:
        self._state = state

    # -- how both are set together --------------------------------------------------------------

    def set_layout(self, layout: Layout) -> None:
        """Set both side by side, one above the other, or one over the other."""
        words = f"show them {LAYOUT_WORDS[layout].lower()}"
        self._do(lambda pairing: edit.with_fields(pairing, layout=layout), words)

    def next_layout(self) -> None:
        """The next way to set them together."""
        if self._state.is_open:
            place = LAYOUTS.index(self._state.pairing.layout)
            self.set_layout(LAYOUTS[(place + 1) % len(LAYOUTS)])

    def match_by_moments(self) -> None:
        """Stretch each phase so that both reach each moment together."""
        self._do(
            lambda pairing: edit.with_fields(pairing, match="moments", from_moment=None),
            "match at each moment",
        )

    def true_speed_from(self, moment: MomentName | None) -> None:
        """Let both run as they were filmed, together at one moment; None: at the first."""
        at = f", together at {MOMENT_WORDS[moment].lower()}" if moment else ""
        self._do(
            lambda pairing: edit.with_fields(pairing, match="true_speed", from_moment=moment),
            f"play at true speed{at}",
        )

    def next_match(self) -> None:
        """Go round: at each moment, then at true speed from each shared moment in turn."""
        if not self._state.is_open:
            return
        ways = [None, *self.shared_moments]
        here = ways.index(self.matched_from) if self.matched_from in ways else 0
        way = ways[(here + 1) % len(ways)]
        if way is None:
            self.match_by_moments()
        else:
            self.true_speed_from(way)

    @property
    def shared_moments(self) -> tuple[MomentName, ...]:
        """The moments that are known in both."""
        comparison = self._state.comparison
        knots = comparison.alignment.knots if comparison else ()
        return tuple(knot.name for knot in knots if knot.name is not None)

    @property
    def matched_from(self) -> MomentName | None:
        """The moment at which both run together at true speed; None where matched by moments."""
        comparison = self._state.comparison
        return comparison.alignment.from_moment if comparison else None

    def set_mirror(self, mirror: Mirror) -> None:
        """Mirror the second picture: always, never, or where the client faces the other way."""
        words = MIRROR_WORDS[mirror].lower()
        self._do(lambda pairing: edit.with_fields(pairing, mirror=mirror), words)

    def next_mirror(self) -> None:
        """The next choice of mirroring."""
        if self._state.is_open:
            ways = list(MIRROR_WORDS)
            self.set_mirror(ways[(ways.index(self._state.pairing.mirror) + 1) % len(ways)])

    def swap(self) -> None:
        """Take the second as the first."""
        self._do(edit.swapped, "swap the two")

    # -- goals ----------------------------------------------------------------------------------

    def set_goal(self, goal: Direction | None) -> None:
        """Which way the chosen quantity should go."""
        difference = self._state.difference
        if difference is None:
            self._state.said.emit("Choose a line of the table first: the goal is for that number.")
            return
        name = difference.name
        words = f"{difference.words}: {GOAL_WORDS[goal].lower()}"
        self._do(lambda pairing: edit.with_goal(pairing, name, goal), f"set a goal, {words}")

    # -- notes ----------------------------------------------------------------------------------

    def write(self, text: str) -> None:
        """Give the chosen note these words; without a chosen note it is a new one, for here."""
        state = self._state
        if not state.is_open:
            return
        notes, place = state.pairing.notes, state.chosen_note
        if place is None:
            if not text.strip():
                return
            percent = min(max(round(state.percent, 1), 0.0), 100.0)
            note = PairingNote(percent=percent, text=text)
            self._put(note, None, "write a note", f"note {percent}")
        else:
            note = replace(notes[place], text=text)
            words = "write in a note" if text.strip() else "delete a note"
            self._put(note, place, words, f"note {note.percent}")

    def set_kind(self, kind: Kind) -> None:
        """What the chosen note is."""
        self._change("change a note's kind", kind=kind)

    def set_region(self, region: Region) -> None:
        """Where on the body the chosen note looks."""
        self._change("change a note's place on the body", region=region)

    def move_note_here(self) -> None:
        """Let the chosen note speak of the shown pair of frames."""
        percent = min(max(round(self._state.percent, 1), 0.0), 100.0)
        self._change("move a note", percent=percent)

    def delete_note(self) -> None:
        """Take the chosen note away."""
        place = self._state.chosen_note
        if place is not None and self._state.is_open:
            self._state.choose_note(None)
            self._do(lambda pairing: edit.without_note(pairing, place), "delete a note")

    def _change(self, words: str, **fields: object) -> None:
        place = self._state.chosen_note
        if place is not None and self._state.is_open:
            self._put(replace(self._state.pairing.notes[place], **fields), place, words, None)

    def _put(self, note: PairingNote, place: int | None, words: str, run: str | None) -> None:
        changed = edit.with_note(self._state.pairing, note, place)
        where = next((n for n, kept in enumerate(changed.notes) if kept is note), None)
        self._state.do_to_note(changed, where, words, run=run)

    def _do(self, change: Callable[[Pairing], Pairing], words: str) -> None:
        if self._state.is_open:
            self._state.do(change(self._state.pairing), words)
