"""The demo as the coach's own: copied, so that what was installed stays as it is."""

from __future__ import annotations

import shutil
from pathlib import Path

import platformdirs

from cliptag.demo import demo_review
from cliptag.errors import CliptagError
from cliptag.files import replacing
from cliptag.review import load_review


def copy_demo(folder: Path | None = None) -> Path:
    """Copy the demo clip and its review into the user's documents; gives the review there.

    What is there already is left alone, changes included. Raises CliptagError.
    """
    folder = folder or platformdirs.user_documents_path() / "cliptag demo"
    source = demo_review()
    clip = source.parent / load_review(source).clip.path
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for file in (clip, source):
            if not (folder / file.name).exists():
                with replacing(folder / file.name) as part:
                    shutil.copyfile(file, part)
    except OSError as error:
        raise CliptagError(
            f"The demo can't be copied to {folder}: {error.strerror or error}. "
            f"Open it where it is installed: {source}."
        ) from error
    return folder / source.name
