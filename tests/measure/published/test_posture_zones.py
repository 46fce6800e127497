"""Zones of EN 1005-4:2005+A1:2008, all from memory; the limits also quoted elsewhere."""

from __future__ import annotations

import pytest

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, posture_zone

MOVEMENTS = ("held", "under 2 a minute", "2 a minute or more")
# Part, angle, zone, then held / under 2 a minute / 2 a minute or more: yes, if, no.
TABLE = """
trunk forward  |   0 | 1 | yes yes yes
trunk forward  |  20 | 1 | yes yes yes
trunk forward  |  21 | 2 | if yes no
trunk forward  |  60 | 2 | if yes no
trunk forward  |  61 | 3 | no if no
trunk forward  |  -1 | 4 | if if no
trunk sideways |  10 | 1 | yes yes yes
trunk sideways |  11 | 2 | no if no
upper arm      |   0 | 1 | yes yes yes
upper arm      |  20 | 1 | yes yes yes
upper arm      |  21 | 2 | if yes if
upper arm      |  60 | 2 | if yes if
upper arm      |  61 | 3 | no if no
upper arm      |  -1 | 4 | no if no
line of sight  |   0 | 1 | yes yes yes
line of sight  | -40 | 1 | yes yes yes
line of sight  |   1 | 2 | no if no
line of sight  | -41 | 2 | no if no
"""
WORDS = {"yes": "acceptable", "if": "on a condition", "no": "not acceptable"}


@pytest.mark.parametrize("row", TABLE.strip().split("\n"))
def test_zone_and_acceptance(row):
    part, angle, zone, verdicts = (cell.strip() for cell in row.split("|"))
    for movement, verdict in zip(MOVEMENTS, verdicts.split(), strict=True):
        result = posture_zone(part, float(angle), movement)
        assert (result.zone, result.acceptance) == (int(zone), WORDS[verdict])
        assert bool(result.condition) == (verdict == "if")


def test_meaning_names_the_condition_and_the_doubt():
    result = posture_zone("trunk forward", Estimate(58.0, 2.0), "held")
    assert result.zones == (2, 3)
    assert "acceptable only with full support of the trunk" in result.meaning
    assert "near a limit" in result.meaning
    assert result.meaning.endswith(GUIDE)


def test_bad_input_is_refused():
    with pytest.raises(MeasureError, match="The part is 'knee'"):
        posture_zone("knee", 10.0, "held")
    with pytest.raises(MeasureError, match="The movement is 'often'"):
        posture_zone("upper arm", 10.0, "often")
    with pytest.raises(MeasureError, match=r"The angle \(trunk sideways\) is -5 degrees"):
        posture_zone("trunk sideways", -5.0, "held")
