"""Frames and sound into the files that a phone would write."""

from __future__ import annotations

import subprocess
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from drawing.sound import RATE, Samples

_TICKS = 90_000
_BT709 = 1
_LIMITED = 1
_CHUNK = 1024

Picture = NDArray[np.uint8]


def write_video(
    path: Path,
    frames: Iterable[tuple[int, Picture]],
    size: tuple[int, int],
    sound: Samples,
    crf: int,
) -> None:
    """H.264 High 4:2:0 BT.709 with AAC in MP4, index first.

    ``frames`` are ``(microseconds, RGB picture)`` in order; ``size`` is width and height.
    """
    with av.open(str(path), "w", options={"movflags": "+faststart"}) as container:
        video = container.add_stream("libx264", rate=30)
        video.width, video.height = size
        video.pix_fmt = "yuv420p"
        video.time_base = video.codec_context.time_base = Fraction(1, _TICKS)
        video.codec_context.color_primaries = _BT709
        video.codec_context.color_trc = _BT709
        video.codec_context.colorspace = _BT709
        video.codec_context.color_range = _LIMITED
        video.options = {
            "preset": "slow", "crf": str(crf), "profile": "high",
            "g": "60", "bf": "3", "x264-params": "aq-mode=3",
        }  # fmt: skip
        audio = container.add_stream("aac", rate=RATE, layout="mono")
        audio.bit_rate = 64_000
        heard = 0
        for us, picture in frames:
            frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(picture), format="rgb24")
            frame = frame.reformat(
                format="yuv420p", dst_colorspace="ITU709", dst_color_range="MPEG"
            )
            frame.colorspace, frame.color_range = _BT709, _LIMITED
            frame.pts, frame.time_base = round(us * _TICKS / 1_000_000), Fraction(1, _TICKS)
            container.mux(video.encode(frame))
            until = min(len(sound), round(us * RATE / 1_000_000))
            heard = _hear(container, audio, sound, heard, until)
        _hear(container, audio, sound, heard, len(sound))
        container.mux(video.encode(None))
        container.mux(audio.encode(None))


def turn_by_matrix(upright: Path, path: Path) -> None:
    """Copy a clip whose coded pictures lie on their side, marked to be shown turned 90 degrees
    clockwise, as phones do."""
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-y", "-display_rotation", "-90",
        "-i", str(upright), "-c", "copy", "-movflags", "+faststart", str(path),
    ]  # fmt: skip
    subprocess.run(command, check=True)


def write_photo(path: Path, picture: Picture) -> None:
    """A JPEG stored on its side with the EXIF orientation (6) that sets it upright."""
    exif = Image.Exif()
    exif[0x0112] = 6
    lying = Image.fromarray(np.ascontiguousarray(np.rot90(picture, 1)))
    lying.save(path, quality=86, exif=exif, optimize=True)


def _hear(
    container: av.container.OutputContainer,
    stream: av.AudioStream,
    sound: Samples,
    start: int,
    until: int,
) -> int:
    """Encode whole chunks of sound up to ``until``; all of it at the end. Returns where it is."""
    last = until == len(sound)
    while start + _CHUNK <= until or (last and start < until):
        piece = np.array(sound[None, start : min(start + _CHUNK, until)], np.float32)
        frame = av.AudioFrame.from_ndarray(piece, format="fltp", layout="mono")
        frame.sample_rate = RATE
        frame.pts, frame.time_base = start, Fraction(1, RATE)
        container.mux(stream.encode(frame))
        start += piece.shape[1]
    return start
