"""A folder of the same disk in which all is made before anything is shown."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from cliptag.errors import ExportError
from cliptag.files import sync_folder


class Staging:
    """Files for a folder, delivered all at once; left without that, the folder is as it was.

    ``path`` is where they are made. Raises ExportError when the folder can't be written to.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: list[Path] = []

    def __enter__(self) -> Staging:
        try:
            missing = self._folder
            while not missing.exists():
                self._made.append(missing)
                missing = missing.parent
            self._folder.mkdir(parents=True, exist_ok=True)
            self.path = Path(tempfile.mkdtemp(prefix=".take-home.", dir=self._folder))
        except OSError as error:
            self._remove_made()
            raise _cannot_write(self._folder, error) from error
        return self

    def deliver(self, names: tuple[str, ...]) -> None:
        """Put the complete files into the folder."""
        for name in names:
            (self.path / name).replace(self._folder / name)
        sync_folder(self._folder)
        self._made.clear()

    def __exit__(self, kind: type[BaseException] | None, error: object, _: object) -> None:
        shutil.rmtree(self.path, ignore_errors=True)
        self._remove_made()
        if isinstance(error, OSError) and not isinstance(error, ExportError):
            raise _cannot_write(self._folder, error) from error

    def _remove_made(self) -> None:
        for folder in self._made:
            try:
                folder.rmdir()
            except OSError:
                return


def _cannot_write(folder: Path, error: OSError) -> ExportError:
    return ExportError(
        f"The take-home can't be written to {folder}: {error.strerror or error}. "
        "Free some space or choose another folder."
    )
