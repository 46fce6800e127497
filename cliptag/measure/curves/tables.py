"""Curves as text for other programs: CSV and JSON, with units, conventions and uncertainty."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping
from typing import Final

import msgspec

from cliptag.measure.curves.curve import Curve, Peak
from cliptag.measure.curves.facts import Facts, facts_of, lines_of
from cliptag.measure.curves.smoothing import Smoothed
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats

SCHEMA: Final = "cliptag-curves/1"

_DECIMALS = 4


class CurveRecord(msgspec.Struct, frozen=True, kw_only=True):
    """One curve; ``values``, ``sd`` and ``rate`` run over the frames, null where unknown."""

    words: str
    unit: str
    convention: str
    values: list[float | None]
    sd: list[float | None]
    rate: list[float | None]
    rate_sd: list[float | None]
    range: Estimate
    highest: Peak
    lowest: Peak


class CurvesRecord(msgspec.Struct, frozen=True, kw_only=True):
    """All curves of a clip."""

    schema: str
    how: Facts
    times_us: list[int]
    curves: dict[str, CurveRecord]


def curves_record(smoothed: Smoothed, curves: Mapping[str, Curve]) -> CurvesRecord:
    """The curves as plain data, rounded to 4 decimals."""
    return CurvesRecord(
        schema=SCHEMA,
        how=facts_of(smoothed),
        times_us=smoothed.times_us.tolist(),
        curves={name: _record(curve) for name, curve in curves.items()},
    )


def curves_json(smoothed: Smoothed, curves: Mapping[str, Curve]) -> str:
    """The curves as JSON."""
    return msgspec.json.encode(curves_record(smoothed, curves)).decode()


def curves_csv(smoothed: Smoothed, curves: Mapping[str, Curve]) -> str:
    """The curves as CSV (RFC 4180) under lines that begin with '#'.

    Two columns of time, then for each curve its value and rate, each with its sd; empty where
    unknown. The rate of an angle is its angular velocity.
    """
    head = [f"# {line}" for line in lines_of(facts_of(smoothed))]
    head += [f"# {name} ({curve.unit}): {curve.convention}" for name, curve in curves.items()]
    text = io.StringIO()
    text.writelines(f"{line}\r\n" for line in head)
    table = csv.writer(text)
    names = ["time_us", "time_s"]
    for name, curve in curves.items():
        unit = curve.unit
        names += [f"{name} ({unit})", f"{name} sd ({unit})"]
        names += [f"{name} rate ({unit}/s)", f"{name} rate sd ({unit}/s)"]
    table.writerow(names)
    columns = [_cells(a) for c in curves.values() for a in (c.values, c.sd, c.rate, c.rate_sd)]
    for i, time_us in enumerate(smoothed.times_us.tolist()):
        table.writerow([time_us, f"{time_us / 1e6:.6f}", *(column[i] for column in columns)])
    return text.getvalue()


def _record(curve: Curve) -> CurveRecord:
    return CurveRecord(
        words=curve.words,
        unit=curve.unit,
        convention=curve.convention,
        values=_numbers(curve.values),
        sd=_numbers(curve.sd),
        rate=_numbers(curve.rate),
        rate_sd=_numbers(curve.rate_sd),
        range=curve.range,
        highest=curve.highest,
        lowest=curve.lowest,
    )


def _numbers(values: Floats) -> list[float | None]:
    return [round(v, _DECIMALS) if math.isfinite(v) else None for v in values.tolist()]


def _cells(values: Floats) -> list[str]:
    return [f"{v:.{_DECIMALS}f}" if math.isfinite(v) else "" for v in values.tolist()]
