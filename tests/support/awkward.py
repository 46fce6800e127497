"""Clips that are awkward to read exactly, each made as the thing that makes it so in the world."""

from __future__ import annotations

import struct
from collections.abc import Callable
from functools import cache
from pathlib import Path

from support.media import X264, ffmpeg, make_clip, x265

_OPEN_GOP = ("-g", "12", "-bf", "3", "-x264-params", "open-gop=1:b-pyramid=normal:scenecut=0")


def _simple(name: str, *output: str, **shape: object) -> Callable[[Path], Path]:
    return lambda folder: make_clip(folder / name, *output, **shape)  # type: ignore[arg-type]


def _remuxed(
    name: str, source: str, *output: str, before: tuple[str, ...] = ()
) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        original = make_awkward(source, folder)
        ffmpeg(*before, "-i", original, "-map", "0", "-c", "copy", *output, folder / name)
        return folder / name

    return make


def _cut_off(name: str, source: str, share: float) -> Callable[[Path], Path]:
    def make(folder: Path) -> Path:
        whole = make_awkward(source, folder).read_bytes()
        (folder / name).write_bytes(whole[: int(len(whole) * share)])
        return folder / name

    return make


def _variable_rate(name: str, *output: str) -> Callable[[Path], Path]:
    # A phone in dim light: exposure lengthens some frames, and a few are dropped.
    jitter = "select='not(eq(mod(n,7),3))',setpts='PTS+mod(N*N,5)*0.004/TB'"
    return lambda folder: make_clip(
        folder / name, "-vf", jitter, "-fps_mode", "vfr", *output, seconds=2
    )


def _without_start(folder: Path, name: str, source: str, packets: int) -> Path:
    """Drop the first packets, so that the file starts in the middle of a group."""
    original = make_awkward(source, folder)
    ffmpeg("-i", original, "-c", "copy", "-bsf:v", f"noise=drop=lt(n\\,{packets})", folder / name)
    return folder / name


def _two_edits(folder: Path) -> Path:
    """An edit list of two pieces, as a phone writes when a middle part was cut out."""
    data = bytearray(make_awkward("constant rate", folder).read_bytes())
    at = data.index(b"elst")
    entry = at + 12  # type, version and flags, count of entries
    start = struct.unpack_from(">i", data, entry + 4)[0]
    per_second = 30 * 512  # what ffmpeg's muxer takes for 30 frames a second
    pieces = ((700, start), (500, start + per_second * 13 // 10))
    new = b"".join(struct.pack(">IiI", length, begin, 0x10000) for length, begin in pieces)
    struct.pack_into(">I", data, at + 8, 2)
    data[entry : entry + 12] = new
    # The boxes round it grow; the media come before them in the file, so they stay in place.
    for box in (b"elst", b"edts", b"trak", b"moov"):
        size_at = data.rindex(box, 0, at + 4) - 4
        struct.pack_into(">I", data, size_at, struct.unpack_from(">I", data, size_at)[0] + 12)
    (folder / "twoedits.mp4").write_bytes(data)
    return folder / "twoedits.mp4"


def _clock_starts_anew(folder: Path) -> Path:
    """Two recordings in one transport stream, the clock of the second starting at 0 again."""
    first = make_awkward("open GOP in a transport stream", folder)
    second = make_clip(
        folder / "second.ts", "-vf", "hue=h=120", *X264, "-g", "12", "-bf", "2", sound=True
    )
    (folder / "restart.ts").write_bytes(first.read_bytes() + second.read_bytes())
    return folder / "restart.ts"


_MAKERS: dict[str, Callable[[Path], Path]] = {
    "constant rate": _simple("constant.mp4", sound=True),
    "B-frames in Matroska": _simple("bframes.mkv", *X264, "-g", "20", "-bf", "4"),
    "variable rate": _variable_rate("variable.mp4", *X264, "-g", "12", "-bf", "2"),
    "variable rate in Matroska": _variable_rate("variable.mkv", *X264, "-g", "12"),
    "open GOP": _simple("open.mp4", *X264, *_OPEN_GOP),
    "open GOP in Matroska": _simple("open.mkv", *X264, *_OPEN_GOP),
    "open GOP in a transport stream": _simple("open.ts", *X264, *_OPEN_GOP, sound=True),
    "one keyframe": _simple("onekey.mp4", *X264, "-g", "9999", "-bf", "2", seconds=3),
    "only keyframes": _simple("allkey.mp4", *X264, "-g", "1"),
    "intra refresh": _simple("refresh.mp4", *X264, "-x264-params", "intra-refresh=1:keyint=15"),
    "intra refresh in a transport stream": _simple(
        "refresh.ts", *X264, "-x264-params", "intra-refresh=1:keyint=15"
    ),
    "interlaced": _simple("interlaced.mp4", *X264, "-g", "15", "-flags", "+ildct+ilme"),
    "late first timestamp": _remuxed("late.mp4", "constant rate", "-output_ts_offset", "5.3"),
    "late first timestamp in Matroska": _remuxed(
        "late.mkv", "constant rate", "-output_ts_offset", "7.1"
    ),
    "negative first timestamp": _remuxed(
        "negative.mp4",
        "B-frames in Matroska",
        "-use_editlist",
        "0",
        *("-movflags", "negative_cts_offsets", "-avoid_negative_ts", "disabled"),
    ),
    "start cut inside a GOP": _remuxed("cut.mp4", "constant rate", before=("-ss", "0.7")),
    "start cut inside an open GOP": _remuxed("cutopen.mov", "open GOP", before=("-ss", "0.9")),
    "start cut inside an HEVC GOP": _remuxed("cuthevc.mp4", "HEVC open GOP", before=("-ss", "0.9")),
    "edit list of two pieces": _two_edits,
    "clock that starts anew": _clock_starts_anew,
    "fragmented": _remuxed(
        "fragmented.mp4", "constant rate", "-movflags", "frag_keyframe+empty_moov"
    ),
    "QuickTime": _remuxed("quicktime.mov", "constant rate"),
    "transport stream": _remuxed("plain.ts", "constant rate"),
    "Flash": _remuxed("plain.flv", "constant rate"),
    "duplicate timestamps": _simple(
        "duplicate.mkv",
        *X264,
        "-g",
        "10",
        "-bf",
        "0",
        *("-bsf:v", "setts=pts=PTS-mod(N\\,4)*DURATION/2*gt(mod(N\\,2)\\,0):dts=PTS-DURATION"),
    ),
    "equal timestamps": _simple(
        "equal.mkv",
        *X264,
        "-g",
        "10",
        "-bf",
        "0",
        *("-bsf:v", "setts=ts=TS-mod(N\\,2)*DURATION"),
    ),
    "HEVC": _simple("hevc.mp4", *x265(keyint=15, bframes=3)),
    "HEVC open GOP": _simple("hevcopen.mp4", *x265(keyint=12, bframes=4, open_gop=1, scenecut=0)),
    "HEVC open GOP in a transport stream": _remuxed("hevcopen.ts", "HEVC open GOP"),
    "HEVC open GOP in Matroska": _remuxed("hevcopen.mkv", "HEVC open GOP"),
    "HEVC that begins with leading pictures": lambda folder: _without_start(
        folder, "rasl.mkv", "HEVC open GOP", 15
    ),
    "HEVC that begins with leading pictures in a transport stream": lambda folder: _without_start(
        folder, "rasl.ts", "HEVC open GOP", 15
    ),
    "H.264 that begins inside a GOP": lambda folder: _without_start(
        folder, "headless.mkv", "open GOP", 5
    ),
    "H.264 that begins with leading pictures": lambda folder: _without_start(
        folder, "leading.ts", "open GOP in a transport stream", 12
    ),
    "HEVC 10 bit": _simple("hevc10.mp4", *x265(keyint=15), "-pix_fmt", "yuv420p10le"),
    "H.264 10 bit": _simple("h26410.mp4", *X264, "-g", "15", "-pix_fmt", "yuv420p10le"),
    "H.264 4:2:2": _simple("h264422.mp4", *X264, "-g", "15", "-pix_fmt", "yuv422p"),
    "H.264 in AVI": _simple("h264.avi", *X264, "-g", "15", "-bf", "2"),
    "MPEG-4 in AVI": _simple("mpeg4.avi", "-c:v", "mpeg4", "-q:v", "4", "-g", "15"),
    "MPEG-4 with B-frames in AVI": _simple(
        "mpeg4b.avi", "-c:v", "mpeg4", "-q:v", "4", "-g", "15", "-bf", "2"
    ),
    "MPEG-4 in MP4": _simple("mpeg4b.mp4", "-c:v", "mpeg4", "-q:v", "4", "-g", "15", "-bf", "2"),
    "Motion JPEG in AVI": _simple("mjpeg.avi", "-c:v", "mjpeg", "-q:v", "4"),
    "Motion JPEG, odd size": _simple(
        "mjpegodd.mov", "-vf", "scale=127:95", "-c:v", "mjpeg", "-q:v", "4"
    ),
    "H.263 of an old phone": _simple("old.3gp", "-c:v", "h263", "-q:v", "5", size=(176, 144)),
    "MPEG-2 open GOP": _simple(
        "mpeg2.ts", "-c:v", "mpeg2video", "-q:v", "4", "-g", "12", "-bf", "2"
    ),
    "MPEG-2 program stream": _simple(
        "mpeg2.mpg", "-c:v", "mpeg2video", "-q:v", "4", "-g", "12", "-bf", "2"
    ),
    "VP8 with hidden frames": _simple(
        "vp8.webm",
        "-c:v",
        "libvpx",
        "-b:v",
        "300k",
        "-auto-alt-ref",
        "1",
        *("-lag-in-frames", "16", "-g", "20", "-deadline", "realtime", "-cpu-used", "8"),
    ),
    "VP9 with hidden frames": _simple(
        "vp9.webm",
        "-c:v",
        "libvpx-vp9",
        "-b:v",
        "300k",
        "-auto-alt-ref",
        "1",
        *("-lag-in-frames", "16", "-g", "20", "-deadline", "good", "-cpu-used", "8"),
    ),
    "VP9, odd size": _simple(
        "vp9odd.webm",
        "-c:v",
        "libvpx-vp9",
        "-b:v",
        "300k",
        "-g",
        "20",
        *("-deadline", "realtime", "-cpu-used", "8", "-vf", "scale=127:95"),
    ),
    "AV1": _simple("av1.mp4", "-c:v", "libsvtav1", "-preset", "13", "-g", "20", "-crf", "40"),
    "AV1 in WebM": _simple(
        "av1.webm", "-c:v", "libsvtav1", "-preset", "13", "-g", "20", "-crf", "40"
    ),
    "ProRes": _simple("prores.mov", "-c:v", "prores_ks", seconds=0.6),
    "GIF": _simple("moving.gif", "-r", "10"),
    "one frame": _simple("oneframe.mp4", *X264, "-frames:v", "1"),
    "MP4 that breaks off": _cut_off("broken.mp4", "index at the start", 0.6),
    "fragmented MP4 that breaks off": _cut_off("brokenfrag.mp4", "fragmented", 0.6),
    "transport stream that breaks off": _cut_off(
        "broken.ts", "open GOP in a transport stream", 0.6
    ),
    "Matroska that breaks off": _cut_off("broken.mkv", "B-frames in Matroska", 0.6),
    "index at the start": _remuxed("faststart.mp4", "constant rate", "-movflags", "+faststart"),
}

AWKWARD = tuple(_MAKERS)
"""The names of all awkward clips."""


@cache
def make_awkward(name: str, folder: Path) -> Path:
    """Make one of ``AWKWARD`` in a folder, which keeps what it needed on the way."""
    return _MAKERS[name](folder)
