"""The phone's camera: where a point of the movement plane lands on the picture.

The plane is seen square on, so cm become pixels by one scale; the phone may be rolled by a fixed
angle and may shake a little when it is held by hand. Both are known and written to the truth.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QTransform

from drawing.motion import sway


@dataclass(frozen=True)
class Shake:
    """How far the picture is moved at one instant: pixels right and down, degrees clockwise."""

    x: float = 0.0
    y: float = 0.0
    roll: float = 0.0


@dataclass(frozen=True)
class Camera:
    """``roll`` turns the picture clockwise by so many degrees; ``centre_x`` (cm) is in its middle
    and the floor of the movement plane lies ``floor`` px above its lower edge."""

    width: int
    height: int
    px_per_cm: float
    centre_x: float
    floor: float
    roll: float = 0.0
    handheld: bool = False

    @property
    def steady(self) -> Camera:
        """The same camera on a stand."""
        return replace(self, handheld=False)

    def shake_at(self, t: float) -> Shake:
        if not self.handheld:
            return Shake()
        return Shake(
            x=sway(t, ((3.1, 2.9, 0.1), (1.3, 0.83, 0.4), (0.5, 0.31, 0.7))),
            y=sway(t, ((2.4, 3.7, 0.6), (1.1, 0.71, 0.2), (0.5, 0.27, 0.9))),
            roll=sway(t, ((0.16, 3.3, 0.3), (0.06, 0.9, 0.8))),
        )

    def place(self, z: complex, t: float) -> complex:
        """Pixel (x right, y down) of a point (cm, x right, y up) of the movement plane."""
        shake = self.shake_at(t)
        middle = complex(self.width / 2, self.height / 2)
        level = complex(
            self.width / 2 + self.px_per_cm * (z.real - self.centre_x),
            self.height - self.floor - self.px_per_cm * z.imag,
        )
        angle = math.radians(self.roll + shake.roll)
        turned = (level - middle) * complex(math.cos(angle), math.sin(angle))
        return middle + turned + complex(shake.x, shake.y)

    def view(self, t: float, scale: float, margin: float = 0.0) -> QTransform:
        """The painter's transform from the plane to the picture, ``scale`` times its size."""
        origin, right, up = (self.place(z, t) for z in (0j, 1 + 0j, 1j))
        dx, dy = right - origin, up - origin
        origin += complex(margin, margin)
        return QTransform(
            scale * dx.real, scale * dx.imag, scale * dy.real, scale * dy.imag,
            scale * origin.real, scale * origin.imag,
        )  # fmt: skip

    def from_still(self, t: float, scale: float, margin: float) -> NDArray[np.float64]:
        """2 x 3 matrix for cv2 from a still, unshaken picture ``scale`` times as large and with a
        margin to the picture at ``t``."""
        inverse, _ = self.steady.view(0.0, scale, margin).inverted()
        both = inverse * self.view(t, 1.0)
        # cv2 counts pixel centres as whole numbers, Qt pixel corners.
        shift = complex(both.dx(), both.dy())
        half = 0.5 * complex(both.m11() + both.m21(), both.m12() + both.m22()) - complex(0.5, 0.5)
        shift += half
        return np.array(
            [[both.m11(), both.m21(), shift.real], [both.m12(), both.m22(), shift.imag]]
        )
