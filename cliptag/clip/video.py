"""A video opened for exact reading."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import cast

from av.container import InputContainer
from av.sidedata.sidedata import SideData
from av.sidedata.sidedata import Type as SideDataType
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from cliptag.clip.clip import Clip
from cliptag.clip.colour import Colour, colour_of
from cliptag.clip.convert import Size
from cliptag.clip.decoder import Decoder
from cliptag.clip.frame import Frame
from cliptag.clip.geometry import Geometry
from cliptag.clip.index import FrameIndex
from cliptag.clip.index_store import keep_index, load_index
from cliptag.clip.info import ClipInfo, is_variable_rate, nominal_fps
from cliptag.clip.orientation import UPRIGHT, orientation_of_matrix
from cliptag.clip.picture import Converter, PlanarFrame
from cliptag.clip.reader import FrameReader
from cliptag.clip.scan import build_index
from cliptag.clip.sound import SoundReader, pick_sound
from cliptag.clip.source import open_container, pick_video
from cliptag.clip.thumbnails import video_thumbnails


class VideoClip(Clip):
    """A video file."""

    def __init__(self, path: Path, cache_bytes: int) -> None:
        self.path = path
        self._index = _index_of(path, self.digest)
        self.times_us = self._index.times_us
        self.duration_us = self._index.duration_us
        decoder = Decoder(path, self._index)
        try:
            first = decoder.decode(0)
            self._geometry = _geometry(first, decoder.pixel_aspect)
            self._colour = colour_of(first)
            self.info = _info(path, self._index, first, self._geometry, self._colour)
        except BaseException:
            decoder.close()
            raise
        self._converter = Converter(self._geometry, self._colour)
        self._reader = FrameReader(decoder, len(self._index), cache_bytes)
        self._reader.cache.put(0, first)

    def frame(self, index: int) -> Frame:
        self._check(index)
        native = self._reader.frame(index)
        to_rgb = partial(self._converter.rgb, native)
        return Frame(index, int(self.times_us[index]), to_rgb, native)

    def planes(
        self, first: int = 0, stop: int | None = None, *, size: Size | None = None
    ) -> Iterator[PlanarFrame]:
        return self._planes(first, self._check_range(first, stop, size), size)

    def _planes(self, first: int, stop: int, size: Size | None) -> Iterator[PlanarFrame]:
        converter = Converter(self._geometry, self._colour)
        decoder = Decoder(self.path, self._index)
        try:
            for index in range(first, stop):
                native = decoder.decode(index)
                planes = converter.planes(native, size)
                yield PlanarFrame(index, int(self.times_us[index]), *planes)
        finally:
            decoder.close()

    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        return video_thumbnails(
            self.path, self._index, self._geometry, self._colour, count, height, is_cancelled
        )

    def sound(self) -> SoundReader | None:
        if not self.info.has_sound:
            return None
        start = Fraction(int(self._index.frame_ticks[0])) * self._index.time_base
        return SoundReader(self.path, start)

    def close(self) -> None:
        self._reader.close()


def _index_of(path: Path, digest: str) -> FrameIndex:
    index = load_index(digest)
    if index is None:
        index = build_index(path)
        keep_index(digest, index)
    return index


def _geometry(first: VideoFrame, pixel_aspect: Fraction) -> Geometry:
    matrix = _side_data(first, SideDataType.DISPLAYMATRIX)
    return Geometry(
        coded_width=first.width,
        coded_height=first.height,
        pixel_aspect=pixel_aspect,
        orientation=UPRIGHT if matrix is None else orientation_of_matrix(bytes(matrix)),
    )


def _side_data(frame: VideoFrame, kind: SideDataType) -> SideData | None:
    # PyAV's stubs take this container for a mapping; iterating gives the data themselves.
    found = cast("Iterable[SideData]", frame.side_data)
    return next((data for data in found if data.type == kind), None)


def _info(
    path: Path, index: FrameIndex, first: VideoFrame, geometry: Geometry, colour: Colour
) -> ClipInfo:
    width, height = geometry.displayed_size
    with open_container(path) as container:
        stream = pick_video(container, path)
        sound = pick_sound(container)
        tags = _tags(container, stream)
        missing = _frames_past_the_end(stream, path.stat().st_size)
        codec = stream.codec_context.codec.canonical_name
        sound_codec = None if sound is None else sound.codec_context.codec.canonical_name
    return ClipInfo(
        width=width,
        height=height,
        coded_width=first.width,
        coded_height=first.height,
        rotation_deg=geometry.orientation.rotation_deg,
        is_mirrored=geometry.orientation.is_mirrored,
        pixel_aspect=geometry.pixel_aspect,
        codec=codec,
        pixel_format=first.format.name,
        bit_depth=max(component.bits for component in first.format.components),
        matrix=colour.matrix,
        primaries=colour.primaries,
        transfer=colour.transfer,
        range=colour.range_name,
        hdr=colour.hdr,
        frame_count=len(index),
        missing_frames=missing,
        duration_us=index.duration_us,
        is_variable_rate=is_variable_rate(index.times_us),
        nominal_fps=nominal_fps(index.times_us),
        has_sound=sound is not None,
        sound_codec=sound_codec,
        is_photo=False,
        size_bytes=path.stat().st_size,
        has_location=any("location" in name for name in tags),
        recorded_at=_recorded_at(tags),
    )


def _frames_past_the_end(stream: VideoStream, file_bytes: int) -> int:
    """How many frames a file lists that lie behind its end, as in a download that broke off.

    Told by formats whose list of frames comes first, such as MP4 made for streaming (its sample
    tables: ISO/IEC 14496-12, 8.7); 0 for others.
    """
    return sum(entry.pos + entry.size > file_bytes for entry in stream.index_entries)


def _tags(container: InputContainer, stream: VideoStream) -> dict[str, str]:
    return {name.lower(): text for name, text in {**stream.metadata, **container.metadata}.items()}


def _recorded_at(tags: Mapping[str, str]) -> dt.datetime | None:
    # Apple's own tag keeps the time zone; the standard one is in UTC.
    for name in ("com.apple.quicktime.creationdate", "creation_time", "date"):
        try:
            return dt.datetime.fromisoformat(tags[name])
        except (KeyError, ValueError):
            continue
    return None
