"""What the client will see and hear, picture by picture, without an exported file."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import closing, nullcontext
from pathlib import Path
from typing import Final

import numpy as np
from av.video.frame import VideoFrame
from av.video.reformatter import ColorRange, Colorspace, VideoReformatter
from numpy.typing import NDArray

from cliptag.clip import Clip
from cliptag.export.composer import Composer
from cliptag.export.covering import clip_to_show, review_to_show
from cliptag.export.master import Master, make_master, spoken_in
from cliptag.export.scene import Scene
from cliptag.export.soundtrack import Samples, to_sample
from cliptag.export.take_home import ExportOptions, Plan, card_pictures, plan_export
from cliptag.review import Review, edit


class ClientView:
    """The exported video of a review as it would be now, made picture by picture when asked for.

    Its pictures and sound are put together by what puts the file together, so they differ from it
    by the encoder's losses alone. Going forward is quick; far jumps seek. Not thread-safe.
    """

    def __init__(
        self,
        clip: Clip,
        review: Review,
        options: ExportOptions | None = None,
        is_cancelled: Callable[[], bool] | None = None,
        *,
        plan: Plan | None = None,
        home: Path | None = None,
    ) -> None:
        """``plan`` is by default that of the review and the options. ``home`` is the folder of the
        review's file, by default the clip's: there its takes are.

        Raises ExportError when the part to be sent lies outside the clip.

        Faces to be covered are looked for and points that marks follow are followed first, unless
        that was done before; where a face may be open is not asked here. ExportCancelled is raised
        when ``is_cancelled`` said so meanwhile.
        """
        options = options or ExportOptions()
        review = review_to_show(edit.without_unread_drafts(review), options)
        clip = clip_to_show(review, clip, options, is_cancelled=is_cancelled)
        self._review = review
        self._home = home or clip.path.parent
        self.plan: Final = plan or plan_export(review, clip, options, is_cancelled=is_cancelled)
        self._clip = clip
        scene = Scene(
            review,
            self.plan.timeline,
            self.plan.cues,
            self.plan.readings,
            self.plan.words,
            self.plan.moving,
            self.plan.sizes,
        )
        self._frames = tuple(self.plan.timeline.frames(clip.times_us, scene.changes_us))
        self.times_us: Final = np.array([frame.out_us for frame in self._frames], np.int64)
        """(N,) when each picture is shown, from the start of the video; read-only."""
        self.times_us.flags.writeable = False
        cards = card_pictures(review, self.plan)
        sizes = self.plan.sizes
        self._composer = Composer(
            clip, scene, cards, self.plan.size, options.caption_scale, sizes.panels
        )
        self._reformatter = VideoReformatter()
        self._last: tuple[NDArray[np.uint8], NDArray[np.uint8]] | None = None

    def __len__(self) -> int:
        return len(self._frames)

    @property
    def duration_us(self) -> int:
        """How long the video is."""
        return self.plan.timeline.duration_us

    def picture(self, index: int) -> NDArray[np.uint8]:
        """(H, W, 3) R'G'B' of a picture, read-only; the same array again where nothing changed.

        Raises ClipError when the clip can't be decoded there.
        """
        packed = self._composer.picture(self._frames[index])
        if self._last is None or self._last[0] is not packed:
            self._last = packed, self._rgb(packed)
        return self._last[1]

    def sound(self) -> SoundTrack:
        """A reader of the video's sound, to be closed by the caller.

        It shares nothing with the pictures, so that another thread may read it. Raises ExportError
        when a recorded voice is gone.
        """
        timeline = self.plan.timeline
        spoken = spoken_in(self._review, timeline, self._home)
        source = self._clip.sound()
        with closing(source) if source else nullcontext():
            return SoundTrack(make_master(timeline, source, spoken))

    def close(self) -> None:
        """Stop decoding; the clip is not closed."""
        self._composer.close()

    def _rgb(self, packed: NDArray[np.uint8]) -> NDArray[np.uint8]:
        width, height = self.plan.size
        planes = packed.reshape(height * 3 // 2, width)
        frame = VideoFrame.from_ndarray(planes, format="yuv420p")
        rgb = self._reformatter.reformat(
            frame,
            format="rgb24",
            src_colorspace=Colorspace.ITU709,
            src_color_range=ColorRange.MPEG,
            dst_color_range=ColorRange.JPEG,
        ).to_ndarray()
        rgb.flags.writeable = False
        return np.asarray(rgb, np.uint8)


class SoundTrack:
    """The sound of the exported video between two of its times. Not thread-safe."""

    def __init__(self, master: Master) -> None:
        self._master = master

    def read(self, start_us: int, stop_us: int) -> Samples:
        """(n, 2) samples; n is exactly the whole samples between the two rounded times.

        Before the start and after the end there is silence.
        """
        return self._master.read(to_sample(start_us), to_sample(stop_us))

    def close(self) -> None:
        """Let go of it."""
        self._master.close()
