"""Frames of one clip's colours brought to BT.709, and to the size and format that is wanted."""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, Interpolation, VideoReformatter

from cliptag.clip.colour import Colour
from cliptag.clip.tonemap import RGB10, ToneMap, needs_mapping

Size: TypeAlias = tuple[int, int]
"""(width, height) in pixels."""
Format: TypeAlias = Literal["rgb24", "yuv420p", "yuv444p"]

_BT709_RGB: Final = Colour("rgb", True, "bt709", "bt709")


class ColourConverter:
    """Converts frames by FFmpeg's scaler, and by a table of colours where tone mapping is due.

    Not thread-safe, and two must not work on the same frame at once: the scaler marks the frame
    while it reads it.
    """

    def __init__(self, colour: Colour) -> None:
        self._colour = colour
        self._is_mapped = needs_mapping(colour)
        self._tone_map: tuple[Size, ToneMap] | None = None
        self._before, self._after = VideoReformatter(), VideoReformatter()
        self._last: VideoFrame | None = None

    def convert(self, frame: VideoFrame, size: Size, pixel_format: Format) -> VideoFrame:
        """BT.709 in this size and format: full range as RGB, limited range as Y'CbCr."""
        colour = self._colour
        if self._is_mapped:
            wide = _reformat(self._before, frame, colour, size, RGB10)
            frame, colour = self._toned(wide, size), _BT709_RGB
        converted = _reformat(self._after, frame, colour, size, pixel_format)
        # Kept until the next one is there: else the C library may give the memory back to the
        # system each time, and getting it anew takes longer than the conversion.
        self._last = converted
        return converted

    def _toned(self, wide: VideoFrame, size: Size) -> VideoFrame:
        if self._tone_map is None or self._tone_map[0] != size:
            self._tone_map = size, ToneMap(self._colour, *size)
        return self._tone_map[1].apply(wide)


def _reformat(
    reformatter: VideoReformatter, frame: VideoFrame, colour: Colour, size: Size, pixel_format: str
) -> VideoFrame:
    is_scaled = (frame.width, frame.height) != size
    quality = Interpolation.BICUBIC if is_scaled else Interpolation.BILINEAR
    to_rgb = pixel_format in ("rgb24", RGB10)
    if is_scaled and to_rgb:
        # Otherwise colours have half the width's detail even where the picture is made smaller.
        quality |= Interpolation.FULL_CHR_H_INT
    return reformatter.reformat(
        frame,
        width=size[0],
        height=size[1],
        format=pixel_format,
        src_colorspace=colour.swscale_matrix,
        src_color_range=colour.swscale_range,
        dst_colorspace=None if to_rgb else Colorspace.ITU709,
        dst_color_range=ColorRange.JPEG if to_rgb else ColorRange.MPEG,
        interpolation=quality if to_rgb else quality | Interpolation.ACCURATE_RND,
    )
