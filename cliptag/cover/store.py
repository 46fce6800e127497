"""Searches kept on disk, so that a clip is looked through once."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Final

import msgspec
import platformdirs

from cliptag.clip import Clip
from cliptag.cover.found import HeadSearch
from cliptag.files import write_bytes

_FORMAT: Final = 1  # raise it whenever a search would come out otherwise
_MOST_FILES: Final = 300


class SearchStore:
    """Searches by the clip's digest in ``folder``, by default in the user's cache folder.

    A file that is damaged or of another version counts as absent; what can't be written is not
    kept.
    """

    def __init__(self, folder: Path | None = None) -> None:
        self._folder = folder or platformdirs.user_cache_path("cliptag", appauthor=False) / "heads"

    def load(self, clip: Clip) -> HeadSearch | None:
        """What was kept, or None."""
        try:
            search = msgspec.json.decode(self._path(clip).read_bytes(), type=HeadSearch)
        except (OSError, msgspec.MsgspecError):
            return None
        return search if search.samples and search.samples[-1] == len(clip) - 1 else None

    def keep(self, clip: Clip, search: HeadSearch) -> None:
        """Keep a search; the oldest ones make room."""
        with suppress(OSError):
            self._folder.mkdir(parents=True, exist_ok=True)
            write_bytes(self._path(clip), msgspec.json.encode(search))
            kept = sorted(self._folder.glob("*.heads"), key=lambda file: file.stat().st_mtime)
            for file in kept[:-_MOST_FILES]:
                file.unlink(missing_ok=True)

    def _path(self, clip: Clip) -> Path:
        return self._folder / f"{clip.digest}-{_FORMAT}.heads"
