"""What the methods on lifting and the low back ask for."""

from __future__ import annotations

from typing import Final, get_args

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published import lever_arm, low_back, niosh, niosh_work
from cliptag.measure.published.body_weights import BodyTable, UpperBody, upper_body_from_tilt
from cliptag.measure.published.form import Answers, Form, Outcome, Question, figure
from cliptag.measure.published.lever_arm import closer_load
from cliptag.measure.published.low_back import back_forces, loads_of
from cliptag.measure.published.niosh import Lift, lifting_equation
from cliptag.measure.published.niosh_multipliers import Mode
from cliptag.measure.published.niosh_tables import Coupling, Duration
from cliptag.measure.published.niosh_work import composite_index, task_index
from cliptag.measure.published.segments import Sex

_MODE: Final = Question(
    name="mode",
    words="How the multipliers are taken",
    kind="choice",
    choices=get_args(Mode),
    default="formula",
)
_DURATION: Final = Question(
    name="duration",
    words="How long a day the lifting lasts (short: up to 1 h, moderate: up to 2 h, long: up to 8)",
    kind="choice",
    choices=get_args(Duration),
)
_BODY: Final = (
    Question(name="body_mass_kg", words="Body mass", unit="kg", low=20, high=350),
    Question(name="stature_cm", words="Body height", unit="cm", low=80, high=260),
    Question(
        name="trunk_tilt_deg",
        words="Trunk tilt from upright, forward positive",
        unit="°",
        low=-30,
        high=130,
        measured={"": "trunk_tilt"},
    ),
    Question(name="sex", words="Body proportions of", kind="choice", choices=get_args(Sex)),
    Question(
        name="table",
        words="Table of body segments",
        kind="choice",
        choices=get_args(BodyTable),
        default="dempster",
    ),
)


def _lengths(kind: str) -> tuple[Question, ...]:
    """The lengths of one lift, or of each of several."""
    several = kind == "numbers"
    return (
        Question(
            name="load_kg",
            words="Weight of the load",
            kind="numbers" if several else "number",
            unit="kg",
            low=0.01,
            high=500,
        ),
        Question(
            name="horizontal_cm",
            words="H: hands ahead of the middle between the ankles",
            kind="numbers" if several else "number",
            unit="cm",
            low=0,
            high=300,
            measured={} if several else {"": "hands_ahead_of_ankles"},
        ),
        Question(
            name="vertical_cm",
            words="V: hands above the floor where the lift starts",
            kind="numbers" if several else "number",
            unit="cm",
            low=0,
            high=300,
            measured={} if several else {"": "hands_above_floor"},
        ),
        Question(
            name="travel_cm",
            words="D: way of the hands up or down",
            kind="numbers" if several else "number",
            unit="cm",
            low=0,
            high=300,
            measured={} if several else {"": "hands_travel"},
        ),
        Question(
            name="asymmetry_deg",
            words="A: how far the load is turned out of straight ahead",
            kind="numbers" if several else "number",
            unit="°",
            low=0,
            high=180,
            default=(0.0,) if several else Estimate(0.0, 0.0),
        ),
        Question(
            name="lifts_per_min",
            words="Lifts a minute",
            kind="numbers" if several else "number",
            unit="a minute",
            low=0,
            high=60,
        ),
    )


_COUPLING: Final = Question(
    name="coupling", words="Grip on the load", kind="choice", choices=get_args(Coupling)
)


def _one_lift(given: Answers) -> Outcome:
    lift = Lift(
        load_kg=given["load_kg"],
        horizontal_cm=given["horizontal_cm"],
        vertical_cm=given["vertical_cm"],
        travel_cm=given["travel_cm"],
        asymmetry_deg=given["asymmetry_deg"],
        lifts_per_min=given["lifts_per_min"].value,
        duration=given["duration"],
        coupling=given["coupling"],
    )
    found = lifting_equation(lift, given["mode"])
    limit = Estimate(found.weight_limit, found.weight_limit_sd)
    index = Estimate(found.lifting_index, found.lifting_index_sd)
    return Outcome(
        found.meaning,
        (
            *figure("niosh_weight_limit", "Recommended weight limit (NIOSH)", limit, "kg"),
            *figure("niosh_lifting_index", "Lifting index (NIOSH)", index, ""),
        ),
    )


_PER_TASK: Final = (
    "load_kg",
    "horizontal_cm",
    "vertical_cm",
    "travel_cm",
    "asymmetry_deg",
    "lifts_per_min",
)


def _several_lifts(given: Answers) -> Outcome:
    count = max(len(given[name]) for name in _PER_TASK)
    columns = {}
    for name in _PER_TASK:
        values = given[name] * count if len(given[name]) == 1 else given[name]
        if len(values) != count:
            raise MeasureError(
                f"There are {count} tasks and {len(values)} numbers for {name}: give one for each "
                "task, or one for all."
            )
        columns[name] = values
    tasks = [
        task_index(
            Lift(
                **{name: columns[name][i] for name in _PER_TASK},
                duration=given["duration"],
                coupling=given["coupling"],
            ),
            given["mode"],
        )
        for i in range(count)
    ]
    found = composite_index(tasks, given["duration"], given["mode"])
    words = f"Composite lifting index of {count} tasks (NIOSH)"
    return Outcome(
        found.meaning, figure("niosh_composite_index", words, Estimate(found.index, 0.0), "")
    )


def _body(given: Answers) -> UpperBody:
    stature: Estimate = given["stature_cm"]
    return upper_body_from_tilt(
        given["body_mass_kg"],
        Estimate(stature.value / 100, stature.sd / 100),
        given["trunk_tilt_deg"],
        given["sex"],
        table=given["table"],
    )


def _metres(cm: Estimate) -> Estimate:
    return Estimate(cm.value / 100, cm.sd / 100)


def _low_back(given: Answers) -> Outcome:
    loads = loads_of(_body(given), given["load_kg"], _metres(given["load_arm_cm"]))
    found = back_forces(loads)
    return Outcome(
        found.meaning,
        (
            *figure("low_back_moment", "Moment about the low back, standing still",
                    found.moment, "N·m"),
            *figure("low_back_compression", "Rough compression of the lowest disc",
                    found.compression, "N"),
        ),
    )  # fmt: skip


def _lever_arm(given: Answers) -> Outcome:
    found = closer_load(
        _body(given),
        given["load_kg"],
        _metres(given["load_arm_cm"]),
        given["load_height_cm"].value / 100,
        given["closer_cm"].value / 100,
        given["what"],
    )
    words = f"The {found.what} {found.closer_cm:g} cm closer, off the low back"
    return Outcome(found.meaning, figure("off_low_back", words, found.off_total, "%"), found)


_ARM: Final = Question(
    name="load_arm_cm",
    words="Middle of the load ahead of the low back",
    unit="cm",
    low=0,
    high=200,
    measured={"": "load_to_low_back"},
)

FORMS: Final = (
    Form(niosh.METHOD, (*_lengths("number"), _DURATION, _COUPLING, _MODE), _one_lift),
    Form(niosh_work.METHOD, (*_lengths("numbers"), _DURATION, _COUPLING, _MODE), _several_lifts),
    Form(
        low_back.METHOD,
        (
            *_BODY,
            Question(
                name="load_kg",
                words="Weight of the load",
                unit="kg",
                low=0,
                high=300,
                default=Estimate(0.0, 0.0),
            ),
            Question(
                name="load_arm_cm",
                words=_ARM.words,
                unit="cm",
                low=-100,
                high=200,
                default=Estimate(0.0, 0.0),
                measured=_ARM.measured,
            ),
        ),
        _low_back,
    ),
    Form(
        lever_arm.METHOD,
        (
            *_BODY,
            Question(name="load_kg", words="Weight of the load", unit="kg", low=0.1, high=300),
            _ARM,
            Question(
                name="closer_cm",
                words="How much closer the load is brought",
                unit="cm",
                low=1,
                high=100,
                default=Estimate(20.0, 0.0),
            ),
            Question(
                name="load_height_cm",
                words="Middle of the load above the low back, for the picture only",
                unit="cm",
                low=-150,
                high=150,
                default=Estimate(-25.0, 0.0),
                measured={"": "load_above_low_back"},
            ),
            Question(name="what", words="What the load is called", kind="words", default="load"),
        ),
        _lever_arm,
    ),
)
