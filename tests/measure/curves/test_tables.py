"""Curves as CSV, JSON and TRC, read back by programs that know nothing of ours."""

from __future__ import annotations

import csv
import io
import json

import numpy as np
import pytest
import trc as trc_data_reader
from support.trajectories import made

from cliptag.errors import MeasureError
from cliptag.measure.curves import (
    Level,
    angle_curves,
    curves_csv,
    curves_json,
    smooth,
    trc_text,
)

COUNT = 60


def level(px_per_cm: float | None = 8.0, **options) -> Level:
    t = np.linspace(0, 2, COUNT)
    shoulder = np.stack([500 + 90 * np.sin(2 * t), 400 + 30 * t], 1)
    lost = shoulder.copy()
    lost[20:40] = np.nan
    points = {"hip": np.full((COUNT, 2), 700.0), "shoulder": lost, "left shoulder tip": shoulder}
    return Level(smooth(made(points, px_per_cm=px_per_cm, **options), 6.0))


def test_the_csv_is_read_back_by_pythons_own_reader():
    there = level()
    curves = angle_curves(there)
    text = curves_csv(there.smoothed, curves)
    head = [line for line in text.split("\r\n") if line.startswith("#")]
    rows = list(csv.DictReader(io.StringIO(text[text.index("time_us,") :], newline="")))
    assert len(rows) == COUNT
    curve = curves["trunk_tilt"]
    for i, row in enumerate(rows):
        assert int(row["time_us"]) == there.trajectories.times_us[i]
        for column, values in (("", curve.values), (" sd", curve.sd)):
            cell = row[f"trunk_tilt{column} (°)"]
            if np.isnan(values[i]):
                assert cell == ""
            else:
                assert float(cell) == pytest.approx(values[i], abs=1e-4)
        assert (row["trunk_tilt rate (°/s)"] == "") == np.isnan(curve.rate[i])
    said = "\n".join(head)
    for fact in (
        "cutoff_hz: 6.0", "cutoff_from: set by hand", "longest_gap_us: 200000", "px_per_cm: 8.0",
        "k = 1", "facing: right", "trunk_tilt (°): Line hip-shoulder from the true vertical",
    ):  # fmt: skip
        assert fact in said


def test_the_json_holds_the_same_with_null_for_unknown():
    there = level(None)
    curve = angle_curves(there)["trunk_tilt"]
    found = json.loads(curves_json(there.smoothed, angle_curves(there)))
    assert found["schema"] == "cliptag-curves/1"
    assert found["how"]["px_per_cm"] is None
    one = found["curves"]["trunk_tilt"]
    values = np.array([np.nan if v is None else v for v in one["values"]])
    np.testing.assert_allclose(values, curve.values, atol=1e-4)
    assert one["unit"] == "°"
    assert one["highest"]["at_us"] == curve.highest.at_us
    assert one["range"]["value"] == pytest.approx(curve.range.value)


@pytest.mark.parametrize("facing", ["right", "left"])
def test_the_trc_file_is_read_back_by_an_independent_reader(tmp_path, facing):
    # trc-data-reader on PyPI, which also checks the counts in the file's head.
    there = level(facing=facing)
    file = tmp_path / "lift.trc"
    file.write_text(trc_text(there, file.name), encoding="utf-8")
    data = trc_data_reader.TRCData()
    data.load(str(file))
    assert data["Units"] == "mm"
    assert data["NumFrames"] == COUNT
    assert data["DataRate"] == pytest.approx(30.0, abs=0.01)
    assert data["Markers"] == ["hip", "shoulder", "left_shoulder_tip"]
    np.testing.assert_allclose(data["Time"], there.trajectories.times_us / 1e6, atol=1e-3)
    shoulder = np.array(data["shoulder"])
    np.testing.assert_array_equal(
        np.isnan(shoulder[:, 0]), np.isin(np.arange(COUNT), range(20, 40))
    )
    # From the hip's first place, forward and up, 8 px to the cm.
    sense = 1 if facing == "right" else -1
    known = there.smoothed.points["shoulder"].places
    np.testing.assert_allclose(shoulder[:, 0], sense * (known[:, 0] - 700) * 10 / 8, atol=0.01)
    np.testing.assert_allclose(shoulder[:, 1], (700 - known[:, 1]) * 10 / 8, atol=0.01)
    assert np.nanmax(np.abs(shoulder[:, 2])) == 0


def test_the_trc_file_of_uneven_frames_has_even_times():
    times = np.cumsum(np.random.default_rng(0).choice([30_000, 33_333, 66_000], COUNT)) - 1
    there = level(times_us=times)
    lines = trc_text(there, "x.trc").splitlines()
    at = np.array([float(line.split("\t")[1]) for line in lines[6:]])
    np.testing.assert_allclose(np.diff(at), 1 / there.trajectories.rate_hz, atol=2e-6)
    assert at[-1] <= (times[-1] - times[0]) / 1e6 + 0.02


def test_a_trc_file_without_a_scale_is_refused_with_a_sentence():
    with pytest.raises(MeasureError, match="no scale: mark a known length"):
        trc_text(level(None), "x.trc")
