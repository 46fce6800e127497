"""Intraclass correlation: how much of the spread is between the things measured, not the measuring.

Source: Shrout PE, Fleiss JL. Intraclass correlations: uses in assessing rater reliability. Psychol
Bull 1979;86:420-428 (formulas and example from memory; the same numbers come from the statistics
package that the tests compare with).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cliptag.errors import MeasureError


@dataclass(frozen=True, slots=True, kw_only=True)
class Intraclass:
    """Shrout and Fleiss's six forms and the mean squares they come from.

    ``one_way``: (1,1), each thing measured by other raters. ``absolute``: (2,1), a sample of
    raters, their differences count. ``consistent``: (3,1), these raters only, constant differences
    don't count. ``_mean``: of the mean of all k raters, (1,k), (2,k), (3,k).
    """

    between: float
    raters: float
    within: float
    error: float
    one_way: float
    absolute: float
    consistent: float
    one_way_mean: float
    absolute_mean: float
    consistent_mean: float


def intraclass(ratings: Sequence[Sequence[float]]) -> Intraclass:
    """All six forms from a full table: a row for each thing measured, a column for each rater.

    Raises MeasureError for gaps, fewer than two rows or columns, or things that don't differ.
    """
    lengths = {len(row) for row in ratings}
    if len(lengths) != 1 or len(ratings) < 2 or min(lengths) < 2:
        raise MeasureError(
            "Intraclass correlation needs two or more things, each measured by the same two or "
            "more raters: fill the gaps or leave the row out."
        )
    table = np.asarray(ratings, dtype=np.float64)
    if not np.isfinite(table).all():
        raise MeasureError("There is something other than numbers in the table: leave the row out.")
    n, k = table.shape
    mean = table.mean()
    rows, columns = table.mean(axis=1), table.mean(axis=0)
    between = k * float(((rows - mean) ** 2).sum()) / (n - 1)
    raters = n * float(((columns - mean) ** 2).sum()) / (k - 1)
    within = float(((table - rows[:, None]) ** 2).sum()) / (n * (k - 1))
    residual = table - rows[:, None] - columns[None, :] + mean
    error = float((residual**2).sum()) / ((n - 1) * (k - 1))
    if between == 0:
        raise MeasureError("All things measured are alike: nothing can be said of reliability.")
    return Intraclass(
        between=between,
        raters=raters,
        within=within,
        error=error,
        one_way=(between - within) / (between + (k - 1) * within),
        absolute=(between - error) / (between + (k - 1) * error + k * (raters - error) / n),
        consistent=(between - error) / (between + (k - 1) * error),
        one_way_mean=(between - within) / between,
        absolute_mean=(between - error) / (between + (raters - error) / n),
        consistent_mean=(between - error) / between,
    )
