"""The take-home: everything the client gets, made from one review."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.clip import Clip
from cliptag.consent import refuse_without_consent
from cliptag.cover import CoverStyle
from cliptag.export.calm import CalmReadings
from cliptag.export.captions import CaptionRules, make_cues, reading_times
from cliptag.export.cards import CardPage, closing_pages, title_picture, title_words
from cliptag.export.chapters import Chapter, chapters_of
from cliptag.export.composer import LONGEST_SIDE, CardPictures, Composer, Size, output_size
from cliptag.export.covering import (
    clip_to_show,
    refuse_open_faces,
    review_to_show,
    telling_words,
)
from cliptag.export.cues import Cue
from cliptag.export.handout import write_handouts
from cliptag.export.master import Spoken, spoken_in
from cliptag.export.mover import Mover
from cliptag.export.numbers import reading_words
from cliptag.export.prediction import Prediction, predict
from cliptag.export.purposes import LIMITS, USUAL_MOST_MB, Purpose, check_most_mb
from cliptag.export.scene import Readings, Scene
from cliptag.export.staging import Staging
from cliptag.export.timeline import CardName, Timeline, build_timeline
from cliptag.export.tracked import has_moving_marks, moving_marks_of, share_of
from cliptag.export.transcript import transcript_of
from cliptag.export.video import Progress, VideoFacts, export_video
from cliptag.export.vtt import source_time_cues, write_captions, write_chapters
from cliptag.files import sync_file
from cliptag.measure import Reading, readings_of, unmeasured
from cliptag.opening import open_reviewed_clip
from cliptag.paint import Sizes, ensure_painter_ready, line_fits
from cliptag.review import REGION_WORDS, ConsentPurpose, Review, edit
from cliptag.words import ENGLISH, Words, words_of

VIDEO: Final = "commentary.mp4"
CLEAN_VIDEO: Final = "clean.mp4"
CAPTIONS: Final = "commentary.vtt"
SOURCE_CAPTIONS: Final = "commentary.source.vtt"
CHAPTERS: Final = "chapters.vtt"
TRANSCRIPT: Final = "transcript.txt"

_LOOKING_SHARE: Final = 0.3
"""Of the time that an export takes, where faces have to be found first."""
_FOLLOWING_SHARE: Final = 0.3
"""Of the time that an export takes, where points have to be followed first."""


@dataclass(frozen=True, slots=True)
class ExportOptions:
    """What a person may ask of a take-home.

    ``source_time`` adds the captions in the clip's own time; ``full_size`` keeps a picture that is
    larger than a phone shows. ``rules`` are the limits of the captions, which are
    ``caption_scale`` times as large as usual. ``language`` is that of all words but the coach's
    own; None: the review's, or ``usual_language`` where it names none.

    ``purpose`` brings the video to a size that is known beforehand, in two passes; for a messenger
    at most ``most_mb`` (10^6 bytes each). ``longest`` bounds the picture's longer side. ``clean``
    adds a video with marks but no captions on the picture; it has them as a track.

    ``shown_for`` is what the client must have agreed to (see ``cliptag.consent``). For
    ``face_covered`` the faces are covered in ``cover_style`` and the client isn't named. ``mute``
    leaves out the clip's own sound.
    """

    source_time: bool = False
    full_size: bool = False
    rules: CaptionRules = field(default_factory=CaptionRules)
    caption_scale: float = 1.0
    language: str | None = None
    usual_language: str = ENGLISH.language
    purpose: Purpose | None = None
    most_mb: float = USUAL_MOST_MB
    shown_for: ConsentPurpose = "private_feedback"
    cover_style: CoverStyle = "blur"
    mute: bool = False
    longest: int | None = None
    clean: bool = False

    def words_for(self, review: Review) -> Words:
        """The words of the client's language."""
        return words_of(self.language or review.language or self.usual_language)


@dataclass(frozen=True, slots=True)
class TakeHome:
    """What was written. ``advice`` are sentences that the coach should read before sending it."""

    folder: Path
    files: tuple[Path, ...]
    duration_us: int
    width: int
    height: int
    frame_count: int
    cue_count: int
    advice: tuple[str, ...]
    predicted: Prediction | None = None
    """How large the video was said to become, where that was asked for."""


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything about an exported video but its pixels; ``sizes`` are those of its captions.

    ``measured`` is what each measuring mark reads on its note's first frame, by note id and mark
    id; ``readings`` tells it in words.
    """

    timeline: Timeline
    cues: tuple[Cue, ...]
    chapters: tuple[Chapter, ...]
    measured: Mapping[tuple[str, str], Reading]
    readings: Readings
    size: Size
    closing: tuple[CardPage, ...]
    sizes: Sizes
    words: Words
    moving: Mover | None = None


def plan_export(
    review: Review,
    clip: Clip,
    options: ExportOptions | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Plan:
    """Lay out the exported video of a review: its timeline, captions and numbers.

    Where marks follow tracked points, these are followed first, unless that was done before; that
    takes a while, which ``progress`` is told of. Raises ExportError when the part to be sent lies
    outside the clip, ClipError, and ExportCancelled when ``is_cancelled`` said so.
    """
    ensure_painter_ready()
    options = options or ExportOptions()
    review = edit.without_unread_drafts(review)
    info, rules = clip.info, options.rules
    words = options.words_for(review)
    sizes = Sizes(info.width, info.height, options.caption_scale)
    fits = partial(line_fits, sizes=sizes)
    longest = options.longest or (
        max(info.width, info.height) if options.full_size else LONGEST_SIDE
    )
    size = output_size(info.width, info.height, longest)
    closing = closing_pages(review, size, words)
    timeline = build_timeline(
        review,
        clip.times_us,
        clip.duration_us,
        reading_times(review, fits, rules, words),
        closing_cards_us=[page.reading_us for page in closing],
    )
    moving = moving_marks_of(review, clip, progress, is_cancelled)
    measured = _measured(review, moving, timeline)
    return Plan(
        timeline=timeline,
        cues=make_cues(review, timeline, fits, rules, words, moving),
        chapters=chapters_of(review, timeline, words),
        measured=measured,
        readings={place: reading_words(reading, words) for place, reading in measured.items()},
        size=size,
        closing=closing,
        sizes=sizes,
        words=words,
        moving=moving,
    )


def _measured(
    review: Review, moving: Mover | None, timeline: Timeline
) -> dict[tuple[str, str], Reading]:
    """A mark whose points are hidden reads nothing; one that moves reads as on the picture."""
    readings = {(reading.note_id, reading.mark_id): reading for reading in readings_of(review)}
    if moving is None:
        return readings
    calm = CalmReadings(moving, timeline)
    for note in review.notes:
        for mark in filter(moving.has, note.marks):
            readings.pop((note.id, mark.id), None)
            reading = calm.at_start(note, mark)
            if reading is not None:
                readings[note.id, mark.id] = reading
    return readings


def card_pictures(review: Review, plan: Plan) -> CardPictures:
    """All cards of the plan's timeline."""
    cards: dict[tuple[CardName, int], NDArray[np.uint8]] = {
        ("title", 0): title_picture(review, plan.size, plan.words)
    }
    for number, page in enumerate(plan.closing):
        cards["closing", number] = page.picture
    return cards


def export_take_home(
    review_path: str | Path,
    out_dir: str | Path,
    progress: Progress | None = None,
    *,
    options: ExportOptions | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    on_predicted: Callable[[Prediction], None] | None = None,
) -> TakeHome:
    """Make the take-home of a review in a folder, which is made if it isn't there.

    Writes the video with burned-in captions, a page to watch it on, a summary to print, the
    captions and chapters as WebVTT and a transcript; files of these names are replaced, all at
    once when all are complete. ``progress`` is told the part done (0 to 1) and the seconds left,
    when known; ``on_predicted`` how large the video will be, where the options name a purpose.

    Raises ReviewError, ClipError, CoverError, ExportError; ConsentError when the client hasn't
    agreed to what the options say; UncoveredError when a face may be open; ExportCancelled when
    ``is_cancelled`` said so. Then the folder is as it was.
    """
    options = options or ExportOptions()
    written, clip = open_reviewed_clip(review_path)
    with clip:
        refuse_without_consent(written, Path(review_path), clip.path, options.shown_for)
        return _make(
            written, clip, review_path, out_dir, progress, options, is_cancelled, on_predicted
        )


def make_take_home(
    review_path: str | Path,
    out_dir: str | Path,
    progress: Progress | None = None,
    *,
    options: ExportOptions | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> TakeHome:
    """As ``export_take_home``, for a caller who has asked for the client's consent already."""
    written, clip = open_reviewed_clip(review_path)
    options = options or ExportOptions()
    with clip:
        return _make(written, clip, review_path, out_dir, progress, options, is_cancelled, None)


def _make(
    written: Review,
    clip: Clip,
    review_path: str | Path,
    out_dir: str | Path,
    progress: Progress | None,
    options: ExportOptions,
    is_cancelled: Callable[[], bool] | None,
    on_predicted: Callable[[Prediction], None] | None,
) -> TakeHome:
    review = review_to_show(edit.without_unread_drafts(written), options)
    folder = Path(out_dir).absolute()
    looking = _LOOKING_SHARE if options.shown_for == "face_covered" else 0.0
    clip = clip_to_show(review, clip, options, share_of(progress, 0.0, looking), is_cancelled)
    refuse_open_faces(clip)
    progress = share_of(progress, looking, 1.0)
    with Staging(folder) as staging:
        following = _FOLLOWING_SHARE if has_moving_marks(review) else 0.0
        told = share_of(progress, 0.0, following)
        plan, predicted = _sized_plan(review, clip, options, told, is_cancelled)
        if predicted is not None and on_predicted is not None:
            on_predicted(predicted)
        told = share_of(progress, following, 1.0)
        # Whoever asks for captions as a track wants to choose them, so the page shows that video.
        watched = CLEAN_VIDEO if options.clean else VIDEO
        handouts = write_handouts(
            staging.path,
            review,
            clip,
            plan,
            watched,
            TRANSCRIPT,
            has_burned_captions=not options.clean,
        )
        spoken = spoken_in(review, plan.timeline, Path(review_path).absolute().parent)
        video = _Video(review, clip, plan, options, spoken, is_cancelled)
        middle = 0.5 if options.clean else 1.0
        facts = video.write(staging.path / VIDEO, predicted, share_of(told, 0.0, middle))
        if options.clean:
            video.write_clean(staging.path / CLEAN_VIDEO, predicted, share_of(told, middle, 1.0))
        texts = {
            CAPTIONS: write_captions(plan.cues),
            CHAPTERS: write_chapters(plan.chapters),
            TRANSCRIPT: transcript_of(review, plan.timeline, plan.readings, plan.words),
        }
        if options.source_time:
            texts[SOURCE_CAPTIONS] = write_captions(source_time_cues(plan.cues, plan.timeline))
        for name, text in texts.items():
            (staging.path / name).write_text(text, encoding="utf-8", newline="\n")
            sync_file(staging.path / name)
        clean = (CLEAN_VIDEO,) if options.clean else ()
        names = (VIDEO, *clean, *handouts, *texts)
        staging.deliver(names)
    return TakeHome(
        folder=folder,
        files=tuple(folder / name for name in names),
        duration_us=facts.duration_us,
        width=facts.width,
        height=facts.height,
        frame_count=facts.frame_count,
        cue_count=len(plan.cues),
        advice=(*_unread(written), *_advice(written, plan), *_telling(written, options)),
        predicted=predicted,
    )


def _telling(review: Review, options: ExportOptions) -> tuple[str, ...]:
    return telling_words(review) if options.shown_for == "face_covered" else ()


def predict_size(review_path: str | Path, options: ExportOptions) -> Prediction | None:
    """How large the video of a review would be; None when the options name no purpose.

    It takes some seconds. Raises ReviewError, ClipError, ExportError.
    """
    review, clip = open_reviewed_clip(review_path)
    with clip:
        review = review_to_show(edit.without_unread_drafts(review), options)
        shown = clip_to_show(review, clip, options)
        return _sized_plan(review, shown, options, None, None)[1]


def _sized_plan(
    review: Review,
    clip: Clip,
    options: ExportOptions,
    progress: Progress | None,
    is_cancelled: Callable[[], bool] | None,
) -> tuple[Plan, Prediction | None]:
    """The plan in the picture size that the purpose allows, and how large the file will be."""
    purpose = options.purpose
    if purpose is None:
        return plan_export(review, clip, options, progress, is_cancelled), None
    check_most_mb(options.most_mb)
    sides = LIMITS[purpose].sides or (max(clip.info.width, clip.info.height),)
    options = replace(options, longest=sides[0])
    plan = plan_export(review, clip, options, progress, is_cancelled)
    scene = Scene(
        review,
        plan.timeline,
        plan.cues,
        plan.readings,
        plan.words,
        plan.moving,
        plan.sizes,
    )
    composer = Composer(clip, scene, card_pictures(review, plan), plan.size, options.caption_scale)
    with closing(composer):
        predicted = predict(
            clip,
            plan.timeline,
            purpose,
            options.most_mb * 1e6,
            composer,
            plan.size,
            scene.changes_us,
            plan.chapters,
        )
    if predicted.size != plan.size:
        options = replace(options, longest=max(predicted.size))
        plan = plan_export(review, clip, options, None, is_cancelled)
    return plan, predicted


@dataclass(frozen=True, slots=True)
class _Video:
    """Everything that the videos of one take-home share."""

    review: Review
    clip: Clip
    plan: Plan
    options: ExportOptions
    spoken: tuple[Spoken, ...]
    is_cancelled: Callable[[], bool] | None

    def write(
        self, path: Path, predicted: Prediction | None, progress: Progress | None
    ) -> VideoFacts:
        """The video with its captions on the picture."""
        return self._export(path, self.plan.cues, "", predicted, progress)

    def write_clean(
        self, path: Path, predicted: Prediction | None, progress: Progress | None
    ) -> VideoFacts:
        """The video with its captions as a track."""
        return self._export(path, (), write_captions(self.plan.cues), predicted, progress)

    def _export(
        self,
        path: Path,
        cues: Sequence[Cue],
        soft_captions: str,
        predicted: Prediction | None,
        progress: Progress | None,
    ) -> VideoFacts:
        purpose, plan = self.options.purpose, self.plan
        return export_video(
            self.clip,
            self.review,
            plan.timeline,
            cues,
            path,
            readings=plan.readings,
            words=plan.words,
            moving=plan.moving,
            cards=card_pictures(self.review, plan),
            chapters=plan.chapters,
            title=title_words(self.review, plan.words),
            size=plan.size,
            caption_scale=self.options.caption_scale,
            settings=None if purpose is None else LIMITS[purpose].settings,
            spoken=self.spoken,
            soft_captions=soft_captions,
            size_bytes=None if predicted is None else predicted.size_bytes,
            most_bytes=self.options.most_mb * 1e6 if purpose == "messenger" else math.inf,
            progress=progress,
            is_cancelled=self.is_cancelled,
        )


def _unread(review: Review) -> Iterator[str]:
    for note in review.notes:
        place, at = REGION_WORDS[note.region].lower(), note.start_us / 1e6
        if note.is_draft:
            yield (
                f"Nobody has read the draft caption of the spoken note on {place} at {at:.1f} s, "
                "so it was left out: read it, then export again."
            )
        elif note.voice and not note.text.strip():
            yield (
                f"The spoken note on {place} at {at:.1f} s has no text, so a client who can't hear "
                "it misses it: write down what you say, then export again."
            )


def _advice(review: Review, plan: Plan) -> tuple[str, ...]:
    sentences = list(unmeasured(review))
    if not review.client.strip():
        sentences.append("The review has no client's name, so the video greets nobody by it.")
    if not review.notes and not review.impression.strip():
        sentences.append("There is no note and no general impression: the video says nothing.")
    if review.consent is None:
        sentences.append(
            "No written consent is recorded in this review: have it before you send the video, "
            "and show it to nobody but the client."
        )
    for note in review.notes:
        if (note.text or note.voice) and plan.timeline.window_of(note.id) is None:
            place, at = REGION_WORDS[note.region].lower(), note.start_us / 1e6
            sentences.append(
                f"The note on {place} at {at:.1f} s of the clip lies outside the part that is sent."
            )
    return tuple(sentences)
