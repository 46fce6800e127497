"""The exported video: the clip with the review painted in, as an MP4 file."""

from __future__ import annotations

import errno
import math
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

import av
import av.error

from cliptag.clip import Clip
from cliptag.errors import CliptagError, ExportCancelled, ExportError
from cliptag.export.chapters import Chapter
from cliptag.export.composer import CardPictures, Composer, Panels, Size, output_size
from cliptag.export.cues import Cue
from cliptag.export.encoder import DISK_FULL, Encoder
from cliptag.export.ffmpeg import (
    RatePass,
    VideoSettings,
    encode_command,
    ffmpeg_binary,
    metadata_text,
    to_ticks,
)
from cliptag.export.master import Master, Spoken, make_master
from cliptag.export.mover import Mover
from cliptag.export.scene import Readings, Scene
from cliptag.export.sizing import encode_to_size
from cliptag.export.soundtrack import Samples, to_sample
from cliptag.export.timeline import STILL_STEP_US, Timeline
from cliptag.files import replacing
from cliptag.paint import Sizes
from cliptag.review import Review
from cliptag.words import ENGLISH, Words

Progress: TypeAlias = Callable[[float, float | None], None]
"""Told how much is done, 0 to 1, and how many seconds are left, as soon as that can be guessed."""

_MOST_FPS: Final = 240.0  # a clip that claims more has damaged times
_SOUND_LEAD_US: Final = 300_000
_REPORT_SECONDS: Final = 0.1
_FIRST_GUESS_SECONDS: Final = 0.5


@dataclass(frozen=True, slots=True)
class VideoFacts:
    """What was written."""

    path: Path
    width: int
    height: int
    frame_count: int
    duration_us: int
    size_bytes: int


def export_video(
    clip: Clip,
    review: Review,
    timeline: Timeline,
    cues: Sequence[Cue],
    out_path: Path,
    *,
    readings: Readings | None = None,
    words: Words = ENGLISH,
    moving: Mover | None = None,
    cards: CardPictures | None = None,
    chapters: Sequence[Chapter] = (),
    title: str = "",
    size: Size | None = None,
    caption_scale: float = 1.0,
    panels: Panels = (),
    settings: VideoSettings | None = None,
    spoken: Sequence[Spoken] = (),
    soft_captions: str = "",
    size_bytes: int | None = None,
    most_bytes: float = math.inf,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> VideoFacts:
    """Write the annotated video: H.264 and AAC in an MP4 that plays while it is loading.

    ``moving`` tells where marks are that follow tracked points; without it they stay where they
    were placed. ``cards`` holds a picture of ``size`` for every card of the timeline. ``size``
    (width, height), both even, is by default ``output_size`` of the clip; of a sheet of several
    pictures ``panels`` tell where they are, so that no label strays. Nothing of the clip's own
    metadata, such as where and on which phone it was filmed, is taken over. ``spoken`` is heard
    over the clip's sound. ``soft_captions`` (WebVTT) become a track that a player can show or hide.
    With ``size_bytes`` the file gets that large, in two passes, and never larger than
    ``most_bytes``. ``is_cancelled`` (such as the ``is_set`` of an event) is asked often.

    The file appears when it is complete; a file of that name is replaced then. Raises ExportError
    when it can't be written, ExportCancelled when the person stopped it and ClipError when the
    clip can't be decoded; then nothing is left behind.
    """
    target = out_path.absolute()
    if target.exists() and target.samefile(clip.path):
        raise ExportError(f"{target.name} is the clip itself: choose another name for the video.")
    size = size or output_size(clip.info.width, clip.info.height)
    sizes = Sizes(clip.info.width, clip.info.height, caption_scale, panels)
    scene = Scene(review, timeline, cues, readings or {}, words, moving, sizes)
    frame_count = sum(1 for _ in timeline.frames(clip.times_us, scene.changes_us))
    if not frame_count:
        raise ExportError("There is nothing to show: choose a part of the clip that is longer.")
    passes = 1 if size_bytes is None else 2
    watch = _Watch(frame_count * passes, progress, is_cancelled)
    try:
        with (
            replacing(target) as part,
            tempfile.TemporaryDirectory(prefix="cliptag-") as folder,
            closing(_master(clip, timeline, spoken, watch)) as master,
        ):
            files = _Files(Path(folder), metadata_text(title, chapters), soft_captions)

            def encode(into: Path, rate: RatePass | None) -> None:
                command = encode_command(
                    ffmpeg_binary(),
                    into,
                    files.metadata,
                    size,
                    min(clip.info.nominal_fps, _MOST_FPS) or 1e6 / STILL_STEP_US,
                    settings or VideoSettings(),
                    captions=files.captions,
                    language=words.language,
                    rate=rate,
                )
                composer = Composer(clip, scene, cards or {}, size, caption_scale, panels)
                with closing(composer), Encoder(command, *size) as encoder:
                    _send_all(clip, timeline, scene, composer, encoder, master, watch)
                    encoder.finish(watch.check)

            if size_bytes is None:
                encode(part, None)
            else:
                encode_to_size(
                    encode, part, files.folder, size_bytes, timeline.duration_us, most_bytes
                )
            _check_complete(part, frame_count)
    except CliptagError:
        raise
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise ExportError(DISK_FULL) from error
        raise ExportError(
            f"The video can't be written to {target.parent} ({error.strerror or error}): "
            "choose another folder."
        ) from error
    watch.report_done()
    return VideoFacts(target, *size, frame_count, timeline.duration_us, target.stat().st_size)


class _Files:
    """What ffmpeg reads beside the pictures and the sound."""

    def __init__(self, folder: Path, metadata: str, captions: str) -> None:
        self.folder = folder
        self.metadata = folder / "about.txt"
        self.metadata.write_text(metadata, encoding="utf-8")
        self.captions = folder / "captions.vtt" if captions else None
        if self.captions is not None:
            self.captions.write_text(captions, encoding="utf-8", newline="\n")


def _master(clip: Clip, timeline: Timeline, spoken: Sequence[Spoken], watch: _Watch) -> Master:
    source = clip.sound()
    with closing(source) if source else nullcontext():
        return make_master(timeline, source, spoken, watch.check)


def _send_all(
    clip: Clip,
    timeline: Timeline,
    scene: Scene,
    composer: Composer,
    encoder: Encoder,
    master: Master,
    watch: _Watch,
) -> None:
    sound = _SoundFeed(encoder, master.blocks())
    for frame in timeline.frames(clip.times_us, scene.changes_us):
        watch.check()
        sound.send_until(frame.out_us + _SOUND_LEAD_US)
        encoder.send_picture(to_ticks(frame.out_us), composer.picture(frame))
        watch.count()
    sound.send_until(timeline.duration_us)


class _SoundFeed:
    """Sends the sound a little ahead of the pictures, so that neither piles up in the pipe."""

    def __init__(self, encoder: Encoder, blocks: Iterator[Samples]) -> None:
        self._encoder = encoder
        self._blocks = blocks
        self._sent = 0

    def send_until(self, out_us: int) -> None:
        while self._sent < to_sample(out_us):
            block = next(self._blocks, None)
            if block is None:
                return
            self._encoder.send_sound(self._sent, block)
            self._sent += len(block)


class _Watch:
    """Tells how far the export is, and hears when it shall stop."""

    def __init__(
        self, total: int, progress: Progress | None, is_cancelled: Callable[[], bool] | None
    ) -> None:
        self._total = total
        self._sent = 0
        self._progress = progress
        self._is_cancelled = is_cancelled
        self._started = time.monotonic()
        self._reported = 0.0

    def check(self) -> None:
        if self._is_cancelled is not None and self._is_cancelled():
            raise ExportCancelled("The export was stopped; nothing was left behind.")

    def count(self) -> None:
        self._sent += 1
        now = time.monotonic()
        if self._progress is None or now - self._reported < _REPORT_SECONDS:
            return
        self._reported = now
        elapsed, done = now - self._started, self._sent / self._total
        left = elapsed / done - elapsed if elapsed >= _FIRST_GUESS_SECONDS else None
        self._progress(min(done, 0.99), left)  # the encoder still has some pictures to do

    def report_done(self) -> None:
        if self._progress is not None:
            self._progress(1.0, 0.0)


def _check_complete(video: Path, frame_count: int) -> None:
    try:
        with av.open(f"file:{video}") as container:
            written = container.streams.video[0].frames
    except (av.error.FFmpegError, IndexError):
        written = 0
    if written != frame_count:
        raise ExportError(
            f"The video encoder wrote {written} of {frame_count} pictures, not a complete video: "
            "export again, or choose another ffmpeg with CLIPTAG_FFMPEG."
        )
