"""Small exports for tests, and reading back what was written with PyAV alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray
from support.reviews import clip_ref

from cliptag.clip import Clip
from cliptag.export.cues import Cue
from cliptag.export.timeline import Timeline, build_timeline
from cliptag.export.video import VideoFacts, export_video
from cliptag.review import Note, Review


@dataclass(frozen=True)
class Exported:
    """An export and what it was made from."""

    facts: VideoFacts
    timeline: Timeline
    cues: tuple[Cue, ...]

    @property
    def out_times_us(self) -> list[int]:
        """When each picture should be shown, by the timeline."""
        return [frame.out_us for frame in self._frames]

    @property
    def source_frames(self) -> list[int | None]:
        return [frame.index for frame in self._frames]

    def __post_init__(self) -> None:
        cuts = tuple(time for cue in self.cues for time in (cue.start_us, cue.end_us))
        object.__setattr__(self, "_frames", list(self.timeline.frames(self.times_us, cuts)))

    times_us: NDArray[np.int64]


def review_of(clip: Clip, notes: Sequence[Note] = (), **fields: Any) -> Review:
    """A review of this clip."""
    shape = {"width": clip.info.width, "height": clip.info.height}
    return Review(
        clip=clip_ref(duration_us=clip.duration_us, **shape), notes=tuple(notes), **fields
    )


def one_cue_each(review: Review, timeline: Timeline, place: str = "bottom") -> tuple[Cue, ...]:
    """A caption for every note, on as long as the note is."""
    cues = []
    for note in review.notes:
        window = timeline.window_of(note.id)
        if window is not None and note.text:
            lines = (note.text,)
            cues.append(
                Cue(
                    window.start_us,
                    window.end_us,
                    lines,
                    note.id,
                    note.region,
                    note.kind,
                    place,
                    True,
                )  # type: ignore[arg-type]
            )
    return tuple(cues)


def export(
    clip: Clip,
    out: Path,
    notes: Sequence[Note] = (),
    *,
    reading_us: int = 500_000,
    place: str = "bottom",
    review: dict[str, Any] | None = None,
    **options: Any,
) -> Exported:
    """Export a clip with these notes; every note with a text gets one caption."""
    document = review_of(clip, notes, **(review or {}))
    reading = {note.id: reading_us for note in notes if note.text}
    timeline = build_timeline(document, clip.times_us, clip.duration_us, reading, title_card=False)
    cues = one_cue_each(document, timeline, place)
    facts = export_video(clip, document, timeline, cues, out, **options)
    return Exported(facts, timeline, cues, clip.times_us)


def pictures(video: Path) -> list[tuple[int, NDArray[np.uint8]]]:
    """Every picture in display order: its time in ticks of 1/90000 s, and its luma."""
    with av.open(str(video)) as container:
        stream = container.streams.video[0]
        return [
            (round(float(frame.pts * stream.time_base) * 90_000), _luma(frame))
            for frame in container.decode(stream)
        ]


def tick_times(video: Path) -> list[int]:
    """Every picture's time in ticks, without decoding, in display order."""
    with av.open(str(video)) as container:
        stream = container.streams.video[0]
        assert stream.time_base is not None and stream.time_base.denominator == 90_000
        return sorted(packet.pts for packet in container.demux(stream) if packet.pts is not None)


def sound(video: Path) -> tuple[int, NDArray[np.float32]]:
    """Sample rate, and (n, channels) samples from the video's time 0 on, placed as players do."""
    with av.open(str(video)) as container:
        stream = container.streams.audio[0]
        rate = stream.sample_rate
        pieces = [
            (round(float(frame.pts * stream.time_base) * rate), frame.to_ndarray().T)
            for frame in container.decode(stream)
        ]
    samples = np.zeros((max(at + len(piece) for at, piece in pieces), pieces[0][1].shape[1]))
    for at, piece in pieces:
        samples[max(0, at) : at + len(piece)] = piece[max(0, -at) :]
    return rate, samples.astype(np.float32)


def psnr_db(a: NDArray[np.uint8], b: NDArray[np.uint8]) -> float:
    """Peak signal-to-noise ratio of 8-bit samples."""
    error = np.mean((a.astype(np.float64) - b.astype(np.float64)) ** 2)
    return float("inf") if error == 0 else float(10 * np.log10(255**2 / error))


def _luma(frame: av.VideoFrame) -> NDArray[np.uint8]:
    plane = frame.planes[0]
    rows = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
    return rows[: frame.height, : frame.width].copy()
