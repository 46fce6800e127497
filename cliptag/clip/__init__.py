"""Exact reading of phone clips and photos.

with open_clip("squat.mp4") as clip:
    frame = clip.frame(clip.index_at(2_500_000))
    show(frame.rgb)
"""

from cliptag.clip.cautions import Caution, Looks, cautions_from_facts, cautions_of, looks_of
from cliptag.clip.clip import Clip
from cliptag.clip.digest import digest_of
from cliptag.clip.frame import Frame
from cliptag.clip.info import ClipInfo
from cliptag.clip.opening import open_clip
from cliptag.clip.picture import PlanarFrame
from cliptag.clip.sound import SoundReader
from cliptag.clip.tempo import Tempo
from cliptag.errors import ClipError, ClipNotFoundError

__all__ = [
    "Caution",
    "Clip",
    "ClipError",
    "ClipInfo",
    "ClipNotFoundError",
    "Frame",
    "Looks",
    "PlanarFrame",
    "SoundReader",
    "Tempo",
    "cautions_from_facts",
    "cautions_of",
    "digest_of",
    "looks_of",
    "open_clip",
]
