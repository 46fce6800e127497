"""Reference values for standing up from a chair: five times, and for thirty seconds.

Sources: Bohannon RW, Percept Mot Skills 2006;103:215-222 (abstract read); Klukowska et al.,
Neurospine 2021;18(4) (abstract read); Guralnik et al., J Gerontol 1994;49:M85-94 (points from
memory, the cut-offs to a tenth of a second quoted in later papers); Rikli RE, Jones CJ, J Aging
Phys Act 1999;7:162-181 and the CDC's STEADI leaflet (quoted; usual ranges from 70 years on from
memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Final, Literal, TypeAlias, get_args

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, choice, estimate, number, shown, whole
from cliptag.measure.rounding import COVERAGE_FACTOR

FIVE_TIMES: Final = Method(
    key="five-times-sit-to-stand",
    name="Five times sit-to-stand",
    source="Bohannon, Percept Mot Skills 2006;103:215-222; under 60 years: Klukowska et al., "
    "Neurospine 2021;18(4); points: Guralnik et al., J Gerontol 1994;49:M85-94",
    known=(
        ("times by age", "read"),
        ("points of the short physical performance battery", "from memory"),
    ),
    inputs=("time for five rises", "age in years"),
    gives="whether the time is worse than average for the age; 0 to 4 points",
    limits=(
        "a firm chair of about 43 cm, arms folded, as fast as is safe",
        "one series of papers each, ages 18 to 89; stop at pain, dizziness or breathlessness",
    ),
    does_not_say="It does not say why someone is slow, and predicts nothing for one person.",
)
THIRTY_SECONDS: Final = Method(
    key="thirty-second-chair-stand",
    name="Thirty-second chair stand",
    source="Rikli, Jones, J Aging Phys Act 1999;7:162-181; CDC, STEADI, 30-Second Chair Stand",
    known=(
        ("below-average scores, counting rules, usual ranges up to 69 years", "quoted"),
        ("usual ranges from 70 years on", "from memory"),
    ),
    inputs=("number of stands", "age in years", "sex"),
    gives="whether the number is below average for age and sex",
    limits=(
        "a firm chair of about 43 cm (17 in), arms folded; a rise with the arms counts as 0",
        "ages 60 to 94; stop at pain, dizziness or breathlessness",
    ),
    does_not_say="It does not say why someone rises seldom, and predicts no fall for one person.",
)

Sex: TypeAlias = Literal["female", "male"]

_SLOWER_THAN_S: Final = ((60, 69, 11.4), (70, 79, 12.6), (80, 89, 14.8))
_UNDER_60_S: Final = 12.39
_BELOW: Final[Mapping[Sex, tuple[int, ...]]] = {
    "male": (14, 12, 12, 11, 10, 8, 7),
    "female": (12, 11, 10, 10, 9, 8, 4),
}
_USUAL: Final[Mapping[Sex, tuple[tuple[int, int], ...]]] = {
    "male": ((14, 19), (12, 18), (12, 17), (11, 17), (10, 15), (8, 14), (7, 12)),
    "female": ((12, 17), (11, 16), (10, 15), (10, 15), (9, 14), (8, 13), (4, 11)),
}


@dataclass(frozen=True, slots=True)
class FiveTimesResult:
    """A time against the limit for the age; ``slower`` is None where the uncertainty spans it."""

    time: Estimate
    age_years: int
    limit_s: float
    slower: bool | None

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        limit = f"the usual limit of {self.limit_s:g} s at {self.age_years} years"
        verdict = {
            True: f"slower than {limit}",
            False: f"within {limit}",
            None: f"as near to {limit} as the timing can tell",
        }[self.slower]
        return f"Five rises in {shown(self.time, 's')}: {verdict}. {GUIDE}"


def five_times(time_s: Measured, age_years: int) -> FiveTimesResult:
    """Compare the time for five rises.

    From 60 to 89 years the limit is Bohannon's (worse than average if exceeded); from 18 to 59 the
    upper limit of normal, 12.39 s, of 172 healthy adults of 39 ± 14 years (Klukowska). Raises
    MeasureError for other ages, for which there is no published value here.
    """
    time = estimate(time_s, "The time for five rises", 1.0, 300.0, "s")
    age = whole(age_years, "The age", 0, 120, "years")
    if not 18 <= age <= 89:
        raise MeasureError(
            f"There is no published time for five rises at {age} years here: compare with the "
            "client's own earlier times."
        )
    limit = next((limit for low, high, limit in _SLOWER_THAN_S if low <= age <= high), _UNDER_60_S)
    reach = COVERAGE_FACTOR * time.sd
    sides = {time.value + sign * reach > limit for sign in (-1, 1)}
    return FiveTimesResult(time, age, limit, sides.pop() if len(sides) == 1 else None)


def chair_stand_points(time_s: float | None) -> int:
    """The chair stand's 0 to 4 points of the short physical performance battery.

    ``None`` for five rises that could not be done. The battery's other two parts, balance and
    gait, are not measured here.
    """
    if time_s is None:
        return 0
    exact = Decimal(str(number(time_s, "The time for five rises", 1.0, 300.0, "s")))
    shown = exact.quantize(Decimal("0.01"), ROUND_HALF_UP)
    if shown > 60:
        return 0
    return 4 - sum(shown >= Decimal(limit) for limit in ("11.20", "13.70", "16.70"))


def counted_stands(full_stands: int, over_half_way: bool, used_arms: bool) -> int:
    """The number that counts: a rise over half way up at 30 s counts, and arms make it 0."""
    done = whole(full_stands, "The number of stands", 0, 60)
    return 0 if used_arms else done + over_half_way


@dataclass(frozen=True, slots=True)
class ThirtySecondsResult:
    """``below_average`` if under ``limit``; ``usual`` is the middle half of the people tested."""

    stands: int
    age_years: int
    sex: Sex
    limit: int
    usual: tuple[int, int]

    @property
    def below_average(self) -> bool:
        """Fewer than the limit for age and sex."""
        return self.stands < self.limit

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        verdict = "below average" if self.below_average else "not below average"
        people = "women" if self.sex == "female" else "men"
        return (
            f"{self.stands} stands in 30 s: {verdict} at {self.age_years} years (the middle half "
            f"of {people} of this age: {self.usual[0]} to {self.usual[1]}). {GUIDE}"
        )


def thirty_seconds(stands: int, age_years: int, sex: Sex) -> ThirtySecondsResult:
    """Compare a counted number of stands (see ``counted_stands``), 60 to 94 years."""
    choice(sex, "The sex", get_args(Sex))
    count = whole(stands, "The number of stands", 0, 60)
    age = whole(age_years, "The age", 0, 120, "years")
    if not 60 <= age <= 94:
        raise MeasureError(
            f"There is no published number of stands at {age} years here: compare with the "
            "client's own earlier counts."
        )
    band = (age - 60) // 5
    return ThirtySecondsResult(count, age, sex, _BELOW[sex][band], _USUAL[sex][band])
