"""The coach's voice on the desk: recording, listening, trimming, draft captions."""

from cliptag.desk.voice.booth import Booth
from cliptag.desk.voice.drafting import Drafting
from cliptag.desk.voice.input import NO_MICROPHONE, SoundInput, input_names, open_input
from cliptag.desk.voice.row import VoiceRow
from cliptag.desk.voice.running_row import RunningRow

__all__ = [
    "NO_MICROPHONE",
    "Booth",
    "Drafting",
    "RunningRow",
    "SoundInput",
    "VoiceRow",
    "input_names",
    "open_input",
]
