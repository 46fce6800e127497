"""Which packet holds which displayed frame, and when each frame is shown.

A packet is named by its place in the file ("packet" numbers, decode order), a frame by its place
in display order ("frame" numbers, what ``clip.frame(i)`` takes).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

NO_TIME: Final = -(2**63)
"""Stands for a timestamp or file position that the file doesn't tell."""


@dataclass(frozen=True, eq=False)
class FrameIndex:
    """The frames of one video stream. All arrays are read-only."""

    time_base: Fraction
    frame_ticks: NDArray[np.int64]
    """(N,) when frame i is shown, in units of ``time_base``; never falls."""
    last_duration: int
    """How long the last frame is shown, in ticks; positive."""
    frame_packet: NDArray[np.int32]
    """(N,) the packet that frame i is decoded from."""
    packet_pts: NDArray[np.int64]
    packet_dts: NDArray[np.int64]
    packet_pos: NDArray[np.int64]
    packet_size: NDArray[np.int64]
    packet_is_key: NDArray[np.bool_]
    """(P,) where decoding may start."""

    def __len__(self) -> int:
        return len(self.frame_ticks)

    @cached_property
    def times_us(self) -> NDArray[np.int64]:
        """(N,) when frame i is shown, from the first frame on, in microseconds."""
        times = ticks_to_us(self.frame_ticks - self.frame_ticks[0], self.time_base)
        times.flags.writeable = False
        return times

    @cached_property
    def duration_us(self) -> int:
        """From the first frame until the last one is over."""
        ticks = np.array([self.frame_ticks[-1] + self.last_duration - self.frame_ticks[0]])
        return int(ticks_to_us(ticks, self.time_base)[0])

    @cached_property
    def packet_frame(self) -> NDArray[np.int32]:
        """(P,) the frame that a packet gives, or -1."""
        frames = np.full(len(self.packet_pts), -1, np.int32)
        frames[self.frame_packet] = np.arange(len(self), dtype=np.int32)
        return frames

    @cached_property
    def key_packets(self) -> NDArray[np.int64]:
        return np.flatnonzero(self.packet_is_key)

    def starts_for(self, frame: int) -> NDArray[np.int64]:
        """Packets from which decoding reaches ``frame`` with the right picture, nearest first.

        A keyframe that is shown after ``frame`` but comes before it in the file opens an open
        group of pictures: ``frame`` leads it, and needs the group before. Packet 0 is always last.
        """
        packet = int(self.frame_packet[frame])
        keys = self.key_packets[: np.searchsorted(self.key_packets, packet, side="right")]
        shown_before = self._is_shown_before(keys, frame)
        starts = keys[shown_before][::-1]
        return starts if len(starts) and starts[-1] == 0 else np.append(starts, 0)

    def _is_shown_before(self, keys: NDArray[np.int64], frame: int) -> NDArray[np.bool_]:
        frames = self.packet_frame[keys]
        # A keyframe that is itself cut away by an edit list has no frame, but its time still tells.
        by_time = (self.packet_pts[keys] != NO_TIME) & (
            self.packet_pts[keys] <= self.packet_pts[self.frame_packet[frame]]
        )
        return np.where(frames >= 0, frames <= frame, by_time)


def ticks_to_us(ticks: NDArray[np.int64], time_base: Fraction) -> NDArray[np.int64]:
    """Times in units of ``time_base`` as the nearest whole microseconds."""
    whole, rest = np.divmod(ticks * time_base.numerator, time_base.denominator)
    parts = (rest * 1_000_000 + time_base.denominator // 2) // time_base.denominator
    return np.asarray(whole * 1_000_000 + parts, np.int64)
