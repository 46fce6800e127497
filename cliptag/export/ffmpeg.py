"""The ffmpeg program: which one is run, and what it is asked for."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, Literal

import ffmpeg
import imageio_ffmpeg

from cliptag.errors import ExportError
from cliptag.export.chapters import Chapter

BINARY_VARIABLE: Final = "CLIPTAG_FFMPEG"
TICKS_PER_SECOND: Final = 90_000
"""The exported video's clock: a multiple of the usual frame rates, NTSC's too."""
SOUND_RATE: Final = 48_000

_LANGUAGE_CODES: Final = {"en": "eng", "de": "deu", "es": "spa", "he": "heb"}
"""An MP4 track has room for codes of three letters (ISO 639-2) alone."""
_KEYFRAME_SECONDS: Final = 2.0
# Each thread of x264 holds pictures of its own, and more than these gain little at its pace. The
# same number everywhere, because the video's bytes depend on it.
_THREADS: Final = 3
_LARGE_PIXELS: Final = 1920 * 1200


@dataclass(frozen=True, slots=True)
class VideoSettings:
    """How the exported video is compressed.

    The defaults are for a phone's screen: at this quality the slower presets make no smaller files
    of noisy phone pictures, and the faster ones nearly twice as large ones.
    """

    crf: int = 20
    preset: str = "veryfast"
    sound_kbps: int = 128


@dataclass(frozen=True, slots=True)
class RatePass:
    """One of the two passes of x264 that bring a video to a size.

    ``log`` is the path of what the first tells the second, without its ending.
    """

    number: Literal[1, 2]
    video_kbps: int
    log: Path


def ffmpeg_binary() -> str:
    """The ffmpeg to run: that of ``CLIPTAG_FFMPEG`` (a path or a name on PATH), else the one that
    came with imageio-ffmpeg. Raises ExportError when it can't be run.
    """
    wanted = os.environ.get(BINARY_VARIABLE)
    if wanted:
        found = shutil.which(wanted)
        if found is None:
            raise ExportError(
                f"{BINARY_VARIABLE} names {wanted}, which can't be run: set it to an ffmpeg "
                "program, or unset it to use the one that came with cliptag."
            )
        return found
    try:
        return str(imageio_ffmpeg.get_ffmpeg_exe())
    except RuntimeError as error:
        raise ExportError(
            "No ffmpeg was found: install the package imageio-ffmpeg again, or set "
            f"{BINARY_VARIABLE} to an ffmpeg program."
        ) from error


def ffmpeg_version() -> str:
    """The version that the ffmpeg program tells of itself. Raises ExportError."""
    binary = ffmpeg_binary()
    try:
        said = subprocess.run([binary, "-version"], capture_output=True, timeout=60, check=True)
    except (OSError, subprocess.SubprocessError) as error:
        raise ExportError(
            f"The video encoder {binary} can't be asked for its version: install imageio-ffmpeg "
            f"again, or set {BINARY_VARIABLE} to an ffmpeg program."
        ) from error
    words = said.stdout.decode("utf-8", "replace").split()
    return words[2] if len(words) > 2 else "unknown"


def to_ticks(out_us: int) -> int:
    """An output time on the exported video's clock, to the nearest tick."""
    return (out_us * TICKS_PER_SECOND + 500_000) // 1_000_000


def encode_command(
    binary: str,
    target: Path,
    metadata: Path,
    size: tuple[int, int],
    fps: float,
    settings: VideoSettings,
    *,
    captions: Path | None = None,
    language: str = "",
    rate: RatePass | None = None,
) -> list[str]:
    """The command that turns a NUT stream on standard input into an MP4 file.

    The stream carries raw yuv420p pictures (BT.709, limited range) on a clock of 90000 ticks a
    second and PCM sound. Nothing of the clip's own metadata is in it; title and chapters come from
    the ``metadata`` file. ``fps`` is the clip's usual rate; the pictures' own times count. A
    keyframe comes at least every two seconds at that rate, and where a chapter starts.
    ``captions`` is a WebVTT file that becomes a caption track which a player shows or hides; it is
    in ``language``, such as 'de'. With ``rate`` it is one pass of two, by size instead of by
    quality.
    """
    # Raw streams need no probing, which would hold back several pictures.
    stream = ffmpeg.input("pipe:0", format="nut", probesize=32, analyzeduration=0)
    about = ffmpeg.input(f"file:{metadata}", format="ffmetadata")
    soft, soft_options = _soft_captions(captions, language)
    output = ffmpeg.output(
        stream.video,
        stream.audio,
        about["s?"],  # there is none; ffmpeg-python leaves out an input of which nothing is used
        *soft,
        f"file:{target}",
        format="mp4",
        map_metadata=1,
        map_chapters=1,
        # Labels the pictures as what they are, so that no conversion is put in.
        vf="setparams=range=tv:color_primaries=bt709:color_trc=bt709:colorspace=bt709",
        vcodec="libx264",
        preset=settings.preset,
        pix_fmt="yuv420p",
        threads=_THREADS,
        g=max(1, round(_KEYFRAME_SECONDS * fps)),
        # A chapter's time is rounded to microseconds, maybe to just after its picture.
        force_key_frames="chapters-0.001",
        fps_mode="passthrough",
        enc_time_base=f"1:{TICKS_PER_SECOND}",
        video_track_timescale=TICKS_PER_SECOND,
        acodec="aac",
        movflags="+faststart",
        **{
            "profile:v": "high",
            "x264-params": _x264_params(size, fps),
            "b:a": f"{settings.sound_kbps}k",
            **_rate_control(settings, rate),
            **soft_options,
        },
    )
    command: list[str] = (
        output.global_args("-hide_banner", "-loglevel", "error")
        .overwrite_output()
        .compile(cmd=binary)
    )
    return command


def _rate_control(settings: VideoSettings, rate: RatePass | None) -> dict[str, Any]:
    if rate is None:
        return {"crf": settings.crf}
    return {"b:v": f"{rate.video_kbps}k", "pass": rate.number, "passlogfile": str(rate.log)}


def _soft_captions(captions: Path | None, language: str) -> tuple[list[Any], dict[str, Any]]:
    """The caption track as an input, and what is asked of it."""
    if captions is None:
        return [], {}
    track = ffmpeg.input(f"file:{captions}", format="webvtt")
    told = f"language={_LANGUAGE_CODES.get(language, 'und')}"
    return [track["s"]], {
        "scodec": "mov_text",
        "disposition:s:0": "default",
        "metadata:s:s:0": told,
    }


def _x264_params(size: tuple[int, int], fps: float) -> str:
    # The stream tells no rate, but the level that a phone goes by depends on it.
    params = f"fps={fps:.3f}"
    if size[0] * size[1] > _LARGE_PIXELS:
        # x264's pictures would take a gigabyte: so its threads share one, and it looks ahead less
        # far. Files get about 1 % larger.
        params += ":sliced-threads=1:rc-lookahead=5:sync-lookahead=0"
    return params


def metadata_text(title: str, chapters: Sequence[Chapter]) -> str:
    """Title and chapters as an FFMETADATA1 file (FFmpeg's formats manual, section Metadata)."""
    lines = [";FFMETADATA1", f"title={_escaped(title)}"]
    for chapter in chapters:
        lines += [
            "[CHAPTER]",
            f"TIMEBASE=1/{TICKS_PER_SECOND}",
            f"START={to_ticks(chapter.start_us)}",
            f"END={to_ticks(chapter.end_us)}",
            f"title={_escaped(chapter.title)}",
        ]
    return "\n".join(lines) + "\n"


def _escaped(text: str) -> str:
    one_line = " ".join(text.split())
    return "".join(f"\\{sign}" if sign in "=;#\\" else sign for sign in one_line)
