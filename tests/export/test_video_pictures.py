"""What is seen in an export: captions and marks where and when they belong, all else untouched."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from support.exporting import Exported, export, one_cue_each, pictures, psnr_db, review_of
from support.media import X264, ffmpeg, make_clip
from support.reviews import every_mark, note

from cliptag.clip import open_clip
from cliptag.export.cues import Cue
from cliptag.export.ffmpeg import to_ticks
from cliptag.export.timeline import build_timeline
from cliptag.export.video import export_video
from cliptag.paint import (
    CaptionText,
    Sizes,
    TitleText,
    caption_box,
    caption_heading,
    ensure_painter_ready,
    mark_box,
    rgba_of,
    title_card,
)
from cliptag.review import Part, Ring

WIDE, HIGH = 360, 640
BT709 = "setparams=range=tv:color_primaries=bt709:color_trc=bt709:colorspace=bt709"
RING = every_mark()[1]
NOTES = (
    note(1, start_us=400_000, end_us=900_000, text="Push the floor apart.", marks=(RING,)),
    note(2, start_us=1_200_000, end_us=1_600_000, text="Good.", kind="good", slow_by=2),
)


@pytest.fixture(scope="module")
def portrait(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A person's clip-like picture: smooth shapes, movement and a phone's noise."""
    path = tmp_path_factory.mktemp("clip") / "portrait.mp4"
    draw = f"gradients=s={WIDE}x{HIGH}:r=30:d=2:n=6:speed=0.05:seed=4"
    noise = f"noise=alls=4:allf=t,format=yuv420p,{BT709}"
    ffmpeg("-f", "lavfi", "-i", draw, "-vf", noise, *X264, "-crf", "14", path)
    return path


@pytest.fixture(scope="module", params=["bottom", "top"])
def exported(request, portrait: Path, tmp_path_factory: pytest.TempPathFactory):
    out = tmp_path_factory.mktemp(request.param) / "out.mp4"
    with open_clip(portrait) as clip:
        return export(clip, out, NOTES, reading_us=900_000, place=request.param)


@pytest.fixture(scope="module")
def source(portrait: Path) -> list[np.ndarray]:
    return [luma for _, luma in pictures(portrait)]


def caption_rows(exported: Exported, number: int) -> tuple[slice, slice]:
    """Where the painter says that the caption is."""
    ensure_painter_ready()
    cue = exported.cues[number]
    text = CaptionText(cue.lines, caption_heading(cue.kind, cue.region), cue.kind, cue.place)
    return grown(caption_box(text, Sizes(WIDE, HIGH)), 0)


def grown(box, by: int) -> tuple[slice, slice]:
    rows = slice(max(0, int(box.top()) - by), int(box.bottom()) + by)
    return rows, slice(max(0, int(box.left()) - by), int(box.right()) + by)


def test_each_caption_is_burned_in_from_its_first_to_its_last_picture(exported, source):
    seen = pictures(exported.facts.path)
    for number, cue in enumerate(exported.cues):
        box = caption_rows(exported, number)
        for (tick, luma), index in zip(seen, exported.source_frames, strict=True):
            difference = np.abs(luma[box].astype(int) - source[index][box]).mean()
            is_on = to_ticks(cue.start_us) <= tick < to_ticks(cue.end_us)
            other_on = any(
                other is not cue and to_ticks(other.start_us) <= tick < to_ticks(other.end_us)
                for other in exported.cues
            )
            if is_on:
                assert difference > 20, f"no caption at tick {tick}"
            elif not other_on:
                assert difference < 4, f"something is painted at tick {tick}"


def test_a_caption_that_turns_over_while_the_picture_stands_changes_at_its_very_time(
    portrait: Path, tmp_path: Path
):
    with open_clip(portrait) as clip:
        review = review_of(clip, [note(1, start_us=0, end_us=100_000, hold_us=2_000_000)])
        timeline = build_timeline(review, clip.times_us, clip.duration_us, {}, title_card=False)
        texts = ((0, 777_000, "First page."), (777_000, 1_900_000, "And then another one."))
        cues = [
            Cue(start, end, (words,), "n1", "knees", "seen", "top", start == 0)
            for start, end, words in texts
        ]
        out = tmp_path / "out.mp4"
        export_video(clip, review, timeline, cues, out)
    seen = [(tick, luma.astype(int)) for tick, luma in pictures(out) if tick < 180_000]
    changes = []
    for (_, before), (tick, after) in pairwise(seen):
        if np.abs(after[: HIGH // 3] - before[: HIGH // 3]).mean() > 1:
            changes.append(tick)
    assert changes == [to_ticks(777_000), to_ticks(1_900_000)]


def test_captions_stand_at_the_end_of_the_picture_that_the_cue_names(exported):
    rows, _ = caption_rows(exported, 0)
    if exported.cues[0].place == "top":
        assert rows.stop < HIGH / 3
    else:
        assert rows.start > 2 * HIGH / 3


def test_all_that_is_not_painted_over_is_the_source_within_the_encoders_noise(exported, source):
    """38 dB is where coding noise is hardly seen any more (common practice, no source)."""
    ensure_painter_ready()
    untouched = np.ones((HIGH, WIDE), bool)
    for number in range(len(exported.cues)):
        rows, _ = caption_rows(exported, number)
        # an encoder's blocks of 16 carry a little of an edge to their neighbours
        untouched[max(0, rows.start - 16) : rows.stop + 16, :] = False
    untouched[grown(mark_box(RING, Sizes(WIDE, HIGH)), 16)] = False
    assert untouched.mean() > 0.5
    for (tick, luma), index in zip(
        pictures(exported.facts.path), exported.source_frames, strict=True
    ):
        assert psnr_db(luma[untouched], source[index][untouched]) > 38, f"tick {tick}"


def test_a_mark_shows_as_long_as_its_note_is_on(exported, source):
    ensure_painter_ready()
    box = grown(mark_box(RING, Sizes(WIDE, HIGH)), 0)
    window = exported.timeline.window_of("n1")
    for (tick, luma), index in zip(
        pictures(exported.facts.path), exported.source_frames, strict=True
    ):
        difference = np.abs(luma[box].astype(int) - source[index][box]).mean()
        is_on = to_ticks(window.start_us) <= tick < to_ticks(window.end_us)
        assert (difference > 6) == is_on, f"tick {tick}: {difference:.1f}"


def test_what_is_painted_has_the_colour_that_was_asked_for(portrait: Path, tmp_path: Path):
    ring = Ring(
        **{name: getattr(RING, name) for name in ("id", "centre", "radius_x", "radius_y")},
        colour="vermillion",
        weight="bold",
    )
    with open_clip(portrait) as clip:
        notes = (note(1, start_us=0, end_us=500_000, text="", marks=(ring,)),)
        out = export(clip, tmp_path / "out.mp4", notes).facts.path
    frame = tmp_path / "frame.rgb"
    ffmpeg("-i", out, "-frames:v", "1", "-pix_fmt", "rgb24", "-f", "rawvideo", frame)
    rgb = np.frombuffer(frame.read_bytes(), np.uint8).reshape(HIGH, WIDE, 3)
    x, y = round(ring.centre.x), round(ring.centre.y - ring.radius_y)
    # Okabe and Ito's vermillion, #D55E00; chroma is at half size
    assert np.abs(rgb[y, x].astype(int) - (0xD5, 0x5E, 0x00)).max() < 24


def test_cards_are_shown_whole_and_come_out_in_their_own_colours(portrait: Path, tmp_path: Path):
    ensure_painter_ready()
    size = (WIDE, HIGH)
    card = rgba_of(title_card(size, TitleText(client="Ines", movement="Sitting and standing up")))
    with open_clip(portrait) as clip:
        review = review_of(clip)
        timeline = build_timeline(
            review, clip.times_us, clip.duration_us, {}, closing_cards_us=(700_000, 250_000)
        )
        flipped = np.ascontiguousarray(card[::-1])
        cards = {("title", 0): card, ("closing", 0): flipped, ("closing", 1): card}
        out = tmp_path / "out.mp4"
        export_video(clip, review, timeline, (), out, cards=cards)
    raw = tmp_path / "out.rgb"
    ffmpeg("-i", out, "-fps_mode", "passthrough", "-pix_fmt", "rgb24", "-f", "rawvideo", raw)
    rgb = np.frombuffer(raw.read_bytes(), np.uint8).reshape(-1, HIGH, WIDE, 3)
    assert len(rgb) == 35 + 60 + 7 + 3
    for number, wanted in ((0, card), (20, card), (96, flipped), (103, card)):
        assert psnr_db(rgb[number], wanted[..., :3]) > 30


def test_a_card_that_stands_long_shows_how_much_of_its_time_is_left(portrait: Path, tmp_path: Path):
    white = np.full((HIGH, WIDE, 4), 255, np.uint8)
    with open_clip(portrait) as clip:
        review = review_of(clip)
        timeline = build_timeline(
            review, clip.times_us, clip.duration_us, {}, closing_cards_us=(4_000_000, 10_000_000)
        )
        cards = {("title", 0): white, ("closing", 0): white, ("closing", 1): white}
        export_video(clip, review, timeline, (), tmp_path / "out.mp4", cards=cards)
    raw = tmp_path / "out.gray"
    ffmpeg("-i", tmp_path / "out.mp4", "-fps_mode", "passthrough", "-pix_fmt", "gray",
           "-f", "rawvideo", raw)  # fmt: skip
    pictures = np.frombuffer(raw.read_bytes(), np.uint8).reshape(-1, HIGH, WIDE)[-140:]
    assert all((picture > 230).all() for picture in pictures[:40])  # the short card
    foot = pictures[40:, -2:].min(axis=1) < 128
    lengths = foot.sum(axis=1)
    assert lengths == pytest.approx(WIDE * np.linspace(1.0, 0.01, 100), abs=5)
    assert (np.abs(foot.argmax(axis=1) - foot[:, ::-1].argmax(axis=1)) <= 4).all()
    assert (pictures[40:, : -HIGH // 20] > 230).all()


@pytest.mark.parametrize("wrong", [np.zeros((HIGH, WIDE, 4)), np.full((HIGH, 8, 4), 255)])
def test_a_card_that_does_not_cover_the_picture_is_refused(wrong, portrait: Path, tmp_path: Path):
    with open_clip(portrait) as clip:
        review = review_of(clip)
        timeline = build_timeline(review, clip.times_us, clip.duration_us, {})
        cards = {("title", 0): wrong.astype(np.uint8)}
        with pytest.raises(ValueError, match="title card is not an opaque 360 x 640 picture"):
            export_video(clip, review, timeline, (), tmp_path / "out.mp4", cards=cards)
    assert list(tmp_path.iterdir()) == []


def test_each_frame_of_the_clip_is_decoded_once(portrait: Path, tmp_path: Path, monkeypatch):
    with open_clip(portrait) as clip:
        real, decoded = clip.planes, []

        def counted(*arguments, **options):
            for frame in real(*arguments, **options):
                decoded.append(frame.index)
                yield frame

        monkeypatch.setattr(clip, "planes", counted)
        export(clip, tmp_path / "out.mp4", NOTES)
        assert decoded == list(range(len(clip)))


def test_only_the_part_that_is_sent_is_decoded_and_shown(portrait: Path, source, tmp_path: Path):
    with open_clip(portrait) as clip:
        part = Part(start_us=1_000_000, end_us=1_300_000)
        exported = export(clip, tmp_path / "out.mp4", review={"part": part})
    seen = pictures(exported.facts.path)
    assert exported.source_frames == list(range(30, 39))
    for (_, luma), index in zip(seen, exported.source_frames, strict=True):
        assert psnr_db(luma, source[index]) > 38


def test_the_same_export_twice_is_the_same_pictures(portrait: Path, tmp_path: Path):
    outs = []
    with open_clip(portrait) as clip:
        for name in ("a.mp4", "b.mp4"):
            outs.append(pictures(export(clip, tmp_path / name, NOTES).facts.path))
    for (tick_a, a), (tick_b, b) in zip(*outs, strict=True):
        assert tick_a == tick_b and (a == b).all()


def test_a_caption_on_a_very_small_clip_does_not_break_the_export(tmp_path: Path):
    path = make_clip(tmp_path / "tiny.mp4", size=(32, 18), seconds=1)
    with open_clip(path) as clip:
        review = review_of(clip, NOTES[:1])
        timeline = build_timeline(review, clip.times_us, clip.duration_us, {"n1": 500_000})
        cues = one_cue_each(review, timeline)
        cards = {("title", 0): np.full((18, 32, 4), 255, np.uint8)}
        facts = export_video(clip, review, timeline, cues, tmp_path / "out.mp4", cards=cards)
    assert (facts.width, facts.height) == (32, 18)
