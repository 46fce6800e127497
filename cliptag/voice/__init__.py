"""The coach's own voice: takes and their files, pauses, loudness, words. No Qt."""

from cliptag.voice.activity import Pauses, speech_spans
from cliptag.voice.drafts import Recogniser, draft_text, open_recogniser
from cliptag.voice.level import Level, level_of
from cliptag.voice.limiter import limited, margin_samples
from cliptag.voice.loudness import SILENT_LUFS, LoudnessMeter
from cliptag.voice.mixing import QUIETER_DB, Ducking, faded, ramp
from cliptag.voice.reader import TAKE_RATE, TakeReader, take_length_us
from cliptag.voice.running import LogEntry, Piece, PlayheadLog, pieces_of, read_log
from cliptag.voice.takes import (
    TakeWriter,
    finish_take,
    is_being_recorded,
    left_takes,
    new_take,
    path_of_take,
    take_file,
    voice_folder,
)
from cliptag.voice.waveform import outline_of

__all__ = [
    "QUIETER_DB",
    "SILENT_LUFS",
    "TAKE_RATE",
    "Ducking",
    "Level",
    "LogEntry",
    "LoudnessMeter",
    "Pauses",
    "Piece",
    "PlayheadLog",
    "Recogniser",
    "TakeReader",
    "TakeWriter",
    "draft_text",
    "faded",
    "finish_take",
    "is_being_recorded",
    "left_takes",
    "level_of",
    "limited",
    "margin_samples",
    "new_take",
    "open_recogniser",
    "outline_of",
    "path_of_take",
    "pieces_of",
    "ramp",
    "read_log",
    "speech_spans",
    "take_file",
    "take_length_us",
    "voice_folder",
]
