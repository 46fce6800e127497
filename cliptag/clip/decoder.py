"""Exact decoding: from a frame's number to its picture, identical to a decode from the start."""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Iterator
from fractions import Fraction
from itertools import chain, islice
from pathlib import Path
from typing import Final

import av.error
import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from cliptag.clip.index import NO_TIME, FrameIndex
from cliptag.clip.scan import VideoPacket, decode_lenient, video_packets
from cliptag.clip.source import open_container, pick_video
from cliptag.errors import ClipError

# A frame comes out at most this many packets after its own went in: the deepest reordering of any
# codec (16 pictures) and one picture for each thread, with room to spare.
_LONGEST_DELAY: Final = 64
# So many packets are decoded on rather than jumped over to a nearer keyframe.
_WORTH_A_SEEK: Final = 6
# After a seek so many packets may be halves of a picture before the first whole one.
_MOST_FRAGMENTS: Final = 8


class Decoder:
    """Decodes frames of one stream by their number. Not thread-safe: one owner at a time.

    It goes on from where it is if it can; else it seeks to a keyframe, checks by the packets'
    positions and times where the seek landed, and goes further back when the frame doesn't appear.
    """

    def __init__(self, path: Path, index: FrameIndex, *, threads: int | None = None) -> None:
        """``threads`` bounds how many processors it takes; by default all that help."""
        self._path = path
        self._threads = threads
        self._index = index
        self._seeks_by_dts = False
        self._open()

    def close(self) -> None:
        """Let go of the file and of all pictures; to be called once, at the end."""
        self._begin_at(0, iter(()))
        self._container.close()
        del self._stream  # it holds the codec, and that its pictures and threads

    @property
    def pixel_aspect(self) -> Fraction:
        """Width by height of one coded pixel."""
        return self._stream.sample_aspect_ratio or Fraction(1)

    def decode(self, frame: int) -> VideoFrame:
        """The frame of this number; raises ClipError when it can't be decoded."""
        for number, picture in self.reach(frame):
            if number == frame:
                return picture
        raise AssertionError("reach ends with the frame or an error")

    def alone(self, frame: int) -> VideoFrame | None:
        """A keyframe from its own packet and no other; None if it can't be had so.

        Much quicker than ``decode`` where frames come late out of the decoder. Good for a look:
        of an interlaced picture in two packets, for one, only half is there.
        """
        packet = int(self._index.frame_packet[frame])
        if not self._go_to(packet):
            return None
        self._feed()
        self._put_in(None)
        self._is_over = True
        pictures = dict(self._ready)
        self._ready.clear()
        self._inside.clear()
        return pictures.get(frame)

    def reach(self, frame: int) -> Iterator[tuple[int, VideoFrame]]:
        """Frames on the way to ``frame``, each with its number, until ``frame`` itself.

        The caller may stop anywhere. Raises ClipError when the frame can't be decoded.
        """
        if self._is_on_the_way(frame) and (yield from self._run_to(frame)):
            return
        for start in _ever_further(self._index.starts_for(frame)):
            if self._go_to(start) and (yield from self._run_to(frame)):
                return
        raise ClipError(
            f"Frame {frame} of {self._path.name} can't be decoded: the file is damaged there."
        )

    def _open(self) -> None:
        self._container = open_container(self._path)
        self._stream = pick_video(self._container, self._path)
        if self._threads is not None:
            self._stream.codec_context.thread_count = self._threads
        self._begin_at(0, video_packets(self._container, self._stream))

    def _begin_at(self, packet: int, packets: Iterator[VideoPacket]) -> None:
        self._packets = packets
        self._next_packet = packet
        self._is_over = False
        self._first_trusted = int(self._index.packet_frame[packet])
        self._inside: set[int] = set()  # frames that went in and were not handed out yet
        self._ready: deque[tuple[int, VideoFrame]] = deque()

    def _is_on_the_way(self, frame: int) -> bool:
        packet = int(self._index.frame_packet[frame])
        if packet < self._next_packet:
            return frame in self._inside
        if self._is_over or frame < self._first_trusted:
            return False
        nearest_start = int(self._index.starts_for(frame)[0])
        return nearest_start - self._next_packet <= _WORTH_A_SEEK

    def _run_to(self, frame: int) -> Generator[tuple[int, VideoFrame], None, bool]:
        last_packet = int(self._index.frame_packet[frame]) + _LONGEST_DELAY
        while True:
            while self._ready:
                number, picture = self._ready.popleft()
                self._inside.discard(number)
                yield number, picture
                if number == frame:
                    return True
            if self._is_over or self._next_packet > last_packet:
                return False
            self._feed()

    def _feed(self) -> None:
        packet = next(self._packets, None)
        number = -1
        if packet is None:
            self._is_over = True
        elif self._next_packet < len(self._index.packet_pts) and self._is(
            packet, self._next_packet
        ):
            number = int(self._index.packet_frame[self._next_packet])
            self._next_packet += 1
            # The decoder hands a packet's time on to its frame: so it tells which one it was.
            packet.pts, packet.dts = (number if number >= 0 else None), None
            self._inside.add(number)
        else:
            self._is_over = True
            return
        self._put_in(packet)

    def _put_in(self, packet: VideoPacket | None) -> None:
        for picture in decode_lenient(self._stream, packet):
            # Pictures that lead the keyframe which decoding began at lack their references.
            if picture.pts is not None and picture.pts >= self._first_trusted:
                self._ready.append((picture.pts, picture))

    def _go_to(self, start: int) -> bool:
        """Make packet ``start`` the next one to decode; False if the file can't be sought so."""
        times = self._index.packet_pts[start], self._index.packet_dts[start]
        for time in reversed(times) if self._seeks_by_dts else times:
            if time != NO_TIME and self._seek(int(time), start):
                self._seeks_by_dts = bool(time == times[1])
                return True
        if start == 0:
            self._container.close()
            self._open()
        return start == 0

    def _seek(self, time: int, start: int) -> bool:
        try:
            self._container.seek(time, stream=self._stream, backward=True)
        except av.error.FFmpegError:
            return False
        packets = video_packets(self._container, self._stream)
        for packet in islice(packets, _MOST_FRAGMENTS):
            landed = self._find(packet)
            if landed is not None:
                return landed <= start and self._skip_to(start, landed, packet, packets)
        return False

    def _skip_to(
        self, start: int, number: int, packet: VideoPacket, packets: Iterator[VideoPacket]
    ) -> bool:
        while number < start:
            following = next(packets, None)
            if following is None or not self._is(following, number + 1):
                return False
            packet, number = following, number + 1
        self._begin_at(start, chain([packet], packets))
        return True

    def _find(self, packet: VideoPacket) -> int | None:
        """Which packet this is; None if it is a fragment or the file tells too little."""
        column, value = self._index.packet_pos, packet.pos
        if value is None or value < 0:
            column, value = self._index.packet_pts, packet.pts
        if value is None:
            return None
        numbers = (int(number) for number in np.flatnonzero(column == value))
        return next((number for number in numbers if self._is(packet, number)), None)

    def _is(self, packet: VideoPacket, number: int) -> bool:
        """Whether a packet just read is the one of this number, as far as the file tells."""
        index = self._index
        pos = NO_TIME if packet.pos is None or packet.pos < 0 else packet.pos
        return (
            packet.size == index.packet_size[number]
            and (NO_TIME in (pos, index.packet_pos[number]) or pos == index.packet_pos[number])
            and (packet.pts is None or index.packet_pts[number] in (NO_TIME, packet.pts))
        )


def _ever_further(starts: NDArray[np.int64]) -> Iterator[int]:
    """The nearest start, then ones further and further back, and in the end the last."""
    step, place = 1, 0
    while place < len(starts) - 1:
        yield int(starts[place])
        place, step = place + step, step * 2
    yield int(starts[-1])
