"""What a report tells when much, little or nothing is known."""

from __future__ import annotations

import json
from dataclasses import replace

import msgspec
import numpy as np
import pytest
from support.trajectories import made, placed
from support.truth import read_truth

from cliptag.errors import MeasureError
from cliptag.measure import Camera, Estimate
from cliptag.measure.movement import MovementRecord, measure_movement, movement_json
from cliptag.measure.trajectories import Trajectories
from cliptag.review import MOMENTS_OF


def trajectories_of(clip: str, seed: int = 1) -> Trajectories:
    return placed(read_truth(clip), seed)


def only(whole: Trajectories, *names: str) -> Trajectories:
    return Trajectories(
        whole.times_us,
        {name: whole.points[name] for name in names},
        {name: whole.sd_px[name] for name in names},
        whole.camera,
        whole.facing,
    )


def without(whole: Trajectories, *names: str) -> Trajectories:
    return only(whole, *(name for name in whole.points if name not in names))


def test_every_moment_has_a_sentence_a_confidence_and_an_uncertainty():
    for clip, movement in (("lift_week01", "lift"), ("bend_week10", "bend"),
                           ("sit_to_stand_week10", "sit_to_stand")):  # fmt: skip
        report = measure_movement(trajectories_of(clip), movement)
        assert {p.name for p in report.proposals} == set(MOMENTS_OF[movement])
        for proposal in report.proposals:
            assert 0 <= proposal.confidence <= 1
            assert proposal.sd_us > 0
            assert proposal.reason.endswith(".")
            assert proposal.reason.count(". ") == 0


def test_a_mirrored_clip_with_the_other_facing_gives_the_same_report():
    whole = trajectories_of("lift_week10")
    width = 1080.0
    mirrored = Trajectories(
        whole.times_us,
        {n: np.stack([width - p[:, 0], p[:, 1]], 1) for n, p in whole.points.items()},
        whole.sd_px,
        rolled(whole.camera, upright_deg=-whole.camera.upright_deg.value),
        "right",
    )
    one, other = (measure_movement(t, "lift") for t in (whole, mirrored))
    for a, b in zip(one.proposals, other.proposals, strict=True):
        assert (a.name, a.confidence) == (b.name, b.confidence)
        assert abs(a.at_us - b.at_us) <= 1
    for a, b in zip(one.descriptors, other.descriptors, strict=True):
        assert b.value == pytest.approx(a.value, abs=1e-6)


def rolled(camera: Camera, upright_deg: float) -> Camera:
    return replace(camera, upright_deg=Estimate(upright_deg, camera.upright_deg.sd))


def test_any_subset_of_points_gives_what_it_can_and_says_what_is_missing():
    report = measure_movement(only(trajectories_of("bend_week01"), "hip", "shoulder"), "bend")
    assert {p.name for p in report.proposals} == {"start", "deepest", "back_up"}
    assert set(report.angles) == {"trunk_tilt"}
    assert "The point knee is not placed: place or track it first." in report.missing


def test_without_the_load_the_wrist_stands_in_with_less_confidence():
    whole = trajectories_of("lift_week01")
    with_load = measure_movement(whole, "lift")
    alone = measure_movement(without(whole, "load"), "lift")
    off = {r: next(p for p in r.proposals if p.name == "load_off") for r in (with_load, alone)}
    assert abs(off[alone].at_us - off[with_load].at_us) < 200_000
    assert off[alone].confidence < 0.55
    assert "wrist" in off[alone].reason
    assert not any(p.name == "grip" for p in alone.proposals)
    assert "Repetition 1: grip could not be found." in alone.missing


def test_a_movement_that_isnt_there_is_not_invented():
    standing = {
        name: np.tile(place, (90, 1)) + np.random.default_rng(k).normal(0, 1.2, (90, 2))
        for k, (name, place) in enumerate(
            {
                "shoulder": (520.0, 500.0),
                "hip": (500.0, 900.0),
                "knee": (505.0, 1230.0),
                "ankle": (500.0, 1560.0),
                "wrist": (540.0, 950.0),
                "load": (900.0, 1500.0),
            }.items()
        )
    }
    for movement in ("sit_to_stand", "bend", "lift"):
        report = measure_movement(made(standing), movement)
        assert report.repetitions == ()
        assert report.proposals == ()
        assert report.missing[0] == (
            "The movement was not found in the clip: no repetition is proposed."
        )


def test_without_the_points_it_is_read_from_nothing_is_proposed():
    report = measure_movement(only(trajectories_of("bend_week01"), "hip", "knee"), "bend")
    assert report.proposals == ()
    assert report.missing == ("The trunk tilt is not known: place or track its points first.",)


def test_standing_is_described_by_the_plumb_line_over_the_ankle():
    whole = trajectories_of("bend_week10")
    still = Trajectories(
        whole.times_us[:30], {n: p[:30] for n, p in whole.points.items()},
        {n: s[:30] for n, s in whole.sd_px.items()}, whole.camera, whole.facing,
    )  # fmt: skip
    report = measure_movement(still, "standing")
    names = {d.name for d in report.descriptors}
    assert {"ear_from_plumb", "shoulder_from_plumb", "hip_from_plumb"} <= names
    assert {d.repetition for d in report.descriptors} == {0}
    assert report.missing == ()


def test_a_gap_over_a_moment_is_not_bridged():
    whole = trajectories_of("lift_week10")
    points = {n: p.copy() for n, p in whole.points.items()}
    points["load"][80:110] = np.nan  # a second around its leaving the floor
    holed = Trajectories(whole.times_us, points, whole.sd_px, whole.camera, whole.facing)
    report = measure_movement(holed, "lift")
    off = [p for p in report.proposals if p.name == "load_off"]
    assert not off or off[0].confidence < 0.3
    assert np.isnan(report.displacements["load_up"].values[85:105]).all()


def test_lost_frames_here_and_there_change_little():
    whole = trajectories_of("sit_to_stand_week10")
    rng = np.random.default_rng(0)
    points = {}
    for name, places in whole.points.items():
        points[name] = places.copy()
        points[name][rng.random(len(places)) < 0.15] = np.nan
    holed = Trajectories(whole.times_us, points, whole.sd_px, whole.camera, whole.facing)
    one, other = (measure_movement(t, "sit_to_stand") for t in (whole, holed))
    assert [p.name for p in one.proposals] == [p.name for p in other.proposals]
    for a, b in zip(one.proposals, other.proposals, strict=True):
        if a.name != "settled":
            assert abs(a.at_us - b.at_us) < 50_000, a.name


def test_the_json_can_be_read_back_and_carries_the_caution():
    report = measure_movement(trajectories_of("sit_to_stand_week10"), "sit_to_stand")
    text = movement_json(report)
    plain = json.loads(text)
    assert plain["schema"] == "cliptag-movement/1"
    assert "not a medical diagnosis" in plain["caution"]
    assert len(plain["repetitions"]) == 2
    assert plain["how"]["cutoff_from"] == "residual analysis"
    assert len(plain["turned"]) == 2
    read = msgspec.json.decode(text, type=MovementRecord)
    assert read.repetitions[1].moments == report.repetitions[1].moments
    assert read.descriptors == report.descriptors
    assert "NaN" not in text


def test_sides_are_compared_where_both_are_placed():
    t = np.arange(90) / 30
    bend = np.radians(40 + 30 * np.sin(2 * t))
    points = {}
    for side, share in (("left_", 1.0), ("right_", 0.7)):
        knee = np.tile([500.0, 900.0], (90, 1))
        points[f"{side}knee"] = knee
        points[f"{side}ankle"] = knee + np.array([0.0, 350.0])
        way = np.stack([-np.sin(share * bend), -np.cos(share * bend)], 1)
        points[f"{side}hip"] = knee + 330 * way
    report = measure_movement(made(points, sd_px=0.5), "other")
    knee = next(s for s in report.sides if s.name == "knee_flexion")
    swing = report.angles["left_knee_flexion"].range.value
    assert knee.left.value == pytest.approx(swing)
    assert knee.difference.value == pytest.approx(-0.3 * swing, rel=0.01)
    assert knee.symmetry_percent.value == pytest.approx(-100 * 0.3 / 0.85, rel=0.01)
    assert knee.sentence.startswith("The left side moves")


def test_alike_sides_are_said_to_be_alike():
    bend = np.radians(40 + 30 * np.sin(np.arange(90) / 15))
    points = {}
    for k, side in enumerate(("left_", "right_")):
        knee = np.tile([500.0, 900.0], (90, 1))
        points[f"{side}knee"] = knee
        points[f"{side}ankle"] = knee + np.array([0.0, 350.0])
        points[f"{side}hip"] = knee + 330 * np.stack([-np.sin(bend), -np.cos(bend)], 1)
        rng = np.random.default_rng(k)
        points[f"{side}hip"] += rng.normal(0, 1, (90, 2))
    sides = measure_movement(made(points), "other").sides
    knee = next(s for s in sides if s.name == "knee_flexion")
    assert knee.sentence.startswith("Left and right move alike")


def test_one_frame_is_refused():
    with pytest.raises(MeasureError, match="One frame makes no movement"):
        measure_movement(made({"hip": np.zeros((1, 2))}), "bend")


def test_a_clip_in_which_nothing_is_known_is_no_bug():
    report = measure_movement(made({"hip": np.full((60, 2), np.nan)}), "bend")
    assert report.curves == {}
    assert report.missing
