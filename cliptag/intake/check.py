"""The intake check: is a clip good enough to measure from, and what to ask for again."""

from __future__ import annotations

from dataclasses import dataclass

from cliptag.clip import Clip, looks_of
from cliptag.intake.client import findings_of_client
from cliptag.intake.facts import findings_of_facts
from cliptag.intake.finding import Grade, IntakeFinding, worst
from cliptag.intake.message import message_of
from cliptag.intake.pictures import findings_of_looks
from cliptag.words import Words


@dataclass(frozen=True, slots=True)
class Intake:
    """What was found, the worst first."""

    findings: tuple[IntakeFinding, ...]

    @property
    def grade(self) -> Grade:
        """That of the whole clip: its worst."""
        return worst([finding.grade for finding in self.findings])

    def message(self, words: Words, client: str = "") -> str:
        """What to send to the client, in the client's language.

        All wishes are in it once there is a reason to film again; else it is empty.
        """
        asks = [f.ask for f in self.findings if f.ask is not None]
        if "whole_body" in asks:  # which going nearer would not help
            asks = [ask for ask in asks if ask != "nearer"]
        return message_of(asks, words, client) if self.grade == "again" else ""


def intake_of(clip: Clip) -> Intake:
    """Check a clip, in a few seconds. Raises ClipError and CoverError."""
    looks = looks_of(clip)
    found = [
        *findings_of_facts(clip.info),
        *findings_of_looks(looks),
        *findings_of_client(clip, looks),
    ]
    order: tuple[Grade, ...] = ("again", "care", "fine")
    return Intake(tuple(sorted(found, key=lambda finding: order.index(finding.grade))))
