"""From a decoded frame to what is displayed: RGB for a screen, 4:2:0 planes for an export."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from typing import Final, TypeAlias

import cv2
import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from cliptag.clip.colour import Colour
from cliptag.clip.convert import ColourConverter, Format, Size
from cliptag.clip.geometry import Geometry

Plane: TypeAlias = NDArray[np.uint8]

_PLANAR_420: Final = ("yuv420p", "yuvj420p")


@dataclass(frozen=True, slots=True, eq=False)
class PlanarFrame:
    """A displayed picture as 8-bit limited-range BT.709 4:2:0.

    ``y`` is (H, W), ``u`` and ``v`` (H/2, W/2), all uint8 and read-only; H and W are even. The
    planes may be views of the decoder's own memory, whose rows are further apart than W.
    """

    index: int
    time_us: int
    y: Plane
    u: Plane
    v: Plane


class Converter:
    """Turns decoded frames of one clip into displayed pictures. Thread-safe."""

    def __init__(self, geometry: Geometry, colour: Colour) -> None:
        self._geometry = geometry
        self._colour = colour
        self._lock = threading.Lock()  # FFmpeg's scaler marks the frame while it reads it
        self._colours = ColourConverter(colour)
        self._scratch: VideoFrame | None = (
            None  # fresh memory for each frame costs more than turning
        )

    def rgb(self, frame: VideoFrame, size: Size | None = None) -> Plane:
        """(H, W, 3) as displayed, sRGB-like BT.709, contiguous and read-only.

        ``size`` is (width, height); otherwise the displayed size.
        """
        with self._lock:
            picture = self._rgb(frame) if size is None else self._rgb_sized(frame, size)
        picture.flags.writeable = False
        return picture

    def planes(self, frame: VideoFrame, size: Size | None = None) -> tuple[Plane, Plane, Plane]:
        """(y, u, v) as displayed, see PlanarFrame; ``size`` is (width, height), both even."""
        displayed = self._geometry.displayed_size
        if size is None or size == even_size(*displayed):
            size = displayed
        with self._lock:
            planes = self._planes(frame, size)
        for plane in planes:
            plane.flags.writeable = False
        return planes

    def _rgb(self, frame: VideoFrame) -> Plane:
        orientation = self._geometry.orientation
        if self._turns_as_planes(frame):
            turned = self._turned(frame)
            return _rgb_of(self._colours.convert(turned, (turned.width, turned.height), "rgb24"))
        square = self._colours.convert(frame, self._geometry.square_size, "rgb24")
        return orientation.apply(_rgb_of(square))

    def _rgb_sized(self, frame: VideoFrame, size: Size) -> Plane:
        unturned = self._geometry.unturned(*size)
        return self._geometry.orientation.apply(
            _rgb_of(self._colours.convert(frame, unturned, "rgb24"))
        )

    def _turned(self, frame: VideoFrame) -> VideoFrame:
        if self._scratch is None:
            self._scratch = VideoFrame(*self._geometry.displayed_size, "yuv420p")
        for place, plane in zip(planes_of(self._scratch), planes_of(frame), strict=True):
            np.copyto(place, self._geometry.orientation.apply(plane))
        return self._scratch

    def _turns_as_planes(self, frame: VideoFrame) -> bool:
        # Turning 1.5 bytes a pixel before the conversion is several times faster than turning
        # 3 after it. With an odd side the chroma grid would shift by half a sample.
        return (
            not self._geometry.orientation.is_upright
            and frame.format.name in _PLANAR_420
            and (frame.width, frame.height) == self._geometry.square_size
            and frame.width % 2 == frame.height % 2 == 0
        )

    def _planes(self, frame: VideoFrame, size: Size) -> tuple[Plane, Plane, Plane]:
        orientation = self._geometry.orientation
        width, height = self._geometry.unturned(*size)
        is_odd = bool(width % 2 or height % 2)
        if not self._is_ready(frame, (width, height)):
            is_regrouped = is_odd and not orientation.is_upright
            wanted: Format = "yuv444p" if is_regrouped else "yuv420p"
            frame = self._colours.convert(frame, (width, height), wanted)
        y, u, v = (orientation.apply(plane) for plane in planes_of(frame))
        if is_odd:
            y = _pad_to_even(y)
            if frame.format.name == "yuv444p":
                u, v = _halve(_pad_to_even(u)), _halve(_pad_to_even(v))
        return y, u, v

    def _is_ready(self, frame: VideoFrame, size: Size) -> bool:
        """Whether the decoder's own planes are already what an export wants."""
        is_even = size[0] % 2 == size[1] % 2 == 0
        return (
            frame.format.name == "yuv420p"
            and (frame.width, frame.height) == size
            and self._colour.is_plain
            and (is_even or self._geometry.orientation.is_upright)
        )


def planes_of(frame: VideoFrame) -> list[Plane]:
    """The planes of an 8-bit planar frame as views of its memory."""
    return [
        _rows(frame, index, plane.width, plane.height) for index, plane in enumerate(frame.planes)
    ]


def _rows(frame: VideoFrame, index: int, width: int, height: int) -> Plane:
    plane = frame.planes[index]
    rows = np.frombuffer(memoryview(plane), np.uint8, height * plane.line_size)
    return rows.reshape(height, plane.line_size)[:, :width]


def _rgb_of(frame: VideoFrame) -> Plane:
    packed = _rows(frame, 0, 3 * frame.width, frame.height)
    return np.ascontiguousarray(packed).reshape(frame.height, frame.width, 3)


def even_size(width: int, height: int) -> Size:
    """The size rounded up to even numbers, as 4:2:0 needs."""
    return width + width % 2, height + height % 2


def _pad_to_even(plane: Plane) -> Plane:
    height, width = plane.shape
    return np.pad(plane, ((0, height % 2), (0, width % 2)), mode="edge")


def _halve(plane: Plane) -> Plane:
    height, width = plane.shape
    halved = cv2.resize(plane, (width // 2, height // 2), interpolation=cv2.INTER_AREA)
    return np.asarray(halved, np.uint8)
