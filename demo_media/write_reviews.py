"""Write the coach's reviews of the demo clips: python demo_media/write_reviews.py

The marks and the tracked points are placed where the truth says, each point off by a hand's usual
error, so that the numbers can be checked against the truth. The numbers in the notes are measured
from the clips, as the desk does.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from typing import Any

import msgspec
import numpy as np

from cliptag.clip import open_clip
from cliptag.measure import follow_movement, number_of_descriptor
from cliptag.opening import review_path_of, start_review
from cliptag.review import (
    Arrow,
    Between,
    Consent,
    Joint,
    Line,
    Mark,
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
    edit,
    save_review,
)

HERE = Path(__file__).parent
PLACEMENT_SD_PX = 1.5
MICROS = 1_000_000
BODY = ("ear", "shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe")
BACK = ("c7", "t4", "t8", "l1", "l4", "s2")
ORIGIN = Point(0.0, 0.0)
"""Where marks that follow points are, until those are known."""

TRUNK = Tilt(id="trunk", segment="trunk", lower=ORIGIN, upper=ORIGIN, follows=("hip", "shoulder"))
KNEE = Joint(
    id="knee",
    joint="knee",
    proximal=ORIGIN,
    vertex=ORIGIN,
    distal=ORIGIN,
    follows=("hip", "knee", "ankle"),
)
BACK_LINES = Between(
    id="back-lines",
    label="low back to upper back",
    weight="fine",
    a=ORIGIN,
    b=ORIGIN,
    c=ORIGIN,
    d=ORIGIN,
    follows=("s2", "l4", "t4", "c7"),
)


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

    def follows(self, mark: Mark, time_us: int) -> Mark:
        """A mark on the points that it follows, as placed on the frame that is on at a time."""
        return edit.with_points(mark, [self.at(name, time_us) for name in mark.follows])

    def tracked(
        self, time_us: int, *names: str, again: dict[str, tuple[int, ...]] | None = None
    ) -> tuple[TrackedPoint, ...]:
        """Points placed on the frame that is on at a time, and some of them later ``again``.

        A point that something hides for long is found again from where it is placed anew.
        """
        return tuple(
            TrackedPoint(
                name=name,
                keys=tuple(
                    PointKey(at_us=at_us, place=self.at(name, at_us), sd_px=PLACEMENT_SD_PX)
                    for at_us in (time_us, *(again or {}).get(name, ()))
                ),
            )
            for name in names
        )

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
                truth.follows(BACK_LINES, sitting + 400_000),
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
            upright - seat_off,
            region="hips",
            kind="seen",
            text="Here you leave the stool. The trunk has to be thrown far forward, "
            "because the feet are so far away.",
            slow_by=2,
            marks=(truth.follows(TRUNK, seat_off),),
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
        tracked=truth.tracked(seat_off, *BODY, *BACK, again={"c7": (sitting, settled)}),
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
                    truth.follows(TRUNK, deepest + 100_000),
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
        tracked=truth.tracked(deepest, *BODY, *BACK),
    )


def lift_week01() -> Review:
    """Points placed on one frame, to be followed through the whole lift."""
    truth = Truth("lift_week01")
    grip, load_off, upright = map(truth.moment, ("grip", "load_off", "upright"))
    ahead = Span(
        id="ahead",
        a=ORIGIN,
        b=ORIGIN,
        axis="across",
        label="toes to crate",
        follows=("toe", "load"),
    )
    return truth.review(
        recorded_on=dt.date(2026, 3, 6),
        impression="The crate comes up safely and without a jerk. But the back does all of it.",
        notes=(
            Note(
                id="note-01",
                region="load",
                kind="seen",
                start_us=grip,
                end_us=load_off - 100_000,
                text="The crate stands far in front of your feet: a long lever for the low back.",
                marks=(truth.follows(ahead, grip),),
            ),
            Note(
                id="note-02",
                region="hips",
                kind="seen",
                start_us=load_off,
                end_us=upright,
                slow_by=2,
                text="Here the crate leaves the floor. The trunk lies level, "
                "and the knees are nearly straight.",
                marks=(truth.follows(TRUNK, load_off), truth.follows(KNEE, load_off)),
            ),
            Note(
                id="note-03",
                region="load",
                kind="try",
                start_us=upright,
                end_us=upright + 300_000,
                text="Step up to the crate until your toes stand beside it, then bend the knees.",
            ),
            Note(
                id="note-04",
                region="low_back",
                kind="care",
                start_us=upright + 300_000,
                end_us=upright + 600_000,
                text="Until that feels easy, lift the crate half full.",
            ),
            Note(
                id="note-05",
                region="hips",
                kind="exercise",
                start_us=upright + 600_000,
                end_us=upright + 700_000,
                text="Without the crate: feet apart, hips back and down, back long, and up again.",
                repetitions="2 × 8, every day",
            ),
        ),
        tracked=truth.tracked(grip, *BODY, *BACK[1:], "load"),
    )


def lift_week10() -> Review:
    """The same lift ten weeks later."""
    truth = Truth("lift_week10")
    grip, load_off, upright = map(truth.moment, ("grip", "load_off", "upright"))
    ahead = Span(
        id="ahead",
        a=ORIGIN,
        b=ORIGIN,
        axis="across",
        label="toes to crate",
        follows=("toe", "load"),
    )
    return truth.review(
        recorded_on=dt.date(2026, 5, 8),
        impression="Now the legs lift, and the crate stays close.",
        notes=(
            Note(
                id="note-01",
                region="load",
                kind="good",
                start_us=grip,
                end_us=load_off - 100_000,
                text="You step up to the crate before you take hold of it.",
                marks=(truth.follows(ahead, grip),),
            ),
            Note(
                id="note-02",
                region="hips",
                kind="good",
                start_us=load_off,
                end_us=upright,
                slow_by=2,
                text="Hips low, knees bent, and the back keeps its shape on the way up.",
                marks=(truth.follows(TRUNK, load_off), truth.follows(KNEE, load_off)),
            ),
        ),
        tracked=truth.tracked(
            grip, *BODY, *BACK[1:], "load", again={"knee": (load_off + 400_000, upright)}
        ),
    )


def bend_week10() -> Review:
    """The bend ten weeks later."""
    truth = Truth("bend_week10")
    start, deepest, back_up = map(truth.moment, ("start", "deepest", "back_up"))
    return truth.review(
        recorded_on=dt.date(2026, 5, 6),
        impression="The hips lead the way down now.",
        notes=(
            Note(
                id="note-01",
                region="hips",
                kind="good",
                start_us=start,
                end_us=back_up,
                text="Hips back, knees soft, and the back long all the way.",
                marks=(truth.follows(TRUNK, start), truth.follows(KNEE, start)),
            ),
        ),
        tracked=truth.tracked(deepest, *BODY, *BACK),
    )


def sit_to_stand_week10() -> Review:
    """Getting up ten weeks later, twice."""
    truth = Truth("sit_to_stand_week10")
    first_lean, seat_off, upright = map(truth.moment, ("first_lean", "seat_off", "upright"))
    return truth.review(
        recorded_on=dt.date(2026, 5, 4),
        impression="Your feet are under you now, and the legs do the work.",
        notes=(
            Note(
                id="note-01",
                region="hips",
                kind="good",
                start_us=first_lean,
                end_us=upright,
                slow_by=2,
                text="A small lean from the hips is enough to leave the stool.",
                marks=(truth.follows(TRUNK, first_lean),),
            ),
            Note(
                id="note-02",
                region="head",
                kind="good",
                start_us=upright,
                end_us=upright + 300_000,
                text="The head stays in line with the back.",
            ),
        ),
        tracked=truth.tracked(seat_off, *BODY, *BACK),
    )


MEASURED: dict[str, tuple[tuple[str, str], ...]] = {
    "sit_to_stand_week01": (("note-07", "feet_ahead_of_knees"),),
    "sit_to_stand_week10": (("note-01", "peak_trunk_lean"),),
    "bend_week01": (("note-02", "low_back_rounding"),),
    "bend_week10": (("note-01", "low_back_rounding"),),
    "lift_week01": (("note-01", "load_to_low_back"), ("note-02", "hip_share")),
    "lift_week10": (("note-02", "hip_share"),),
}
"""Which numbers go into which notes: those of the first repetition."""


def with_numbers(review: Review, name: str) -> Review:
    """The review with the numbers of its clip in the notes."""
    with open_clip(HERE / f"{name}.mp4") as clip:
        report = follow_movement(review, clip)
    told = {one.name: one for one in report.descriptors if one.repetition == 1}
    for note_id, descriptor in MEASURED[name]:
        review = edit.with_number(review, note_id, number_of_descriptor(told[descriptor]))
    return review


def main() -> None:
    """Write the reviews beside their clips."""
    for make in (
        sit_to_stand_week01,
        sit_to_stand_week10,
        bend_week01,
        bend_week10,
        lift_week01,
        lift_week10,
    ):
        path = review_path_of(HERE / f"{make.__name__}.mp4")
        path.unlink(missing_ok=True)
        save_review(with_numbers(make(), make.__name__), path)


if __name__ == "__main__":
    main()
