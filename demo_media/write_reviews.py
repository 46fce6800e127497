"""Write the coach's reviews of the demo clips: python demo_media/write_reviews.py

The marks are placed where the truth says, each point off by a hand's usual error, so that the
numbers can be checked against the truth.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

from cliptag.clip import open_clip
from cliptag.opening import review_path_of, start_review
from cliptag.review import (
    Arrow,
    Consent,
    Joint,
    Line,
    Moment,
    Note,
    Plumb,
    PlumbLine,
    Point,
    PointKey,
    Review,
    Ring,
    Scale,
    Shade,
    Span,
    Stroke,
    Tilt,
    TrackedPoint,
    save_review,
)

HERE = Path(__file__).parent
PLACEMENT_SD_PX = 1.5
MICROS = 1_000_000


class Truth:
    """Where things are on a frame, with the error of a hand that places them."""

    def __init__(self, name: str) -> None:
        self.path = HERE / f"{name}.mp4"
        self._truth: dict[str, Any] = json.loads((HERE / f"{name}.truth.json").read_text("utf-8"))
        self._rng = np.random.default_rng(sum(map(ord, name)))

    def at(self, point: str, time_us: int) -> Point:
        """A named point on the frame that is on at a time."""
        return self._placed(self._truth["points"][point], time_us)

    def offset(self, point: str, time_us: int, x: float, y: float) -> Point:
        """A place beside a named point; ``x`` and ``y`` in centimetres, forward and up positive."""
        here, cm = self.at(point, time_us), self._truth["px_per_cm"]
        forward = 1 if self._truth["facing"] == "right" else -1
        return Point(round(here.x + forward * x * cm, 1), round(here.y - y * cm, 1))

    def centimetres(self, length: float) -> float:
        """A length in pixels."""
        return round(length * self._truth["px_per_cm"], 1)

    def moment(self, name: str) -> int:
        """When a moment of the first repetition is."""
        return next(m["time_us"] for m in self._truth["moments"] if m["name"] == name)

    def review(self, **fields: Any) -> Review:
        """A review that knows scale, plumb line, facing and moments, and the rest from fields."""
        first = {m["name"]: m["time_us"] for m in reversed(self._truth["moments"])}
        with open_clip(self.path) as clip:
            review = start_review(clip)
        return msgspec.structs.replace(
            review,
            client="Ines",
            coach="Mara Quell",
            movement=self._truth["movement"],
            week=self._truth["week"],
            facing=self._truth["facing"],
            moments=tuple(
                Moment(name=name, at_us=at_us)
                for name, at_us in sorted(first.items(), key=lambda item: item[1])
            ),
            scale=Scale(
                a=self._placed(self._truth["scale"]["a"], 0),
                b=self._placed(self._truth["scale"]["b"], 0),
                length_cm=float(self._truth["scale"]["length_cm"]),
                length_sd_cm=0.2,
                what="the rule on its stand beside the stool",
            ),
            plumb=PlumbLine(
                top=self._placed(self._truth["plumb"]["upper"], 0),
                bottom=self._placed(self._truth["plumb"]["lower"], 0),
            ),
            consent=Consent(
                given_on=dt.date(2026, 2, 27),
                covers=("private_feedback",),
                reference="signed form of 27 February 2026",
            ),
            **fields,
        )

    def _placed(self, track: dict[str, list[float]], time_us: int) -> Point:
        frame = int(np.searchsorted(self._truth["times_us"], time_us, side="right")) - 1
        error = self._rng.normal(0.0, PLACEMENT_SD_PX, 2)
        return Point(
            *(round(float(track[axis][frame] + error[i]), 1) for i, axis in enumerate("xy"))
        )


def sit_to_stand_week01() -> Review:
    """The review of the demo: every mark type, from the feet up."""
    truth = Truth("sit_to_stand_week01")
    sitting = MICROS // 2
    seat_off, upright, settled = map(truth.moment, ("seat_off", "upright", "settled"))
    lean = (truth.moment("first_lean") + seat_off) // 2

    def note(number: int, start_us: int, lasts_us: int, **fields: Any) -> Note:
        return Note(id=f"note-{number:02}", start_us=start_us, end_us=start_us + lasts_us, **fields)

    feet_middle = truth.offset("ankle", sitting, 5, -2)
    notes = (
        note(
            1,
            sitting,
            100_000,
            region="feet",
            kind="seen",
            text="Your feet stand well in front of your knees. From here your legs can't lift you.",
            marks=(
                Ring(
                    id="feet",
                    centre=feet_middle,
                    radius_x=truth.centimetres(16),
                    radius_y=truth.centimetres(7),
                ),
                Plumb(id="under-knee", through=truth.at("knee", sitting), label="under the knee"),
            ),
        ),
        note(
            2,
            sitting + 100_000,
            100_000,
            region="ankles",
            kind="try",
            text="Before you rise, slide both heels back until they are just behind your knees.",
            marks=(
                Arrow(
                    id="slide",
                    tail=truth.offset("heel", sitting, 2, -4),
                    head=truth.offset("heel", sitting, -20, -4),
                    label="heels back",
                ),
            ),
        ),
        note(
            3,
            sitting + 200_000,
            100_000,
            region="knees",
            kind="seen",
            text="Your knees are wide open at the start, and the shin leans away from you.",
            marks=(
                Joint(
                    id="knee",
                    joint="knee",
                    proximal=truth.at("hip", sitting + 200_000),
                    vertex=truth.at("knee", sitting + 200_000),
                    distal=truth.at("ankle", sitting + 200_000),
                ),
            ),
        ),
        note(
            4,
            sitting + 300_000,
            100_000,
            region="seat",
            kind="try",
            text="The stool is good. One or two centimetres more, with a firm cushion, "
            "would make the first push lighter.",
            marks=(
                Span(
                    id="seat-height",
                    a=truth.offset("hip", sitting + 300_000, -22, -54),
                    b=truth.offset("hip", sitting + 300_000, -22, -8),
                    axis="upright",
                    label="seat",
                ),
            ),
        ),
        note(
            5,
            sitting + 400_000,
            300_000,
            region="low_back",
            kind="seen",
            text="Your back is one long curve, and the low back sinks behind the pelvis.",
            marks=(
                Stroke(
                    id="back",
                    points=tuple(
                        truth.at(name, sitting + 400_000)
                        for name in ("c7", "t4", "t8", "l1", "l4", "s2")
                    ),
                ),
            ),
        ),
        note(
            6,
            lean,
            200_000,
            region="neck",
            kind="try",
            text="The chin leads the way. Let the crown of the head lead, and the chin rest.",
            marks=(
                Tilt(
                    id="head",
                    segment="head_on_neck",
                    lower=truth.at("c7", lean),
                    upper=truth.at("ear", lean),
                ),
            ),
        ),
        note(
            7,
            seat_off,
            400_000,
            region="hips",
            kind="seen",
            text="Here you leave the stool. The trunk has to be thrown far forward, "
            "because the feet are so far away.",
            slow_by=4,
            marks=(
                Tilt(
                    id="trunk",
                    segment="trunk",
                    lower=truth.at("hip", seat_off),
                    upper=truth.at("shoulder", seat_off),
                ),
            ),
        ),
        note(
            8,
            upright,
            300_000,
            region="shoulders",
            kind="good",
            text="The arms stay quiet all the way up, and you never push off with your hands. "
            "Keep that.",
            marks=(
                Shade(
                    id="arm",
                    corners=tuple(
                        truth.offset(name, upright, x, y)
                        for name, x, y in (
                            ("shoulder", -6, 5),
                            ("shoulder", 6, 5),
                            ("wrist", 8, -8),
                            ("wrist", -7, -8),
                        )
                    ),
                ),
            ),
        ),
        note(
            9,
            settled,
            600_000,
            region="whole",
            kind="seen",
            text="Upright. Compare with the line from ear to ankle: the head is still ahead.",
            marks=(
                Line(
                    id="line",
                    a=truth.at("ear", settled),
                    b=truth.at("ankle", settled),
                    colour="white",
                ),
            ),
        ),
        note(
            10,
            settled + 600_000,
            100_000,
            region="knees",
            kind="care",
            text="If a knee hurts while you practise, stop, and have a clinician look at it.",
        ),
        note(
            11,
            settled + 700_000,
            100_000,
            region="feet",
            kind="exercise",
            text="Sit tall, slide the heels back, lean from the hips, and stand up slowly. "
            "Sit down even more slowly.",
            repetitions="2 × 5, morning and evening",
        ),
        note(
            12,
            settled + 800_000,
            100_000,
            region="low_back",
            kind="exercise",
            text="On the stool, roll the pelvis forward and back, and stop where the back is long.",
            repetitions="1 × 10, before each session at the bench",
        ),
    )
    return truth.review(
        recorded_on=dt.date(2026, 3, 2),
        impression="You get up without hands and without hurry, and that is a fine start. "
        "The work is done by a big swing of the trunk. We will give it to your legs.",
        notes=notes,
        looked_at=("pelvis", "mid_back", "arms", "head", "footwear", "floor"),
    )


def bend_week01() -> Review:
    """A short review of a clip that was filmed lying down."""
    truth = Truth("bend_week01")
    start, deepest = truth.moment("start"), truth.moment("deepest")
    return truth.review(
        recorded_on=dt.date(2026, 3, 4),
        impression="You reach the wood store easily. The back does the bending, the hips hardly.",
        notes=(
            Note(
                id="note-01",
                region="knees",
                kind="try",
                start_us=deepest,
                end_us=deepest + 100_000,
                text="Unlock the knees before you go down.",
                marks=(
                    Joint(
                        id="knee",
                        joint="knee",
                        proximal=truth.at("hip", deepest),
                        vertex=truth.at("knee", deepest),
                        distal=truth.at("ankle", deepest),
                    ),
                ),
            ),
            Note(
                id="note-02",
                region="low_back",
                kind="seen",
                start_us=deepest + 100_000,
                end_us=deepest + 400_000,
                text="At the deepest place the low back is round, from the pelvis up.",
                marks=(
                    Stroke(
                        id="back",
                        points=tuple(
                            truth.at(name, deepest + 100_000) for name in ("t8", "l1", "l4", "s2")
                        ),
                    ),
                ),
            ),
            Note(
                id="note-03",
                region="hips",
                kind="exercise",
                start_us=max(0, start - 200_000),
                end_us=start,
                text="Stand with your back to a wall and push the hips back until they touch it.",
                repetitions="2 × 8, once a day",
            ),
        ),
    )


def lift_week01() -> Review:
    """Points placed on one frame, to be followed through the whole lift."""
    truth = Truth("lift_week01")
    placed_us = truth.moment("grip")
    names = ("ear", "shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
    back = ("t4", "t8", "l1", "l4", "s2")
    return truth.review(
        recorded_on=dt.date(2026, 3, 6),
        tracked=tuple(
            TrackedPoint(
                name=name,
                keys=(
                    PointKey(
                        at_us=placed_us, place=truth.at(name, placed_us), sd_px=PLACEMENT_SD_PX
                    ),
                ),
            )
            for name in (*names, *back, "load")
        ),
    )


def main() -> None:
    """Write the reviews beside their clips."""
    for make in (sit_to_stand_week01, bend_week01, lift_week01):
        path = review_path_of(HERE / f"{make.__name__}.mp4")
        path.unlink(missing_ok=True)
        save_review(make(), path)


if __name__ == "__main__":
    main()
