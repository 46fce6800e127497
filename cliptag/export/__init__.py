"""What leaves the coach's computer: timeline, captions, WebVTT, video, transcript."""

from cliptag.export.captions import CaptionRules, make_cues, reading_times
from cliptag.export.chapters import Chapter, chapters_of
from cliptag.export.client_view import ClientView, SoundTrack
from cliptag.export.cues import Cue, Place
from cliptag.export.take_home import (
    ExportOptions,
    Plan,
    TakeHome,
    export_take_home,
    plan_export,
)
from cliptag.export.timeline import (
    IMPRESSION_ID,
    Card,
    Hold,
    OutputFrame,
    Play,
    Timeline,
    Window,
    build_timeline,
)
from cliptag.export.video import Progress, VideoFacts, export_video
from cliptag.export.vtt_check import Finding, check_vtt

__all__ = [
    "IMPRESSION_ID",
    "CaptionRules",
    "Card",
    "Chapter",
    "ClientView",
    "Cue",
    "ExportOptions",
    "Finding",
    "Hold",
    "OutputFrame",
    "Place",
    "Plan",
    "Play",
    "Progress",
    "SoundTrack",
    "TakeHome",
    "Timeline",
    "VideoFacts",
    "Window",
    "build_timeline",
    "chapters_of",
    "check_vtt",
    "export_take_home",
    "export_video",
    "make_cues",
    "plan_export",
    "reading_times",
]
