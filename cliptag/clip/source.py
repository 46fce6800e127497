"""Opening a media file: the one place where FFmpeg's errors become a sentence for a person."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import av
import av.error
from av.container import InputContainer
from av.stream import Discard, Disposition
from av.video.stream import VideoStream

from cliptag.errors import ClipError, ClipNotFoundError

# What cameras, phones and messengers write. FFmpeg reads far more, among it plain text (as the
# pictures of old terminals) and lists of other files.
_FORMATS: Final = (
    "3gp,apng,asf,avi,dv,flv,gif,h264,hevc,ivf,m4v,matroska,mjpeg,mov,mp4,mpeg,mpegts,mpegvideo,"
    "mxf,nut,obu,ogg,rm,swf,webm,yuv4mpegpipe"
)
_MOST_THREADS: Final = 8  # every frame thread holds pictures of its own


def check_file(path: Path) -> None:
    """Raise ClipNotFoundError or ClipError unless ``path`` is a file with something in it."""
    if path.is_dir():
        raise ClipError(f"{path} is a folder: choose a video or photo in it.")
    if not path.exists():
        raise ClipNotFoundError(f"There is no file {path}: check the name and the folder.")
    if not path.is_file():
        raise ClipError(f"{path} is no ordinary file: choose a video or photo.")
    if not os.access(path, os.R_OK):
        raise ClipError(f"{path} may not be read: ask for the right to read it.")
    if path.stat().st_size == 0:
        raise ClipError(f"{path.name} is empty: copy it from the phone again.")


@contextmanager
def ffmpeg_errors(path: Path, doing: str) -> Iterator[None]:
    """Turn what FFmpeg raises into a ClipError; ``doing`` completes "<name> can't be ..."."""
    try:
        yield
    except av.error.FFmpegError as error:
        said = error.log[1][2].strip() if error.log and error.log[1] else ""
        reason = said or error.strerror or type(error).__name__
        raise ClipError(
            f"{path.name} can't be {doing} (FFmpeg says: {reason}). If it plays elsewhere, "
            "convert it to MP4; else copy it from the phone again."
        ) from error


def open_container(path: Path) -> InputContainer:
    """Open a media file.

    Raises ClipNotFoundError or ClipError with FFmpeg's own message.
    """
    check_file(path)
    try:
        # "file:" keeps a name such as "concat:a" or "http:b" a plain file's name; the whitelist
        # keeps a playlist dressed up as a clip from reaching anything but files.
        return av.open(
            f"file:{path}",
            mode="r",
            metadata_errors="replace",
            options={"protocol_whitelist": "file", "format_whitelist": _FORMATS},
        )
    except (av.error.InvalidDataError, av.error.ArgumentError) as error:
        raise _unreadable(path) from error
    except av.error.FFmpegError:
        with ffmpeg_errors(path, "opened as a video or photo"):
            raise


def _unreadable(path: Path) -> ClipError:
    with path.open("rb") as file:
        is_mp4 = file.read(8)[4:] == b"ftyp"
    if is_mp4:  # such as from a phone whose battery died while it was filming
        return ClipError(
            f"{path.name} breaks off before its index and can't be read: have it sent again, or "
            "have the clip filmed anew."
        )
    return ClipError(
        f"{path.name} is no video or photo that can be read here: choose the clip itself. If it "
        "plays elsewhere, convert it to MP4; else have it sent again."
    )


def pick_video(container: InputContainer, path: Path) -> VideoStream:
    """The clip's video stream, not its cover picture, ready to decode; all others are muted.

    Raises ClipError when there is none or FFmpeg can't decode it.
    """
    streams = [
        stream
        for stream in container.streams.video
        if not stream.disposition & Disposition.attached_pic
    ]
    if not streams:
        raise ClipError(f"{path.name} holds no video: choose the clip itself, not its sound.")
    playable = [stream for stream in streams if stream.codec_context is not None]
    if not playable:
        raise ClipError(
            f"{path.name} is coded in a way that can't be read here: convert it to MP4 (H.264)."
        )
    chosen = next(
        (stream for stream in playable if stream.disposition & Disposition.default), playable[0]
    )
    for stream in container.streams:
        if stream.index != chosen.index:
            stream.discard = Discard.all
    chosen.thread_type = "AUTO"
    chosen.codec_context.thread_count = max(1, min(_MOST_THREADS, os.cpu_count() or 1))
    return chosen
