"""Two clips as one: a clip whose pictures show both, on the pair's clock.

All that can be done with a clip can be done with it: it can be reviewed, exported and looked
through, by the same code.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Iterator
from contextlib import closing
from fractions import Fraction
from typing import Final

import cv2
import numpy as np
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, VideoReformatter
from numpy.typing import NDArray

from cliptag.clip import Clip, ClipInfo, Frame, PlanarFrame, SoundReader
from cliptag.export import FrameFeed, PlanarPatch, Planes, blend_into, patches_from_rgba
from cliptag.pairing.align import Alignment
from cliptag.pairing.placing import Similarity
from cliptag.pairing.sheet import Panel, Sheet
from cliptag.pairing.side import Side

Plane = NDArray[np.uint8]
_Three = tuple[Plane, Plane, Plane]

_GROUND: Final = (31, 130, 126)
"""The dark of the plates (#0D1216) as BT.709 in limited range: where a picture doesn't reach."""
_LEAST_TURN_DEG: Final = 0.03
"""A smaller turn moves no pixel of a 1920 px picture by more than half of one."""


class PairClip(Clip):
    """Both clips on one sheet. It owns neither of them: close them yourself.

    ``labels`` is a picture (H, W, 4) of the sheet's size, premultiplied RGBA, that lies over all
    of its pictures.
    """

    def __init__(
        self,
        sides: tuple[Side, Side],
        alignment: Alignment,
        sheet: Sheet,
        labels: Plane | None = None,
    ) -> None:
        self.path = sides[0].clip.path
        self.sheet: Final = sheet
        self.alignment: Final = alignment
        self._sides = sides
        self.times_us = alignment.times_us
        self.times_us.flags.writeable = False
        self.duration_us = alignment.duration_us
        self._indices = _indices(sides, alignment)
        self._patches = () if labels is None else patches_from_rgba(labels, 0, 0)
        self.info = _info(sides, alignment, sheet)

    @property
    def digest(self) -> str:
        """What both are known by together, and how they are put together."""
        about = [*(side.clip.digest for side in self._sides), repr(self.sheet)]
        seen = hashlib.blake2b("|".join(about).encode(), digest_size=16)
        seen.update(self._indices.tobytes())
        return seen.hexdigest()

    def indices(self, index: int) -> tuple[int, int]:
        """Which frames of both clips picture ``index`` shows."""
        return int(self._indices[index, 0]), int(self._indices[index, 1])

    def frame(self, index: int) -> Frame:
        self._check(index)
        return Frame(index, int(self.times_us[index]), lambda: self._rgb(index))

    def planes(
        self, first: int = 0, stop: int | None = None, *, size: tuple[int, int] | None = None
    ) -> Iterator[PlanarFrame]:
        return self._planes(first, self._check_range(first, stop, size), size)

    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        width = max(2, round(self.sheet.width * height / self.sheet.height))
        for index in np.unique(np.linspace(0, len(self) - 1, max(1, count)).round().astype(int)):
            if is_cancelled():
                return
            small = cv2.resize(
                self.frame(int(index)).rgb, (width, height), interpolation=cv2.INTER_AREA
            )
            yield Frame(int(index), int(self.times_us[index]), _given(np.asarray(small, np.uint8)))

    def sound(self) -> SoundReader | None:
        """None: of two voices at once neither would be understood."""
        return None

    def close(self) -> None:
        """Nothing to do: both clips stay open."""

    def _planes(self, first: int, stop: int, size: tuple[int, int] | None) -> Iterator[PlanarFrame]:
        painter = _SheetPainter(self._sides, self.sheet, self._patches)
        with closing(painter):
            for index in range(first, stop):
                planes = painter.paint(self.indices(index))
                y, u, v = planes.y, planes.u, planes.v
                if size is not None and size != (self.sheet.width, self.sheet.height):
                    half = size[0] // 2, size[1] // 2
                    y, u, v = _resized(y, size), _resized(u, half), _resized(v, half)
                yield PlanarFrame(index, int(self.times_us[index]), *map(_locked, (y, u, v)))

    def _rgb(self, index: int) -> Plane:
        with closing(_SheetPainter(self._sides, self.sheet, self._patches)) as painter:
            packed = painter.paint(self.indices(index)).packed
        frame = VideoFrame.from_ndarray(packed.reshape(-1, self.sheet.width), format="yuv420p")
        rgb = VideoReformatter().reformat(
            frame,
            format="rgb24",
            src_colorspace=Colorspace.ITU709,
            src_color_range=ColorRange.MPEG,
            dst_color_range=ColorRange.JPEG,
        )
        return _locked(np.asarray(rgb.to_ndarray(), np.uint8))


class _SheetPainter:
    """Puts pictures onto a sheet in order; a panel whose frame hasn't changed isn't made again."""

    def __init__(
        self, sides: tuple[Side, Side], sheet: Sheet, patches: tuple[PlanarPatch, ...]
    ) -> None:
        self._sheet = sheet
        self._patches = patches
        self._films = tuple(
            _PanelFilm(side, panel) for side, panel in zip(sides, sheet.panels, strict=True)
        )
        self._labelled = Planes(sheet.width, sheet.height)
        self._planes = Planes(sheet.width, sheet.height)
        for plane, value in zip(_three(self._planes), _GROUND, strict=True):
            plane[...] = value
        self._at: tuple[int, int] | None = None

    def paint(self, indices: tuple[int, int]) -> Planes:
        """The sheet with these frames of both; it is painted over by the next."""
        if indices == self._at:
            return self._labelled
        changed = [self._at is None or self._at[i] != indices[i] for i in (0, 1)]
        if self._sheet.layout == "over":
            self._lay_over(indices)
        else:
            for film, index, is_new in zip(self._films, indices, changed, strict=True):
                if is_new:
                    film.paste(self._planes, index)
        self._at = indices
        # Labels go onto a copy: what is blended twice gets darker.
        self._labelled.packed[...] = self._planes.packed
        for patch in self._patches:
            blend_into(self._labelled, patch)
        return self._labelled

    def close(self) -> None:
        for film in self._films:
            film.close()

    def _lay_over(self, indices: tuple[int, int]) -> None:
        """Both half seen through."""
        both = [film.picture(index) for film, index in zip(self._films, indices, strict=True)]
        for number, plane in enumerate(_three(self._planes)):
            cv2.addWeighted(both[0][number], 0.5, both[1][number], 0.5, 0, dst=plane)


class _PanelFilm:
    """One clip's pictures as its panel shows them, in order."""

    def __init__(self, side: Side, panel: Panel) -> None:
        self._panel = panel
        info = side.clip.info
        onto = panel.onto_sheet
        self._size = _even(info.width * onto.scale), _even(info.height * onto.scale)
        self._feed = FrameFeed(side.clip, self._size)
        # From the decoded size to the panel: what is left is a turn, a mirroring and a shift.
        shift = onto.shift - complex(panel.left, panel.top)
        self._rest = Similarity(onto.factor / onto.scale, shift, onto.is_mirrored)
        self._stretch = (
            onto.scale * info.width / self._size[0],
            onto.scale * info.height / self._size[1],
        )
        self._made: tuple[int, _Three] | None = None

    def picture(self, index: int) -> _Three:
        """The panel's planes; where the clip doesn't reach they are dark."""
        if self._made is None or self._made[0] != index:
            frame = self._feed.frame(index)
            planes = (frame.y, frame.u, frame.v)
            made = tuple(
                self._placed(plane, value, 1 if number == 0 else 2)
                for number, (plane, value) in enumerate(zip(planes, _GROUND, strict=True))
            )
            self._made = index, (made[0], made[1], made[2])
        return self._made[1]

    def paste(self, sheet: Planes, index: int) -> None:
        left, top = self._panel.left, self._panel.top
        for number, (plane, whole) in enumerate(
            zip(self.picture(index), _three(sheet), strict=True)
        ):
            part = 1 if number == 0 else 2
            height, width = plane.shape
            whole[top // part : top // part + height, left // part : left // part + width] = plane

    def close(self) -> None:
        self._feed.close()

    def _placed(self, plane: Plane, ground: int, part: int) -> Plane:
        size = self._panel.width // part, self._panel.height // part
        if abs(self._rest.turn_deg) < _LEAST_TURN_DEG:
            return self._shifted(plane, ground, part, size)
        cos, sin = self._rest.factor.real, self._rest.factor.imag
        side = -1.0 if self._rest.is_mirrored else 1.0
        sx, sy = self._stretch
        matrix = np.array(
            [
                [cos * side * sx, -sin * sy, self._rest.shift.real / part],
                [sin * side * sx, cos * sy, self._rest.shift.imag / part],
            ]
        )
        # Places count from a pixel's outer corner here, from its middle in OpenCV.
        matrix[:, 2] += matrix[:, :2] @ [0.5, 0.5] - 0.5
        turned = cv2.warpAffine(
            plane,
            matrix,
            size,
            flags=cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=(float(ground),),
        )
        return np.asarray(turned, np.uint8)

    def _shifted(self, plane: Plane, ground: int, part: int, size: tuple[int, int]) -> Plane:
        """Without a turn: moved by whole pixels (even ones of the luma), which loses nothing."""
        left = self._rest.shift.real - (self._size[0] if self._rest.is_mirrored else 0.0)
        x, y = (2 * round(at / 2) // part for at in (left, self._rest.shift.imag))
        source = plane[:, ::-1] if self._rest.is_mirrored else plane
        height, width = source.shape
        placed = np.full((size[1], size[0]), ground, np.uint8)
        x0, x1 = max(0, x), min(size[0], x + width)
        y0, y1 = max(0, y), min(size[1], y + height)
        if x1 > x0 and y1 > y0:
            placed[y0:y1, x0:x1] = source[y0 - y : y1 - y, x0 - x : x1 - x]
        return placed


def _indices(sides: tuple[Side, Side], alignment: Alignment) -> NDArray[np.int64]:
    """(N, 2) the frames of both that each picture of the pair shows."""
    both = (alignment.sides_at(int(t)) for t in alignment.times_us)
    found = [
        tuple(side.clip.index_at(max(0, at)) for side, at in zip(sides, pair, strict=True))
        for pair in both
    ]
    return np.array(found, np.int64)


def _info(sides: tuple[Side, Side], alignment: Alignment, sheet: Sheet) -> ClipInfo:
    count = len(alignment.times_us)
    is_photo = count == 1
    steps = np.diff(alignment.times_us)
    return ClipInfo(
        width=sheet.width,
        height=sheet.height,
        coded_width=sheet.width,
        coded_height=sheet.height,
        rotation_deg=0,
        is_mirrored=False,
        pixel_aspect=Fraction(1),
        codec="none",
        pixel_format="yuv420p",
        bit_depth=8,
        matrix="bt709",
        primaries="bt709",
        transfer="bt709",
        range="limited",
        hdr=None,
        frame_count=count,
        duration_us=alignment.duration_us,
        is_variable_rate=False,
        nominal_fps=0.0 if is_photo else round(1e6 / float(np.median(steps)), 3),
        has_sound=False,
        sound_codec=None,
        is_photo=is_photo,
        size_bytes=sum(side.clip.info.size_bytes for side in sides),
        has_location=False,
        recorded_at=None,
    )


def _three(planes: Planes) -> _Three:
    return planes.y, planes.u, planes.v


def _resized(plane: Plane, size: tuple[int, int]) -> Plane:
    return np.asarray(cv2.resize(plane, size, interpolation=cv2.INTER_AREA), np.uint8)


def _locked(plane: Plane) -> Plane:
    view = plane.view()
    view.flags.writeable = False
    return view


def _given(picture: Plane) -> Callable[[], Plane]:
    return lambda: picture


def _even(length: float) -> int:
    return max(2, math.ceil(length / 2 - 1e-6) * 2)
