"""Each picture of the exported video, put together in a buffer of its own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.clip import Clip
from cliptag.export.blend import PlanarPatch, Planes, blend_into, patches_from_rgba
from cliptag.export.feed import FrameFeed
from cliptag.export.scene import NOTHING, Scene, Shown
from cliptag.export.timeline import Card, CardName, OutputFrame
from cliptag.paint import Overlay, Sizes, ensure_painter_ready, paint_overlay, time_left_line

Size: TypeAlias = tuple[int, int]
Panels: TypeAlias = tuple[tuple[float, float, float, float], ...]
"""The pictures on a sheet of several: (left, top, width, height) each."""
CardPictures: TypeAlias = Mapping[tuple[CardName, int], NDArray[np.uint8]]
"""The cards by name and page, each (H, W, 4) RGBA without transparency, as ``rgba_of`` gives."""

LONG_CARD_US: Final = 8_000_000
"""A card that stands as long shows how much of its time is left, or it might seem stuck."""
LONGEST_SIDE: Final = 1920
"""What a client's phone shows; a larger video only takes longer to send."""


def output_size(width: int, height: int, longest: int = LONGEST_SIDE) -> Size:
    """The size of the exported video for a clip displayed at ``width`` x ``height``.

    Fitted into ``longest`` and never enlarged; both numbers are even, as 4:2:0 pictures need.
    """
    if max(width, height) <= longest:
        return width + width % 2, height + height % 2
    scale = longest / max(width, height)
    return max(2, round(width * scale / 2) * 2), max(2, round(height * scale / 2) * 2)


class Composer:
    """Makes the pictures in order; what hasn't changed since the last one isn't made again."""

    def __init__(
        self,
        clip: Clip,
        scene: Scene,
        cards: CardPictures,
        size: Size,
        caption_scale: float = 1.0,
        panels: Panels = (),
    ) -> None:
        ensure_painter_ready()
        self._feed = FrameFeed(clip, size)
        self._scene = scene
        self._cards = cards
        self._size = size
        info = clip.info
        self._sizes = Sizes(info.width, info.height, caption_scale, panels)
        # An odd side gets one more row or column, which doesn't stretch what is painted.
        is_full_size = size == (info.width + info.width % 2, info.height + info.height % 2)
        self._scale = (1.0, 1.0) if is_full_size else (size[0] / info.width, size[1] / info.height)
        self._planes: Planes | None = None
        self._made: tuple[Card | int | None, float | None, Shown] | None = None
        self._bare_card: tuple[Card, Planes] | None = None
        # Of what stays on the picture and of what moves on it; each is painted when it changes.
        self._resting: tuple[Shown, tuple[PlanarPatch, ...]] = (NOTHING, ())
        self._moving: tuple[Shown, tuple[PlanarPatch, ...]] = (NOTHING, ())

    def picture(self, frame: OutputFrame) -> NDArray[np.uint8]:
        """The picture of an output frame, packed as Y, U, V; it is never changed afterwards."""
        shown = self._scene.shown_at(frame)
        left = _share_left(frame)
        made = (frame.span if isinstance(frame.span, Card) else frame.index, left, shown)
        if self._planes is None or made != self._made:
            self._planes = (
                self._card(frame.span, left)
                if isinstance(frame.span, Card)
                else self._frame(frame.index or 0, shown)
            )
            self._made = made
        return self._planes.packed

    def close(self) -> None:
        """Stop decoding."""
        self._feed.close()

    def _card(self, card: Card, share_left: float | None) -> Planes:
        if self._bare_card is None or self._bare_card[0] is not card:
            self._bare_card = card, self._painted_card(card)
        bare = self._bare_card[1]
        line = None if share_left is None else time_left_line(self._size, share_left)
        if line is None:
            return bare
        planes = Planes(*self._size)
        planes.packed[...] = bare.packed
        for patch in patches_from_rgba(line.rgba, line.left, line.top):
            blend_into(planes, patch)
        return planes

    def _painted_card(self, card: Card) -> Planes:
        rgba = self._cards[card.name, card.page]
        if rgba.shape != (self._size[1], self._size[0], 4) or rgba[..., 3].min() < 255:
            width, height = self._size
            raise ValueError(f"the {card.name} card is not an opaque {width} x {height} picture")
        planes = Planes(*self._size)
        for patch in patches_from_rgba(rgba, 0, 0):
            blend_into(planes, patch)
        return planes

    def _frame(self, index: int, shown: Shown) -> Planes:
        frame = self._feed.frame(index)
        planes = Planes(*self._size)
        planes.load(frame.y, frame.u, frame.v)
        for patch in self._patches(shown):
            blend_into(planes, patch)
        return planes

    def _patches(self, shown: Shown) -> tuple[PlanarPatch, ...]:
        if shown.at_rest != self._resting[0]:
            self._resting = shown.at_rest, self._paint(self._scene.overlay(shown))
        if shown.frame is None:
            return self._resting[1]
        moving = replace(shown, cue=None, is_still=False)
        if moving != self._moving[0]:
            self._moving = moving, self._paint(self._scene.moving_overlay(shown))
        return self._moving[1] + self._resting[1]

    def _paint(self, overlay: Overlay) -> tuple[PlanarPatch, ...]:
        box = paint_overlay(overlay, self._sizes, self._scale, self._size)
        return () if box is None else patches_from_rgba(box.rgba, box.left, box.top)


def _share_left(frame: OutputFrame) -> float | None:
    """Of the time of a card that stands long."""
    card = frame.span
    if not isinstance(card, Card) or card.out_end_us - card.out_start_us < LONG_CARD_US:
        return None
    return (card.out_end_us - frame.out_us) / (card.out_end_us - card.out_start_us)
