"""Words of a spoken note, as a draft, from a recogniser that runs on this computer alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final, Protocol

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import VoiceError
from cliptag.voice.activity import DETECTOR_RATE, for_detector
from cliptag.voice.reader import read_take

RECOGNISER_RATE: Final = DETECTOR_RATE
_BLOCK_US: Final = 1_000_000
_MODEL_FILES: Final = ("model.bin", "config.json", "tokenizer.json")
_LONGEST_TEXT: Final = 20_000


class Recogniser(Protocol):
    """Something that hears words."""

    def words_of(self, sound: NDArray[np.float32]) -> str:
        """The words in (n,) samples at 16 kHz, from -1 to 1; empty when there are none."""


def draft_text(recogniser: Recogniser, path: Path, start_us: int, end_us: int) -> str:
    """What is said in a stretch of a take, on one line. Raises VoiceError."""
    pieces = [for_detector(block) for block in read_take(path, start_us, end_us, _BLOCK_US)]
    whole = np.concatenate(pieces) if pieces else np.zeros(0, np.int16)
    sound = np.asarray(whole, np.float32) / np.float32(32_768)
    words = recogniser.words_of(sound)
    return " ".join(words.split())[:_LONGEST_TEXT]


def open_recogniser(model: Path, language: str | None = None) -> Recogniser:
    """The recogniser of a model's folder; nothing is fetched from anywhere.

    ``language`` is a code such as 'de'; None lets the model find out. Raises VoiceError when the
    extra ``speech`` isn't installed or the folder holds no model for it.
    """
    try:
        import faster_whisper
    except ImportError as error:
        raise VoiceError(
            "Captions from your voice need one more package: pip install 'cliptag[speech]'. "
            "Until then, type what you said."
        ) from error
    # Without its own tokenizer the library would fetch one.
    missing = [name for name in _MODEL_FILES if not (model / name).is_file()]
    if missing:
        raise VoiceError(
            f"{model} holds no whole speech model ({missing[0]} is missing): choose the folder of "
            "a Whisper model in CTranslate2's format, or type what you said."
        )
    try:
        loaded = faster_whisper.WhisperModel(
            str(model), device="cpu", compute_type="int8", local_files_only=True
        )
    except Exception as error:  # the library raises whatever its parts do
        raise VoiceError(
            f"The speech model in {model} can't be used ({error}): choose another one, or type "
            "what you said."
        ) from error
    return _Whisper(loaded, language)


class _Whisper:
    """faster-whisper, given sound and giving plain words."""

    def __init__(self, model: Any, language: str | None) -> None:
        self._model = model
        self._language = language

    def words_of(self, sound: NDArray[np.float32]) -> str:
        # Without the text before, a sentence that was misheard doesn't spoil the next one.
        segments, _ = self._model.transcribe(
            sound, language=self._language, condition_on_previous_text=False
        )
        return "".join(segment.text for segment in segments)
