"""The segment tables against the printed rows and against what must hold between them.

Sources: Winter 2009, Table 4.1 (Dempster); de Leva, J Biomech 1996;29:1223-1230, Table 4.
"""

from __future__ import annotations

import math

import pytest

from cliptag.measure.published.segments import DE_LEVA, DE_LEVA_LENGTHS, DEMPSTER

# Mass, centre from the proximal and from the distal end, radius of gyration about the centre, the
# proximal and the distal end.
WINTER = {
    "hand": (0.006, 0.506, 0.494, 0.297, 0.587, 0.577),
    "forearm": (0.016, 0.430, 0.570, 0.303, 0.526, 0.647),
    "upper arm": (0.028, 0.436, 0.564, 0.322, 0.542, 0.645),
    "forearm and hand": (0.022, 0.682, 0.318, 0.468, 0.827, 0.565),
    "arm": (0.050, 0.530, 0.470, 0.368, 0.645, 0.596),
    "foot": (0.0145, 0.50, 0.50, 0.475, 0.690, 0.690),
    "shank": (0.0465, 0.433, 0.567, 0.302, 0.528, 0.643),
    "thigh": (0.100, 0.433, 0.567, 0.323, 0.540, 0.653),
    "foot and shank": (0.061, 0.606, 0.394, 0.416, 0.735, 0.572),
    "leg": (0.161, 0.447, 0.553, 0.326, 0.560, 0.650),
    "head and neck": (0.081, 1.000, None, 0.495, 1.116, None),
    "thorax": (0.216, 0.82, 0.18, None, None, None),
    "abdomen": (0.139, 0.44, 0.56, None, None, None),
    "pelvis": (0.142, 0.105, 0.895, None, None, None),
    "trunk": (0.497, 0.50, 0.50, None, None, None),
    "trunk, head and neck": (0.578, 0.66, 0.34, 0.503, 0.830, 0.607),
    "head, arms and trunk": (0.678, 0.626, 0.374, 0.496, 0.798, 0.621),
    "thorax and abdomen": (0.355, 0.63, 0.37, None, None, None),
    "abdomen and pelvis": (0.281, 0.27, 0.73, None, None, None),
}

# Mass, centre, radius of gyration (transverse), men and then women.
LEVA = """
head                 .0694 .5976 .376  .0668 .5894 .359
trunk                .4346 .4486 .347  .4257 .4151 .339
upper trunk          .1596 .2999 .454  .1545 .2077 .502
middle trunk         .1633 .4502 .383  .1465 .4512 .354
lower trunk          .1117 .6115 .551  .1247 .4920 .402
upper arm            .0271 .5772 .269  .0255 .5754 .260
forearm              .0162 .4574 .265  .0138 .4559 .257
hand                 .0061 .7900 .513  .0056 .7474 .454
thigh                .1416 .4095 .329  .1478 .3612 .364
shank                .0433 .4395 .246  .0481 .4352 .263
foot                 .0137 .4415 .245  .0129 .4014 .279
head from C7         .0694 .5002 .315  .0668 .4841 .295
trunk from C7        .4346 .5138 .306  .4257 .4964 .292
trunk from shoulders .4346 .4310 .358  .4257 .3782 .361
"""


def test_dempsters_rows_are_winters():
    assert set(DEMPSTER) == set(WINTER)
    for name, (mass, proximal, distal, gyration, *_) in WINTER.items():
        segment = DEMPSTER[name]
        assert (segment.mass, segment.centre, segment.gyration) == (mass, proximal, gyration), name
        assert distal is None or segment.centre + distal == pytest.approx(1.0)


# The printed radii of the whole leg, and of the upper arm about the elbow, differ by more.
WITH_RADIUS = sorted(name for name, row in WINTER.items() if row[3] is not None and name != "leg")


@pytest.mark.parametrize("name", WITH_RADIUS)
def test_radii_of_gyration_obey_the_parallel_axis_theorem(name):
    _, proximal, distal, gyration, about_proximal, about_distal = WINTER[name]
    assert math.hypot(gyration, proximal) == pytest.approx(about_proximal, abs=0.0025)
    if about_distal is not None and name != "upper arm":
        assert math.hypot(gyration, distal) == pytest.approx(about_distal, abs=0.0025)


def test_dempsters_masses_add_up():
    mass = {name: segment.mass for name, segment in DEMPSTER.items()}
    assert mass["head, arms and trunk"] + 2 * mass["leg"] == pytest.approx(1.0)
    assert mass["head and neck"] + mass["trunk"] + 2 * mass["arm"] == pytest.approx(0.678)
    assert mass["thorax"] + mass["abdomen"] + mass["pelvis"] == pytest.approx(mass["trunk"])
    assert mass["thorax"] + mass["abdomen"] == pytest.approx(mass["thorax and abdomen"])
    assert mass["upper arm"] + mass["forearm and hand"] == pytest.approx(mass["arm"])
    assert mass["foot"] + mass["shank"] == pytest.approx(mass["foot and shank"])


def test_lower_limb_centre_of_mass_of_the_open_notebook():
    # Duarte, Watanabe: notes on scientific computing for biomechanics (BMC), body segment
    # parameters: joints in metres and the printed centres of mass.
    mt2, ankle, knee, hip = (1.011, 0.013), (0.849, 0.110), (0.864, 0.549), (0.721, 0.928)
    centres, masses = [], []
    for name, far, near in (("foot", mt2, ankle), ("shank", ankle, knee), ("thigh", knee, hip)):
        segment = DEMPSTER[name]
        centres.append([n + segment.centre * (f - n) for n, f in zip(near, far, strict=True)])
        masses.append(segment.mass)
    printed = [(0.930, 0.062), (0.858, 0.359), (0.783, 0.764)]
    assert centres == [pytest.approx(one, abs=0.0006) for one in printed]
    whole = [
        sum(m * c[axis] for m, c in zip(masses, centres, strict=True)) / sum(masses)
        for axis in (0, 1)
    ]
    assert whole == pytest.approx([0.817707, 0.583668], abs=1e-6)


def test_de_levas_rows():
    rows = [line.rsplit(maxsplit=6) for line in LEVA.strip().split("\n")]
    assert {name.strip() for name, *_ in rows} == set(DE_LEVA["male"]) == set(DE_LEVA["female"])
    for name, *numbers in rows:
        values = [float(number) for number in numbers]
        for sex, row in (("male", values[:3]), ("female", values[3:])):
            segment = DE_LEVA[sex][name.strip()]
            assert [segment.mass, segment.centre, segment.gyration] == row, (sex, name)


@pytest.mark.parametrize(("sex", "whole"), [("male", 1.0000), ("female", 0.9999)])
def test_de_levas_masses_add_up(sex, whole):
    mass = {name: segment.mass for name, segment in DE_LEVA[sex].items()}
    limbs = ("upper arm", "forearm", "hand", "thigh", "shank", "foot")
    total = mass["head"] + mass["trunk"] + 2 * sum(mass[limb] for limb in limbs)
    assert total == pytest.approx(whole, abs=1e-9)
    parts = mass["upper trunk"] + mass["middle trunk"] + mass["lower trunk"]
    assert parts == pytest.approx(mass["trunk"], abs=1e-9)


@pytest.mark.parametrize("sex", ["male", "female"])
def test_lengths_agree_with_the_centres_given_from_different_ends(sex):
    part, length = DE_LEVA[sex], DE_LEVA_LENGTHS[sex]
    # The trunk's centre of mass lies at one height above the mid-hip, however the trunk is cut.
    heights = [
        (1 - part["trunk"].centre) * length.trunk,
        (1 - part["trunk from C7"].centre) * length.trunk_from_c7,
        (1 - part["trunk from shoulders"].centre) * length.trunk_from_shoulders,
    ]
    assert heights == pytest.approx([heights[0]] * 3, abs=0.1)
    # And the head's at one depth below the vertex.
    assert part["head"].centre * length.head == pytest.approx(
        part["head from C7"].centre * length.head_from_c7, abs=0.1
    )
    assert length.upper_trunk + length.middle_trunk + length.lower_trunk == pytest.approx(
        length.trunk
    )
