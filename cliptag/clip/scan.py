"""Building a frame index: from packet times alone where that is sure, else by decoding once."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypeAlias, TypeVar

import av.error
import numpy as np
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream
from numpy.typing import NDArray

from cliptag.clip.index import NO_TIME, FrameIndex
from cliptag.clip.source import open_container, pick_video
from cliptag.errors import ClipError

VideoPacket: TypeAlias = "Packet[VideoStream]"
_Array = TypeVar("_Array", bound="NDArray[Any]")

# One packet, one frame. Elsewhere a packet may hide its frame (VP8's alternate references) or
# hold two (packed MPEG-4 in AVI).
_ONE_FRAME_EACH: Final = {
    *("h264", "hevc", "vvc", "av1", "vp9", "mpeg1video", "mpeg2video"),
    *("mjpeg", "prores", "dnxhd", "dvvideo", "ffv1", "rawvideo", "png"),
}
# Containers that tell when each frame is shown; AVI and bare streams tell only the decoding order.
_TELL_SHOWN: Final = {"mov", "mp4", "matroska", "webm", "mpegts", "mpeg", "flv", "nut", "gif"}


@dataclass(frozen=True, slots=True)
class _Packets:
    pts: NDArray[np.int64]
    dts: NDArray[np.int64]
    pos: NDArray[np.int64]
    size: NDArray[np.int64]
    duration: NDArray[np.int64]
    is_key: NDArray[np.bool_]
    is_hidden: NDArray[np.bool_]
    is_damaged: NDArray[np.bool_]


def build_index(path: Path) -> FrameIndex:
    """Read through the file once and lay out its frames.

    Raises ClipError when there is no frame in it.
    """
    with open_container(path) as container:
        stream = pick_video(container, path)
        packets = _read_packets(container, stream, path)
        if not len(packets.pts):
            raise ClipError(f"{path.name} holds no picture: copy it from the phone again.")
        is_sure = stream.codec_context.codec.canonical_name in _ONE_FRAME_EACH and _tells_all(
            packets
        )
    shown = _first_shown(path, packets) if is_sure else None
    if shown is None:
        shown = _all_shown(path, packets)
    return _index(path, packets, shown)


def video_packets(container: InputContainer, stream: VideoStream) -> Iterator[VideoPacket]:
    """The stream's packets in file order; a file that breaks off just ends before that place."""
    doubtful: VideoPacket | None = None
    for packet in _demuxed(container, stream):
        if doubtful is not None:
            yield doubtful
        doubtful = packet if packet.is_corrupt else None
        if doubtful is None:
            yield packet
    # A doubtful last packet is half a one: half a picture, whose error would hide frames before.


def _demuxed(container: InputContainer, stream: VideoStream) -> Iterator[VideoPacket]:
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets, None)
        except av.error.FFmpegError:
            return
        if packet is None:
            return
        if packet.size:
            yield packet


def decode_lenient(stream: VideoStream, packet: VideoPacket | None) -> list[VideoFrame]:
    """The frames that a packet (None: the end) brings out; none where its data are damaged."""
    try:
        return stream.codec_context.decode(packet)
    except av.error.FFmpegError:
        return []


def _read_packets(container: InputContainer, stream: VideoStream, path: Path) -> _Packets:
    tells_shown = not _TELL_SHOWN.isdisjoint(container.format.name.split(","))
    rows: list[tuple[int, int, int, int, int, bool, bool, bool]] = []
    for packet in video_packets(container, stream):
        rows.append(
            (
                packet.pts if tells_shown and packet.pts is not None else NO_TIME,
                NO_TIME if packet.dts is None else packet.dts,
                NO_TIME if packet.pos is None or packet.pos < 0 else packet.pos,
                packet.size,
                packet.duration or 0,
                packet.is_keyframe,
                packet.is_discard,
                packet.is_corrupt,
            )
        )
    columns = list(zip(*rows, strict=True)) or [()] * 8
    pts, dts, pos, size, duration = (np.array(column, np.int64) for column in columns[:5])
    is_key, is_hidden, is_damaged = (np.array(column, np.bool_) for column in columns[5:])
    return _Packets(pts, dts, pos, size, duration, is_key, is_hidden, is_damaged)


def _tells_all(packets: _Packets) -> bool:
    """Whether the packets' times alone tell the order in which frames are shown."""
    if packets.is_damaged.any() or (packets.pts == NO_TIME).any():
        return False
    dts = packets.dts[packets.dts != NO_TIME]
    return bool((np.diff(dts) >= 0).all())  # else the clock starts anew within the file


def _first_shown(path: Path, packets: _Packets) -> NDArray[np.int64] | None:
    """Packets in the order of their times, without those at the start that give no picture.

    A file may begin with pictures that lead a keyframe and need the group before it, or in the
    middle of a group. None if only decoding the whole file would tell.
    """
    in_order = np.argsort(packets.pts, kind="stable")
    shown = in_order[~packets.is_hidden[in_order]]
    with open_container(path) as container:
        decoding = _decode_packets(container, pick_video(container, path))
        first = next(decoding, None)
        if first is None or not len(shown):
            return None
        if first == shown[0] and packets.is_key[0]:
            return shown
        later_keys = np.flatnonzero(packets.is_key[first + 1 :]) + first + 1
        if len(later_keys) < 2:
            return None
        sure_from = packets.pts[later_keys[0]]
        emerged = {first}
        for packet in decoding:
            if packet >= later_keys[1]:
                break
            emerged.add(packet)
    is_kept = [packets.pts[packet] >= sure_from or int(packet) in emerged for packet in shown]
    return shown[np.array(is_kept, np.bool_)]


def _all_shown(path: Path, packets: _Packets) -> NDArray[np.int64]:
    """Packets in the order in which the decoder brings out their frames."""
    with open_container(path) as container:
        emerged = list(dict.fromkeys(_decode_packets(container, pick_video(container, path))))
    if not emerged:
        raise ClipError(
            f"{path.name} holds no picture that can be decoded: copy it from the phone again."
        )
    return np.array(emerged, np.int64)


def _decode_packets(container: InputContainer, stream: VideoStream) -> Iterator[int]:
    """The packet numbers of the frames that come out when the whole file is decoded."""
    for number, packet in enumerate(video_packets(container, stream)):
        # The decoder hands a packet's time on to its frame: so it tells which one it was.
        packet.pts, packet.dts = number, None
        yield from (frame.pts for frame in decode_lenient(stream, packet) if frame.pts is not None)
    yield from (frame.pts for frame in decode_lenient(stream, None) if frame.pts is not None)


def _index(path: Path, packets: _Packets, shown: NDArray[np.int64]) -> FrameIndex:
    with open_container(path) as container:
        stream = pick_video(container, path)
        time_base = stream.time_base
        rate = stream.average_rate or stream.guessed_rate
    if time_base is None:
        raise ClipError(f"{path.name} doesn't tell when its frames are shown: convert it to MP4.")
    usual = max(1, round(1 / (rate * time_base))) if rate else max(1, round(1 / 25 / time_base))
    ticks = _frame_ticks(packets, shown, usual)
    steps = np.diff(ticks)
    last = int(packets.duration[shown[-1]]) or (int(np.median(steps)) if len(steps) else 0)
    return FrameIndex(
        time_base=time_base,
        frame_ticks=_frozen(ticks),
        last_duration=max(1, last) if last else usual,
        frame_packet=_frozen(shown.astype(np.int32)),
        packet_pts=_frozen(packets.pts),
        packet_dts=_frozen(packets.dts),
        packet_pos=_frozen(packets.pos),
        packet_size=_frozen(packets.size),
        packet_is_key=_frozen(packets.is_key),
    )


def _frame_ticks(packets: _Packets, shown: NDArray[np.int64], usual: int) -> NDArray[np.int64]:
    ticks = packets.pts[shown]
    if (ticks == NO_TIME).any():
        # AVI tells only when a packet is decoded: the frames are shown at the same beat.
        ticks = np.sort(packets.dts[shown])
    if (ticks == NO_TIME).any():
        return np.arange(len(shown), dtype=np.int64) * usual
    steps = np.diff(ticks)
    if (steps < 0).any():  # the clock starts anew within the file
        beat = int(np.median(steps[steps > 0])) if (steps > 0).any() else usual
        ticks = ticks[0] + np.concatenate([[0], np.cumsum(np.where(steps < 0, beat, steps))])
    return ticks


def _frozen(array: _Array) -> _Array:
    array.flags.writeable = False
    return array
