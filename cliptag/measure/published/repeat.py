"""How far repeated measurements of the same thing lie apart.

Sources: Bland JM, Altman DG, Lancet 1986;i:307-310 (limits of agreement, repeatability; from
memory); Weir JP, J Strength Cond Res 2005;19:231-240 and de Vet HCW et al., J Clin Epidemiol
2006;59:1033-1039 (standard error of measurement, smallest detectable change; quoted).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import MeasureError
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import number

METHOD: Final = Method(
    key="repeat-measurement",
    name="Standard error of measurement and smallest detectable change",
    source="Bland, Altman, Lancet 1986;i:307-310; Weir, J Strength Cond Res 2005;19:231-240; de "
    "Vet et al., J Clin Epidemiol 2006;59:1033-1039; Shrout, Fleiss, Psychol Bull 1979;86:420-428",
    known=(
        ("SEM and smallest detectable change", "quoted"),
        ("limits of agreement, intraclass correlation", "from memory"),
    ),
    inputs=("the same thing measured twice or more, on several occasions or by several people",),
    gives="SEM, smallest detectable change, limits of agreement, intraclass correlation",
    limits=(
        "errors of about the same size throughout the range, and no learning between repeats",
        "few repeats give a rough SEM: ten pairs leave it uncertain by about a quarter",
    ),
    does_not_say="A change larger than the smallest detectable one is real, not yet important.",
)

Z_95: Final = 1.96
Z_90: Final = 1.645


def sem_from_pairs(first: Sequence[float], second: Sequence[float]) -> float:
    """Standard error of measurement from pairs: SD of the differences / sqrt(2)."""
    return float(np.std(_differences(first, second), ddof=1)) / math.sqrt(2)


def sem_from_reliability(sd: float, icc: float) -> float:
    """SEM = SD sqrt(1 - ICC), from the spread between people and an intraclass correlation."""
    spread = number(sd, "The standard deviation", 0.0, math.inf)
    return spread * math.sqrt(1 - number(icc, "The intraclass correlation", 0.0, 1.0))


def sem_from_repeats(repeats: Sequence[Sequence[float]]) -> float:
    """SEM from two or more repeats of several things: root of the mean variance within each.

    The repeats may differ in number; their degrees of freedom are the weights.
    """
    groups = [_finite(group, "a repeat") for group in repeats]
    freedom = sum(len(group) - 1 for group in groups)
    if not groups or min(len(group) for group in groups) < 2:
        raise MeasureError("Each thing needs at least two repeats: measure again.")
    within = sum(float(((group - group.mean()) ** 2).sum()) for group in groups)
    return math.sqrt(within / freedom)


def smallest_detectable_change(sem: float) -> float:
    """SDC95 = 1.96 sqrt(2) SEM: changes of one person below it may be measuring error alone."""
    return Z_95 * math.sqrt(2) * number(sem, "The SEM", 0.0, math.inf)


def minimal_detectable_change_90(sem: float) -> float:
    """MDC90 = 1.645 sqrt(2) SEM: the same with nine chances in ten."""
    return Z_90 * math.sqrt(2) * number(sem, "The SEM", 0.0, math.inf)


def repeatability(first: Sequence[float], second: Sequence[float]) -> float:
    """Coefficient of repeatability: twice the root mean square of the differences (Bland, Altman).

    The mean difference of two readings by the same method is taken to be nothing.
    """
    return 2.0 * float(np.sqrt(np.mean(_differences(first, second) ** 2)))


@dataclass(frozen=True, slots=True)
class Agreement:
    """Limits of agreement of two methods: mean difference (first less second) ± k SD."""

    mean: float
    sd: float
    low: float
    high: float
    k: float

    def meaning(self, unit: str) -> str:
        """The limits in plain words, with the unit of the measured thing."""
        return (
            f"One reading is expected {self.low:.1f} to {self.high:.1f} {unit} from the other in "
            f"about 95 of 100 pairs. {GUIDE}"
        )


def limits_of_agreement(
    first: Sequence[float], second: Sequence[float], k: float = Z_95
) -> Agreement:
    """Bland and Altman's limits. The paper of 1986 takes ``k`` = 2, later texts 1.96."""
    factor = number(k, "The factor k", 0.5, 5.0)
    differences = _differences(first, second)
    mean, sd = float(differences.mean()), float(differences.std(ddof=1))
    return Agreement(mean, sd, mean - factor * sd, mean + factor * sd, factor)


def change_meaning(change: float, sem: float, unit: str) -> str:
    """Whether one person's change is larger than measuring error, in plain words."""
    size = abs(number(change, "The change", -math.inf, math.inf))
    detectable = smallest_detectable_change(sem)
    beyond = size > detectable
    verdict = "is more than measuring error" if beyond else "may be measuring error alone"
    return (
        f"A change of {size:.1f} {unit} {verdict}: the smallest detectable change is "
        f"{detectable:.1f} {unit}. {GUIDE}"
    )


def _differences(first: Sequence[float], second: Sequence[float]) -> NDArray[np.float64]:
    a, b = _finite(first, "the first readings"), _finite(second, "the second readings")
    if len(a) != len(b):
        raise MeasureError(
            f"There are {len(a)} first and {len(b)} second readings: give them in pairs."
        )
    if len(a) < 2:
        raise MeasureError("One pair tells nothing of the spread: measure at least two.")
    return a - b


def _finite(values: Sequence[float], what: str) -> NDArray[np.float64]:
    array = np.asarray(values, dtype=np.float64)
    if array.ndim != 1 or not np.isfinite(array).all():
        raise MeasureError(f"There is something other than numbers in {what}: leave it out.")
    return array
