"""Finding a review's clip, also after it was moved or renamed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path, PurePosixPath

from cliptag.errors import ReviewError
from cliptag.review.model import ClipRef

_MOST_FILES = 20_000


def path_for_review(clip_path: Path, review_path: Path) -> str:
    """How a review file writes its clip's path: relative where both lie under one folder."""
    clip_path = clip_path.absolute()
    folder = review_path.absolute().parent
    try:
        relative = os.path.relpath(clip_path, folder)
    except ValueError:  # Windows: another drive
        return clip_path.as_posix()
    is_near = relative.count("..") <= 2
    return Path(relative).as_posix() if is_near else clip_path.as_posix()


def find_clip(
    clip: ClipRef,
    review_path: Path,
    digest_of: Callable[[Path], str],
    *,
    also_in: Iterable[Path] = (),
) -> Path:
    """Where a review's clip is now.

    Looked for at its path, then under its name and at last under any name in the review's folder
    and the folders in ``also_in`` (with the folders below them). A file counts when its size and
    its digest are the clip's. ``digest_of`` gives a file's digest.

    Raises ReviewError when it is nowhere, or when another file stands at its path.
    """
    written = Path(PurePosixPath(clip.path))
    home = review_path.absolute().parent
    # By text, since the folder that a review was moved out of need not exist any more.
    first = Path(os.path.normpath(home / written))
    is_changed = False
    if first.is_file():
        if _is_it(first, clip, digest_of):
            return first
        is_changed = True
    near = [path for folder in (home, *also_in) for path in _files_of_size(folder, clip.size_bytes)]
    near.sort(key=lambda path: path.name != written.name)
    for path in near:
        if path != first and digest_of(path) == clip.digest:
            return path
    if is_changed:
        raise ReviewError(
            f"The file {written.name} is not the clip that was reviewed (its content is another): "
            "put the original clip beside the review, or start a new review."
        )
    raise ReviewError(
        f"The clip {written.name} is not at {first} and not near the review: "
        f"put it into {home} under any name."
    )


def _is_it(path: Path, clip: ClipRef, digest_of: Callable[[Path], str]) -> bool:
    return path.stat().st_size == clip.size_bytes and digest_of(path) == clip.digest


def _files_of_size(folder: Path, size_bytes: int) -> Iterator[Path]:
    seen = 0
    for parent, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            seen += 1
            if seen > _MOST_FILES:
                return
            path = Path(parent, name)
            try:
                if path.stat().st_size == size_bytes:
                    yield path
            except OSError:
                continue
