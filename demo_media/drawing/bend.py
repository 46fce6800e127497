"""Bending to a low shelf for a billet: in week 1 from the back, in week 10 from the hips."""

from __future__ import annotations

from functools import cached_property

from drawing.fetch import Fetch, Thing
from drawing.motion import track
from drawing.movement import first_crossing

_BILLET = Thing(centre=complex(47.0, 44.0), handle=complex(47.0, 44.0), mass=0.01, lean=28.0)


class Bend(Fetch):
    """A fetch whose moments are those of bending."""

    @cached_property
    def moments(self) -> dict[str, float]:
        trunk = self.trunk.at
        end = self.length
        turning = max((i / 1000 for i in range(int(end * 1000))), key=trunk)
        return {
            "start": first_crossing(lambda t: trunk(t) - trunk(0.0) - 1.0, 0.0, end),
            "deepest": turning,
            "back_up": first_crossing(lambda t: trunk(end) + 1.0 - trunk(t), turning, end),
        }


WEEK_1 = Bend(
    thing=_BILLET,
    grip=1.68,
    load_off=2.0,
    knee=track(5.0, (0.1, 1.3, 8.0), (2.0, 3.3, 4.0)),
    trunk=track(3.0, (0.0, 1.80, 70.0), (1.78, 3.55, 1.5), (3.5, 4.1, 3.0)),
    lumbar=track(4.0, (0.0, 1.3, 44.0), (2.1, 3.6, 4.0)),
    thoracic=track(11.0, (0.0, 1.4, 30.0), (2.0, 3.5, 11.0)),
    neck=track(36.0, (0.05, 1.45, 104.0), (1.85, 3.5, 36.0)),
    pitch=track(-2.0, (0.1, 1.4, 58.0), (1.9, 3.4, -2.0)),
    protraction=track(0.0, (0.3, 1.5, 3.0), (2.0, 3.2, 0.0)),
    over=track(3.0, (0.1, 1.5, 6.5), (2.0, 3.6, 3.5)),
    carry=complex(15.0, -42.0),
    carry_time=(2.05, 3.8),
    hand_goal=158.0,
    length=4.2,
)

WEEK_10 = Bend(
    thing=_BILLET,
    grip=1.90,
    load_off=2.2,
    knee=track(4.0, (0.15, 1.65, 52.0), (2.1, 3.5, 4.0)),
    trunk=track(1.5, (0.0, 2.00, 62.0), (1.98, 3.75, 1.5)),
    lumbar=track(0.0, (0.2, 1.6, 8.0), (2.2, 3.6, 0.0)),
    thoracic=track(2.0),
    neck=track(13.0, (0.05, 1.65, 74.0), (2.1, 3.7, 13.0)),
    pitch=track(2.0, (0.1, 1.6, 46.0), (2.1, 3.6, 2.0)),
    protraction=track(0.0, (0.4, 1.7, 2.0), (2.2, 3.4, 0.0)),
    over=track(3.0, (0.2, 1.6, 5.0), (2.2, 3.7, 3.2)),
    carry=complex(15.0, -42.0),
    carry_time=(2.25, 3.8),
    hand_goal=158.0,
    length=4.0,
)
