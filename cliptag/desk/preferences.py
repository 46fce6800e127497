"""What the coach prefers, for each user of the computer: one small JSON file."""

from __future__ import annotations

import contextlib
from pathlib import Path
from typing import Annotated, Any, Final, Literal, TypeAlias

import msgspec
import platformdirs
from msgspec import Meta, Struct
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.look import Contrast, Scheme
from cliptag.export import USUAL_MOST_MB, Purpose
from cliptag.files import write_bytes

CaptionSize: TypeAlias = Literal["small", "usual", "large"]

CAPTION_SCALES: Final[dict[CaptionSize, float]] = {"small": 0.85, "usual": 1.0, "large": 1.2}
SLOWEST_CPS, FASTEST_CPS = 8, 17


class Preferences(Struct, frozen=True, kw_only=True):
    """Every choice with its usual value.

    ``reading_cps`` is how many characters of a caption a client reads in a second. ``holds`` tells
    whether the video stands still on a new note, as long as reading needs. ``coach`` is put on
    every new review. ``language`` is the client's where a
    review names none, as a code such as 'de'.

    ``purpose`` is what the video is made for, as ``ExportOptions`` has it, with ``most_mb`` and
    ``clean``. ``microphone`` is the name of the one to speak into, empty for the system's usual
    one. ``speech_model`` is the folder of the model that writes down spoken notes.
    """

    coach: Annotated[str, Meta(max_length=200)] = ""
    caption_size: CaptionSize = "usual"
    reading_cps: Annotated[int, Meta(ge=SLOWEST_CPS, le=FASTEST_CPS)] = FASTEST_CPS
    holds: bool = True
    language: Annotated[str, Meta(pattern="^[a-z]{2,3}$")] = "en"
    purpose: Purpose | None = None
    most_mb: Annotated[float, Meta(gt=0, le=10_000)] = USUAL_MOST_MB
    clean: bool = False
    microphone: Annotated[str, Meta(max_length=400)] = ""
    speech_model: Annotated[str, Meta(max_length=4096)] = ""
    scheme: Scheme = "system"
    contrast: Contrast = "normal"
    text_size: Annotated[float, Meta(ge=0.8, le=2.5)] = 1.0
    sound: bool = True

    @property
    def new_hold_us(self) -> int | None:
        """The hold of a new note: as long as reading needs, or none of its own."""
        return None if self.holds else 0


class PreferenceStore(QObject):
    """The preferences of now; each change is in the file at once."""

    changed = pyqtSignal()
    trouble = pyqtSignal(str)

    def __init__(self, path: Path | None = None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        folder = platformdirs.user_config_path("cliptag", appauthor=False)
        self._path = path or folder / "preferences.json"
        self.message: str | None = None
        """A sentence about a file that could not be used."""
        self.now = self._read()

    def set(self, **choices: Any) -> None:
        """Choose; the names are those of Preferences. Raises ValueError for what can't be."""
        wished = msgspec.structs.replace(self.now, **choices)
        wished = msgspec.convert(msgspec.to_builtins(wished), Preferences)
        if wished == self.now:
            return
        self.now = wished
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(self._path, msgspec.json.format(msgspec.json.encode(wished)) + b"\n")
        except OSError as error:
            self.trouble.emit(
                f"Your preferences hold until you close the desk: {self._path} can't be written "
                f"({error.strerror or error})."
            )
        self.changed.emit()

    def _read(self) -> Preferences:
        try:
            return msgspec.json.decode(self._path.read_bytes(), type=Preferences)
        except FileNotFoundError:
            return Preferences()
        except (OSError, msgspec.DecodeError):
            aside = self._path.with_suffix(".damaged.json")
            with contextlib.suppress(OSError):
                self._path.replace(aside)
            self.message = (
                f"Your preferences could not be read, so the usual ones hold; the file is {aside}."
            )
            return Preferences()
