"""Tracks kept on disk, so that a clip that was followed once opens with its curves.

One small file for each clip and set of placements. A file that is damaged, half-written or of
another version counts as absent; what can't be written is not kept.
"""

from __future__ import annotations

import hashlib
import io
import os
import zipfile
import zlib
from contextlib import suppress
from dataclasses import astuple
from pathlib import Path
from typing import Final

import msgspec
import numpy as np
import platformdirs
from numpy.typing import NDArray

from cliptag.files import write_bytes
from cliptag.measure.tracking.film import Film
from cliptag.measure.tracking.keys import Placement
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tracks import Tracks

_FORMAT: Final = 1  # raise it whenever tracks would come out otherwise
_MOST_FILES: Final = 300
_COLUMNS: Final = ("points", "sd_px", "states", "likeness")


class TrackStore:
    """Tracks by the clip's digest, the placements and the settings, in ``folder``.

    Without one, in the user's cache folder.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or platformdirs.user_cache_path("cliptag", appauthor=False) / "tracks"

    def load(
        self, film: Film, placed: dict[str, tuple[Placement, ...]], settings: Settings
    ) -> Tracks | None:
        """What was kept, or None."""
        path = self._path(film, placed, settings)
        try:
            tracks = _unpacked(path.read_bytes(), film, placed)
        except (OSError, EOFError, ValueError, KeyError, zipfile.BadZipFile, zlib.error):
            return None
        with suppress(OSError):
            os.utime(path)  # so that the clips in use are the last to be dropped
        return tracks

    def keep(self, film: Film, tracks: Tracks, settings: Settings) -> None:
        """Keep tracks; the ones unused for longest make room."""
        path = self._path(film, dict(tracks.keys), settings)
        with suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            write_bytes(path, _packed(tracks))
            kept = sorted(self._folder.glob("*.tracks"), key=lambda file: file.stat().st_mtime)
            for file in kept[:-_MOST_FILES]:
                file.unlink(missing_ok=True)

    def _path(
        self, film: Film, placed: dict[str, tuple[Placement, ...]], settings: Settings
    ) -> Path:
        keys = [(name, [astuple(p) for p in placed[name]]) for name in sorted(placed)]
        asked = msgspec.json.encode((_FORMAT, film.digest, astuple(settings), keys))
        # The clip's digest stands first, so that all of one clip can be found and removed.
        mark = hashlib.blake2b(asked, digest_size=20).hexdigest()
        return self._folder / f"{film.digest}-{mark}.tracks"


def _packed(tracks: Tracks) -> bytes:
    arrays = {
        f"{column}-{at}": getattr(tracks, column)[name]
        for column in _COLUMNS
        for at, name in enumerate(sorted(tracks.keys))
    }
    file = io.BytesIO()
    np.savez_compressed(file, times_us=tracks.times_us, **arrays)
    return file.getvalue()


def _unpacked(data: bytes, film: Film, placed: dict[str, tuple[Placement, ...]]) -> Tracks:
    """Raises what numpy raises for damaged data, and ValueError when they are of another clip."""
    with np.load(io.BytesIO(data), allow_pickle=False) as arrays:
        if not np.array_equal(arrays["times_us"], film.times_us):
            raise ValueError("the frames' times differ")
        columns: dict[str, dict[str, NDArray[np.generic]]] = {
            column: {name: arrays[f"{column}-{at}"] for at, name in enumerate(sorted(placed))}
            for column in _COLUMNS
        }
        return Tracks(times_us=arrays["times_us"], keys=placed, **columns)  # type: ignore[arg-type]
