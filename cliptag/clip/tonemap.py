"""High dynamic range and wide gamut shown on an ordinary screen: one table of colours.

Light is computed as a 1000 cd/m² reference display would show it, reference white (203 cd/m²) is
taken for the ordinary screen's white, highlights above about half of it are rolled off, colours
outside BT.709 are drawn towards grey, and the result is encoded for a
BT.1886 display.

Sources: ITU-R BT.2100-2 (HLG and PQ curves, OOTF with system gamma 1.2), BT.2408 (reference white
203 cd/m², HLG 75 %, PQ 58 %), BT.2390 (EETF: the roll-off in PQ), BT.2087 (BT.2020 to BT.709),
SMPTE EG 432-1 (Display P3), BT.1886 (gamma 2.4).
"""

from __future__ import annotations

import tempfile
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
from av.filter import Graph
from av.video.format import VideoFormat
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from cliptag.clip.colour import WIDE_PRIMARIES, Colour

RGB10: Final = "gbrp10le"
"""The pixel format that goes through the table: planar R'G'B', 10 bit, full range."""

_POINTS: Final = 33
_PEAK_NITS: Final = 1000.0
_WHITE_NITS: Final = 203.0
_D65: Final = (0.3127, 0.3290)
_PRIMARIES: Final = {
    "bt709": ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060)),
    "bt2020": ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046)),
    "display-p3": ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060)),
}
_SCREEN_GAMMA: Final = 2.4
_KEPT_SATURATION: Final = 0.75
_Light = NDArray[np.float64]


def needs_mapping(colour: Colour) -> bool:
    """Whether the picture would look wrong if its numbers were taken for BT.709."""
    return colour.hdr is not None or colour.primaries in WIDE_PRIMARIES


class ToneMap:
    """Maps RGB10 frames of one size to BT.709 through the table, by FFmpeg's ``lut3d``."""

    def __init__(self, colour: Colour, width: int, height: int) -> None:
        graph = Graph()
        source = graph.add_buffer(
            width=width, height=height, format=VideoFormat(RGB10), time_base=Fraction(1)
        )
        # The filter reads the table when it is made, and takes it from a file only.
        with tempfile.TemporaryDirectory(prefix="cliptag-") as folder:
            table = Path(folder) / "colours.cube"
            table.write_text(_cube_text(colour.primaries, colour.transfer), encoding="ascii")
            lut = graph.add("lut3d", file=str(table), interp="tetrahedral")
        graph.link_nodes(source, lut, graph.add("buffersink"))
        graph.configure()
        self._graph = graph

    def apply(self, frame: VideoFrame) -> VideoFrame:
        """An RGB10 frame as BT.709 R'G'B' in the same format."""
        self._graph.vpush(frame)
        return self._graph.vpull()


def mapped(signal: _Light, primaries: str, transfer: str) -> _Light:
    """(..., 3) R'G'B' of the source, 0 to 1, as (..., 3) R'G'B' of BT.709, 0 to 1."""
    light = _display_light(np.clip(signal, 0, 1), transfer)
    if transfer in ("hlg", "pq"):
        brightest = light.max(axis=-1, keepdims=True)
        # The same factor for all three channels keeps the hue.
        light = light * _rolled_off(brightest) / np.maximum(brightest, 1e-9)
    light = light @ _to_bt709(primaries if primaries in _PRIMARIES else "bt709").T
    return np.asarray(_into_gamut(light) ** (1 / _SCREEN_GAMMA))


def _display_light(signal: _Light, transfer: str) -> _Light:
    """Light of the reference display; 1 is reference white."""
    if transfer == "hlg":
        scene = _hlg_scene_light(signal)
        luminance = scene @ np.array([0.2627, 0.6780, 0.0593])
        return np.asarray(scene * luminance[..., None] ** 0.2 * (_PEAK_NITS / _WHITE_NITS))
    if transfer == "pq":
        return np.minimum(_pq_nits(signal), _PEAK_NITS) / _WHITE_NITS
    return np.asarray(signal**_SCREEN_GAMMA)


def _hlg_scene_light(signal: _Light) -> _Light:
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    return np.where(signal <= 0.5, signal**2 / 3, (np.exp((signal - c) / a) + b) / 12)


_M1, _M2 = 2610 / 16384, 2523 / 4096 * 128
_C1, _C2, _C3 = 3424 / 4096, 2413 / 4096 * 32, 2392 / 4096 * 32


def _pq_nits(signal: _Light) -> _Light:
    power = signal ** (1 / _M2)
    return np.asarray(1e4 * (np.maximum(power - _C1, 0) / (_C2 - _C3 * power)) ** (1 / _M1))


def _pq_signal(nits: _Light) -> _Light:
    power = (nits / 1e4) ** _M1
    return np.asarray(((_C1 + _C2 * power) / (1 + _C3 * power)) ** _M2)


def _rolled_off(light: _Light) -> _Light:
    """BT.2390's EETF from the reference display's peak to reference white, without black lift."""
    peak = _pq_signal(np.array(_PEAK_NITS))
    value = _pq_signal(np.minimum(light * _WHITE_NITS, _PEAK_NITS)) / peak
    top = float(_pq_signal(np.array(_WHITE_NITS)) / peak)
    knee = 1.5 * top - 0.5
    t = (value - knee) / (1 - knee)
    curve = (
        (2 * t**3 - 3 * t**2 + 1) * knee
        + (t**3 - 2 * t**2 + t) * (1 - knee)
        + (-2 * t**3 + 3 * t**2) * top
    )
    return _pq_nits(np.where(value < knee, value, curve) * peak) / _WHITE_NITS


def _into_gamut(light: _Light) -> _Light:
    """Linear BT.709 brought into 0 to 1 without a change of hue.

    Colours of up to three quarters of the saturation that BT.709 can show stay as they are; the
    rest is drawn towards grey of the same luminance, so that neighbouring colours stay apart.
    What is still too bright for one channel is dimmed.
    """
    grey = np.clip(light @ np.array([0.2126, 0.7152, 0.0722]), 0, 1)[..., None]
    saturation = 1 - light.min(axis=-1, keepdims=True) / np.maximum(grey, 1e-9)
    beyond = np.maximum(saturation - _KEPT_SATURATION, 0) / (1 - _KEPT_SATURATION)
    squeezed = _KEPT_SATURATION + (1 - _KEPT_SATURATION) * beyond / (1 + beyond)
    keep = np.where(beyond > 0, squeezed / np.maximum(saturation, 1e-9), 1)
    drawn = grey + (light - grey) * keep
    return np.asarray(np.clip(drawn / np.maximum(drawn.max(axis=-1, keepdims=True), 1), 0, 1))


@cache
def _to_bt709(primaries: str) -> _Light:
    return np.array(np.linalg.inv(_to_xyz("bt709")) @ _to_xyz(primaries))


def _to_xyz(primaries: str) -> _Light:
    """Linear RGB with a D65 white to CIE XYZ (SMPTE RP 177)."""

    def xyz(x: float, y: float) -> list[float]:
        return [x / y, 1.0, (1 - x - y) / y]

    columns = np.array([xyz(*point) for point in _PRIMARIES[primaries]]).T
    return np.asarray(columns * np.linalg.solve(columns, np.array(xyz(*_D65))))


@cache
def _cube_text(primaries: str, transfer: str) -> str:
    """The table in the .cube format: red runs fastest (Adobe Cube LUT Specification 1.0)."""
    steps = np.linspace(0, 1, _POINTS)
    blue, green, red = np.meshgrid(steps, steps, steps, indexing="ij")
    table = mapped(np.stack([red, green, blue], axis=-1), primaries, transfer).reshape(-1, 3)
    rows = "\n".join(f"{r:.6f} {g:.6f} {b:.6f}" for r, g, b in table)
    return f"LUT_3D_SIZE {_POINTS}\n{rows}\n"
