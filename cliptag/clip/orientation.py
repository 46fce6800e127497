"""How a coded picture is turned and mirrored to be displayed: the eight orientations."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Orientation:
    """Displayed = coded, rows and columns exchanged if ``transpose``, then flipped."""

    transpose: bool = False
    flip_x: bool = False
    flip_y: bool = False

    @property
    def is_upright(self) -> bool:
        return self == UPRIGHT

    @property
    def is_mirrored(self) -> bool:
        """Whether the displayed picture is a mirror image of the coded one."""
        return self.transpose ^ self.flip_x ^ self.flip_y

    @property
    def rotation_deg(self) -> int:
        """The clockwise turn that displays the picture, after a left-right mirroring if any."""
        if self.transpose:
            return 90 if self.flip_x else 270
        return 180 if self.flip_y else 0

    def size(self, width: int, height: int) -> tuple[int, int]:
        """Displayed (width, height) of a coded picture of this size."""
        return (height, width) if self.transpose else (width, height)

    def apply(self, picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """A coded picture (H, W) or (H, W, channels) as displayed; the same array if upright."""
        turned: object = picture
        if self.transpose and self.flip_x != self.flip_y:
            clockwise = cv2.ROTATE_90_CLOCKWISE, cv2.ROTATE_90_COUNTERCLOCKWISE
            turned = cv2.rotate(picture, clockwise[self.flip_y])
        elif self.transpose:
            turned = cv2.transpose(picture)
            if self.flip_x:
                turned = cv2.flip(turned, -1)
        elif not self.is_upright:
            turned = cv2.flip(picture, -1 if self.flip_x and self.flip_y else int(self.flip_x))
        return np.asarray(turned, np.uint8)


UPRIGHT: Final = Orientation()


def orientation_of_matrix(matrix: bytes) -> Orientation:
    """Orientation of a display matrix: nine native 32-bit numbers in 16.16 (2.30) fixed point.

    A coded place (x, y) is displayed at (a x + c y + tx, b x + d y + ty), where the matrix reads
    a b u / c d v / tx ty w (ISO/IEC 14496-12, 6.2.2; FFmpeg's libavutil/display.h). Only the
    signs count: a turn that isn't a multiple of 90° is shown as the nearest one that is.
    """
    if len(matrix) < 36:
        return UPRIGHT
    a, b, _, c, d = (int(value) for value in np.frombuffer(matrix, np.int32)[:5])
    if abs(b) + abs(c) > abs(a) + abs(d):
        return Orientation(transpose=True, flip_x=c < 0, flip_y=b < 0)
    return Orientation(flip_x=a < 0, flip_y=d < 0)


def orientation_of_exif(value: int) -> Orientation:
    """Orientation of an EXIF ``Orientation`` value, 1 to 8 (CIPA DC-008, tag 0x0112)."""
    return _EXIF.get(value, UPRIGHT)


_EXIF: Final = {
    2: Orientation(flip_x=True),
    3: Orientation(flip_x=True, flip_y=True),
    4: Orientation(flip_y=True),
    5: Orientation(transpose=True),
    6: Orientation(transpose=True, flip_x=True),
    7: Orientation(transpose=True, flip_x=True, flip_y=True),
    8: Orientation(transpose=True, flip_y=True),
}
