"""What leaves the coach's computer: timeline, captions, WebVTT, video, transcript."""

from cliptag.export.blend import PlanarPatch, Planes, blend_into, patches_from_rgba
from cliptag.export.calm import calmed
from cliptag.export.captions import CaptionRules, make_cues, reading_times
from cliptag.export.chapters import Chapter, chapters_of
from cliptag.export.client_view import ClientView, SoundTrack
from cliptag.export.composer import CardPictures
from cliptag.export.covering import clip_to_show, refuse_open_faces, review_to_show
from cliptag.export.cues import Cue, Place
from cliptag.export.feed import FrameFeed
from cliptag.export.ffmpeg import ffmpeg_version
from cliptag.export.moves import body_outlines
from cliptag.export.numbers import (
    figure_words,
    meaning_of,
    quantity_words,
    towards_words,
    value_words,
)
from cliptag.export.plain_text import inline, one_line
from cliptag.export.prediction import Prediction, prediction_words
from cliptag.export.purposes import PURPOSE_WORDS, USUAL_MOST_MB, Purpose
from cliptag.export.staging import Staging
from cliptag.export.take_home import (
    ExportOptions,
    Plan,
    TakeHome,
    card_pictures,
    export_take_home,
    make_take_home,
    plan_export,
    predict_size,
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
from cliptag.export.vtt import write_captions, write_chapters
from cliptag.export.vtt_check import Finding, check_vtt

__all__ = [
    "IMPRESSION_ID",
    "PURPOSE_WORDS",
    "USUAL_MOST_MB",
    "CaptionRules",
    "Card",
    "CardPictures",
    "Chapter",
    "ClientView",
    "Cue",
    "ExportOptions",
    "Finding",
    "FrameFeed",
    "Hold",
    "OutputFrame",
    "Place",
    "Plan",
    "PlanarPatch",
    "Planes",
    "Play",
    "Prediction",
    "Progress",
    "Purpose",
    "SoundTrack",
    "Staging",
    "TakeHome",
    "Timeline",
    "VideoFacts",
    "Window",
    "blend_into",
    "body_outlines",
    "build_timeline",
    "calmed",
    "card_pictures",
    "chapters_of",
    "check_vtt",
    "clip_to_show",
    "export_take_home",
    "export_video",
    "ffmpeg_version",
    "figure_words",
    "inline",
    "make_cues",
    "make_take_home",
    "meaning_of",
    "one_line",
    "patches_from_rgba",
    "plan_export",
    "predict_size",
    "prediction_words",
    "quantity_words",
    "reading_times",
    "refuse_open_faces",
    "review_to_show",
    "towards_words",
    "value_words",
    "write_captions",
    "write_chapters",
]
