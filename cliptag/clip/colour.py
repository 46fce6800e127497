"""What a picture's numbers mean: matrix, range, primaries and transfer, told or assumed.

What a file doesn't tell is assumed as players do: BT.709 for a picture whose short side has 720
lines or more, BT.601 below (common practice), limited range unless the pixel format is a
full-range one. Numbers are those of ITU-T H.273, tables 2 to 4.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace

Hdr = Literal["hlg", "pq"]

_MATRICES: Final = {
    0: "rgb",
    1: "bt709",
    4: "fcc",
    5: "bt601",
    6: "bt601",
    7: "smpte240m",
    8: "ycgco",
    9: "bt2020",
    10: "bt2020",
}
_PRIMARIES: Final = {
    1: "bt709",
    4: "bt470m",
    5: "bt470bg",
    6: "smpte170m",
    7: "smpte240m",
    8: "film",
    9: "bt2020",
    10: "smpte428",
    11: "dci-p3",
    12: "display-p3",
    22: "ebu3213",
}
_TRANSFERS: Final = {
    1: "bt709",
    4: "gamma22",
    5: "gamma28",
    6: "bt601",
    7: "smpte240m",
    8: "linear",
    11: "xvycc",
    13: "srgb",
    14: "bt2020-10",
    15: "bt2020-12",
    16: "pq",
    17: "smpte428",
    18: "hlg",
}
_SWSCALE_MATRICES: Final = {
    "bt709": Colorspace.ITU709,
    "bt601": Colorspace.SMPTE170M,
    "fcc": Colorspace.FCC,
    "smpte240m": Colorspace.SMPTE240M,
    "bt2020": Colorspace.BT2020,
}
_FULL_RANGE: Final = 2
WIDE_PRIMARIES: Final = ("bt2020", "display-p3")
"""Primaries whose colours look pale when they are taken for BT.709's."""
_HD_LINES: Final = 720


@dataclass(frozen=True, slots=True)
class Colour:
    """How to read a picture's numbers as light."""

    matrix: str
    is_full_range: bool
    primaries: str
    transfer: str

    @property
    def hdr(self) -> Hdr | None:
        """The high-dynamic-range transfer curve (ITU-R BT.2100), if it is one."""
        if self.transfer == "hlg":
            return "hlg"
        return "pq" if self.transfer == "pq" else None

    @property
    def is_plain(self) -> bool:
        """Whether an export may take the numbers as they are: limited-range BT.709."""
        is_wide = self.hdr is not None or self.primaries in WIDE_PRIMARIES
        return self.matrix == "bt709" and not self.is_full_range and not is_wide

    @property
    def range_name(self) -> str:
        return "full" if self.is_full_range else "limited"

    @property
    def swscale_matrix(self) -> Colorspace:
        return _SWSCALE_MATRICES.get(self.matrix, Colorspace.ITU709)

    @property
    def swscale_range(self) -> ColorRange:
        return ColorRange.JPEG if self.is_full_range else ColorRange.MPEG


def colour_of(frame: VideoFrame) -> Colour:
    """What the frame tells of its colour, completed by what is usual for its size."""
    assumed = "bt709" if min(frame.width, frame.height) >= _HD_LINES else "bt601"
    is_rgb = frame.format.is_rgb
    return Colour(
        matrix="rgb" if is_rgb else _MATRICES.get(int(frame.colorspace), assumed),
        is_full_range=is_rgb
        or int(frame.color_range) == _FULL_RANGE
        or frame.format.name.startswith("yuvj"),
        primaries=_PRIMARIES.get(int(frame.color_primaries), "bt709"),
        transfer=_TRANSFERS.get(int(frame.color_trc), "bt709"),
    )
