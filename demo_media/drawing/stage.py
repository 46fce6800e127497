"""One frame: room behind, figure and its shadow before it, through the lens to bytes."""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from functools import cached_property

import cv2
import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRect, Qt
from PyQt6.QtGui import QPainter, QTransform

from drawing.body import Body
from drawing.camera import Camera
from drawing.canvas import clear_image, pixels_of, smooth_painter
from drawing.figure import Dot, Layer, layers, paint_layers
from drawing.movement import Held
from drawing.props import billet_path, crate_path, paint_billet, paint_crate
from drawing.tube import Light
from drawing.wardrobe import Wardrobe, sew
from drawing.workshop import Room, paint_far, paint_near

_FINE = 2
"""The figure and the room are painted at this many times the picture's size, then averaged."""
_MARGIN = 32.0
_COARSE = 8
"""Shadows are reckoned at this fraction of the picture's size."""

Picture = NDArray[np.uint8]


@dataclass(frozen=True)
class Stage:
    """Room, camera and where she stands: ``ankle_x`` (cm) is the place of her frame's zero, she
    faces right or left. ``load`` is 'crate', 'billet' or ''."""

    room: Room
    camera: Camera
    ankle_x: float
    facing_right: bool
    load: str = ""
    grain: float = 1.5

    @property
    def side(self) -> float:
        return 1.0 if self.facing_right else -1.0

    def world(self, z: complex) -> complex:
        """A point of her frame in the room."""
        return complex(self.ankle_x + self.side * z.real, z.imag)

    def stack(self, body: Body, held: Held | None) -> list[Layer]:
        return list(layers(body, self._wear, self._light, self._load_layer(held)))

    def frame(self, stack: list[Layer], t: float, name: str, index: int) -> Picture:
        """The picture (height x width x 3, RGB) of a stack of layers at clip time ``t`` (s)."""
        backdrop = self._backdrop(t)
        figure, left, top = self._figure(stack, t)
        self._shadow(backdrop, figure, left, top, t)
        height, width = figure.shape[:2]
        part = backdrop[top : top + height, left : left + width]
        cover = figure[..., 3:] * np.float32(1 / 255)
        part *= 1 - cover
        part += figure[..., :3]
        return self._expose(backdrop, t, name, index)

    @cached_property
    def _wear(self) -> Wardrobe:
        return sew()

    @cached_property
    def _light(self) -> Light:
        return Light(forward=0.50, up=0.58, near=0.64)

    def _load_layer(self, held: Held | None) -> Layer | None:
        if held is None or not self.load:
            return None
        frame = QTransform().translate(held.centre.real, held.centre.imag).rotate(held.lean)
        path, paint = (
            (crate_path(), paint_crate) if self.load == "crate" else (billet_path(), paint_billet)
        )

        def framed(painter: QPainter) -> None:
            painter.save()
            painter.setTransform(frame, True)
            paint(painter)
            painter.restore()

        return Layer(framed, frame.map(path), (Dot("load", held.centre, 0.5, taped=False),))

    @cached_property
    def _still(self) -> NDArray[np.float32]:
        """The empty room at twice the size, with a margin for the shaking hand."""
        camera = self.camera
        width = int((camera.width + 2 * _MARGIN) * _FINE)
        height = int((camera.height + 2 * _MARGIN) * _FINE)
        view = camera.steady.view(0.0, _FINE, _MARGIN)
        images = []
        for paint in (paint_far, paint_near):
            image = clear_image(width, height)
            painter = smooth_painter(image)
            painter.setWorldTransform(view)
            paint(painter, self.room)
            painter.end()
            images.append(pixels_of(image).astype(np.float32))
        blur = 0.17 * camera.px_per_cm * _FINE
        far = cv2.GaussianBlur(images[0][..., :3], (0, 0), blur)
        near = images[1]
        return np.asarray(far * (1 - near[..., 3:] / 255) + near[..., :3], np.float32)

    @cached_property
    def _still_at_rest(self) -> NDArray[np.float32]:
        return self._through(0.0)

    def _backdrop(self, t: float) -> NDArray[np.float32]:
        return self._through(t) if self.camera.handheld else self._still_at_rest.copy()

    def _through(self, t: float) -> NDArray[np.float32]:
        matrix = self.camera.from_still(t, _FINE, _MARGIN)
        size = (self.camera.width, self.camera.height)
        return np.asarray(cv2.warpAffine(self._still, matrix, size, flags=cv2.INTER_LINEAR))

    def _figure(self, stack: list[Layer], t: float) -> tuple[NDArray[np.float32], int, int]:
        """The figure's premultiplied pixels and where their upper left corner lies."""
        to_room = QTransform(self.side, 0, 0, 1, self.ankle_x, 0)
        view = to_room * self.camera.view(t, 1.0)
        box = QRect()
        for layer in stack:
            box = box.united(view.mapRect(layer.path.boundingRect()).toAlignedRect())
        box = box.adjusted(-40, -40, 40, 40)
        box = box.intersected(QRect(0, 0, self.camera.width, self.camera.height))
        image = clear_image(box.width() * _FINE, box.height() * _FINE)
        painter = smooth_painter(image)
        shift = QTransform.fromTranslate(-box.x(), -box.y())
        painter.setWorldTransform(view * shift * QTransform.fromScale(_FINE, _FINE))
        painter.setPen(Qt.PenStyle.NoPen)
        paint_layers(painter, stack)
        painter.end()
        small = cv2.resize(
            pixels_of(image), (box.width(), box.height()), interpolation=cv2.INTER_AREA
        )
        return small.astype(np.float32), box.x(), box.y()

    def _shadow(
        self,
        backdrop: NDArray[np.float32],
        figure: NDArray[np.float32],
        left: int,
        top: int,
        t: float,
    ) -> None:
        """Her soft shadow on the floor: a long pale one away from the window, and a dark one where
        something is close to the floor."""
        camera = self.camera
        floor = camera.place(complex(camera.centre_x, 0.0), t).imag
        rows = np.arange(figure.shape[0], dtype=np.float32) + top
        height_cm = np.clip((floor - rows) / camera.px_per_cm, 0, None)
        cover = figure[..., 3] / np.float32(255)
        close = cover * np.exp(-height_cm / 9.0)[:, None]
        long = self._thrown(cover, left, top, floor, lean=0.5, flat=0.075) * 0.50
        near = self._thrown(close, left, top, floor, lean=0.15, flat=0.10) * 0.85
        total = np.maximum(cv2.GaussianBlur(long, (0, 0), 2.2), cv2.GaussianBlur(near, (0, 0), 1.1))
        size = (camera.width, camera.height)
        wide = cv2.resize(total, size, interpolation=cv2.INTER_CUBIC)
        backdrop *= 1 - np.clip(wide, 0, 0.75)[..., None]

    def _thrown(
        self,
        cover: NDArray[np.float32],
        left: int,
        top: int,
        floor: float,
        lean: float,
        flat: float,
    ) -> NDArray[np.float32]:
        """The figure's cover laid flat on the floor, at an eighth of the picture's size."""
        small_size = (cover.shape[1] // _COARSE, cover.shape[0] // _COARSE)
        small = cv2.resize(cover, small_size, interpolation=cv2.INTER_AREA)
        drop = (floor - top) / _COARSE
        matrix = np.array(
            [
                [1.0, self.side * lean, left / _COARSE - self.side * lean * drop],
                [0.0, flat, (floor + 0.6 * self.camera.px_per_cm) / _COARSE - flat * drop],
            ]
        )
        size = (self.camera.width // _COARSE + 1, self.camera.height // _COARSE + 1)
        # Flattening skips rows unless they are averaged first.
        small = cv2.blur(small, (1, max(1, round(1 / flat))))
        return np.asarray(cv2.warpAffine(small, matrix, size))

    @cached_property
    def _vignette(self) -> NDArray[np.float32]:
        camera = self.camera
        y, x = np.mgrid[0 : camera.height, 0 : camera.width].astype(np.float32)
        middle = np.hypot(camera.width, camera.height) / 2
        r = np.hypot(x - camera.width / 2, y - camera.height / 2) / middle
        return np.asarray(1.03 - 0.20 * r**2.6, np.float32)[..., None]

    @cached_property
    def _noise(self) -> NDArray[np.float32]:
        """A sheet of sensor noise to cut pieces from: fine, a little coloured, a little clumped."""
        random = np.random.default_rng(77)
        sheet = random.standard_normal((2304, 2304, 3)).astype(np.float32)
        grey = sheet.mean(axis=2, keepdims=True) * 1.5
        clumped = cv2.GaussianBlur(0.45 * sheet + 0.9 * grey, (0, 0), 0.75)
        return np.asarray(clumped * np.float32(2.0))

    def _expose(self, picture: NDArray[np.float32], t: float, name: str, index: int) -> Picture:
        """Vignette, a slow drift of exposure, and noise that is stronger in the light."""
        camera = self.camera
        random = np.random.default_rng(zlib.crc32(f"{name} {index}".encode()))
        y, x = (int(random.integers(0, 2304 - n)) for n in (camera.height, camera.width))
        noise = self._noise[y : y + camera.height, x : x + camera.width]
        gain = np.float32(1.0 + 0.006 * np.sin(2 * np.pi * t / 6.5))
        picture *= self._vignette * gain
        picture += noise * (self.grain * (0.55 + 0.45 * np.sqrt(picture / 255)))
        return np.asarray(np.clip(picture[..., ::-1] + 0.5, 0, 255), np.uint8)
