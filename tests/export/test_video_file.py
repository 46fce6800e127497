"""What kind of file an export is, told by PyAV and by the file's own bytes."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from support.awkward import make_awkward
from support.exporting import Exported, export, pictures, tick_times
from support.media import X264, ffmpeg, make_clip
from support.reviews import every_mark, note

from cliptag.clip import open_clip
from cliptag.errors import ExportError
from cliptag.export.chapters import Chapter
from cliptag.export.composer import output_size
from cliptag.export.ffmpeg import metadata_text, to_ticks
from cliptag.export.video import VideoSettings

QUICK = VideoSettings(preset="ultrafast", crf=30)
BT709 = ("-vf", "setparams=range=tv:color_primaries=bt709:color_trc=bt709:colorspace=bt709")
PLACE = b"+52.5200+013.4050/"
DEVICE = b"Telephone of Ines"
FIRST_US = 366_667  # a picture's time that is no whole number of 1/90000 s
NOTES = (
    note(1, start_us=FIRST_US, end_us=900_000, kind="try", marks=every_mark()[:1]),
    note(2, start_us=1_200_000, end_us=1_700_000, slow_by=2, hold_us=333_333),
)
CHAPTERS = (
    Chapter(0, FIRST_US, "Start"),
    Chapter(FIRST_US, 2_400_000, "Try this: knees = #1; not \\2"),
    Chapter(2_400_000, 3_000_000, "両膝 ركبة"),
)


@pytest.fixture(scope="module")
def phone_clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clip with a place and a device's name in it, as phones write them."""
    return make_clip(
        tmp_path_factory.mktemp("phone") / "phone.mov",
        *(*X264, "-g", "15", "-bf", "2", "-movflags", "use_metadata_tags"),
        *("-metadata", f"location={PLACE.decode()}"),
        *("-metadata", f"com.apple.quicktime.location.ISO6709={PLACE.decode()}"),
        *("-metadata", f"com.apple.quicktime.model={DEVICE.decode()}"),
        *(
            "-metadata",
            f"title={DEVICE.decode()}",
            "-metadata:s:v",
            f"handler_name={DEVICE.decode()}",
        ),
        size=(320, 180),
        sound=True,
    )


@pytest.fixture(scope="module")
def exported(phone_clip: Path, tmp_path_factory: pytest.TempPathFactory) -> Exported:
    out = tmp_path_factory.mktemp("out") / "commentary.mp4"
    with open_clip(phone_clip) as clip:
        return export(clip, out, NOTES, chapters=CHAPTERS, title="Übung; #1 = gut")


def test_it_is_h264_high_in_bt709_limited_range_for_every_player(exported: Exported):
    with av.open(str(exported.facts.path)) as container:
        video = container.streams.video[0]
        codec = video.codec_context
        assert (codec.name, codec.profile, codec.pix_fmt) == ("h264", "High", "yuv420p")
        # ITU-T H.273, tables 2 to 4: code 1 is BT.709 in each; range 1 is limited in FFmpeg
        tags = (codec.color_primaries, codec.color_trc, codec.colorspace, codec.color_range)
        assert tags == (1, 1, 1, 1)
        assert (video.width, video.height) == (320, 180)
        assert video.time_base == Fraction(1, 90_000)
        sound = container.streams.audio[0].codec_context
        assert (sound.name, sound.sample_rate, sound.layout.name) == ("aac", 48_000, "stereo")
        assert len(container.streams.video) == len(container.streams.audio) == 1


@pytest.mark.parametrize(
    ("size", "fps", "level"),
    # ITU-T H.264, table A-1: 245 760 macroblocks a second up to level 4, 522 240 up to 4.2
    [((1920, 1080), "30000/1001", 40), ((1080, 1920), "60", 42), ((640, 360), "30", 30)],
)
def test_the_level_that_phones_go_by_is_that_of_the_size_and_rate(size, fps, level, tmp_path):
    path = make_clip(tmp_path / "clip.mp4", *X264, size=size, fps=fps, seconds=0.2)
    with open_clip(path) as clip:
        out = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    record = out.read_bytes().split(b"avcC")[1]
    assert record[3] == level  # ISO/IEC 14496-15, 5.3.3.1: AVCLevelIndication


def test_every_picture_is_there_at_its_time_to_the_tick(exported: Exported):
    predicted = [to_ticks(time) for time in exported.out_times_us]
    assert tick_times(exported.facts.path) == predicted
    assert [time for time, _ in pictures(exported.facts.path)] == predicted
    assert exported.facts.frame_count == len(predicted)


def test_the_video_is_as_long_as_the_timeline(exported: Exported):
    with av.open(str(exported.facts.path)) as container:
        audio = container.streams.audio[0]
        seconds = float(audio.duration * audio.time_base)
    assert seconds == pytest.approx(exported.timeline.duration_us / 1e6, abs=0.0005)
    assert exported.facts.duration_us == exported.timeline.duration_us
    assert exported.facts.size_bytes == exported.facts.path.stat().st_size


def test_the_index_comes_before_the_pictures_so_that_it_plays_while_loading(exported: Exported):
    names = [name for name, _ in boxes(exported.facts.path.read_bytes())]
    assert names.index(b"moov") < names.index(b"mdat")


def test_nothing_tells_where_or_on_which_phone_it_was_filmed(phone_clip: Path, exported: Exported):
    source = phone_clip.read_bytes()
    assert PLACE in source and DEVICE in source  # else this test proves nothing
    written = exported.facts.path.read_bytes()
    assert PLACE not in written and DEVICE not in written
    assert b"ISO6709" not in written and b"\xa9xyz" not in written
    assert creation_times(written) == {0}


def test_title_and_chapters_read_back_as_they_were_given(exported: Exported):
    with av.open(str(exported.facts.path)) as container:
        assert container.metadata["title"] == "Übung; #1 = gut"
        read = [
            (
                float(chapter["start"] * chapter["time_base"]),
                float(chapter["end"] * chapter["time_base"]),
                chapter["metadata"]["title"],
            )
            for chapter in container.chapters()
        ]
    for (start, end, words), chapter in zip(read, CHAPTERS, strict=True):
        wanted = (chapter.start_us / 1e6, chapter.end_us / 1e6)
        assert (start, end) == pytest.approx(wanted, abs=0.0006)  # older ffmpegs write whole ms
        assert words == chapter.title


def test_a_keyframe_stands_where_each_chapter_starts(exported: Exported):
    with av.open(str(exported.facts.path)) as container:
        keys = {packet.pts for packet in container.demux(video=0) if packet.is_keyframe}
    times = exported.out_times_us
    for chapter in CHAPTERS:
        first = next(time for time in times if time >= chapter.start_us)
        assert to_ticks(first) in keys, f"{chapter.title}: {first} not in {sorted(keys)}"


def test_keyframes_are_at_most_two_seconds_apart_where_the_clip_plays(tmp_path: Path):
    # a still picture and its noise: nothing but the rule makes a keyframe
    still = ("-vf", "loop=-1:1", "-t", "7")
    path = make_clip(tmp_path / "long.mp4", *still, *X264, size=(64, 64))
    with open_clip(path) as clip:
        video = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    with av.open(str(video)) as container:
        keys = [packet.pts / 90_000 for packet in container.demux(video=0) if packet.is_keyframe]
    assert keys == pytest.approx([0, 2, 4, 6], abs=0.001)


def test_titles_with_every_special_sign_are_escaped_as_ffmpeg_reads_them(tmp_path: Path):
    """FFmpeg formats manual, section Metadata: read back by ffmpeg itself."""
    nasty = "=;#\\ a\nb\rc [CHAPTER] \\n ='\" 😀"
    (tmp_path / "in.txt").write_text(
        metadata_text(nasty, [Chapter(0, 1_000_000, nasty)]), encoding="utf-8"
    )
    clip = make_clip(tmp_path / "clip.mp4", size=(32, 32), seconds=1)
    out = tmp_path / "out.mkv"
    ffmpeg("-i", clip, "-i", tmp_path / "in.txt", "-map_metadata", "1", "-c", "copy", out)
    with av.open(str(out)) as container:
        wanted = "=;#\\ a b c [CHAPTER] \\n ='\" 😀"
        assert container.metadata["title"] == wanted
        assert container.chapters()[0]["metadata"]["title"] == wanted


@pytest.mark.parametrize(
    "name", ["variable rate", "duplicate timestamps", "late first timestamp", "HEVC 10 bit"]
)
def test_awkward_clips_keep_every_pictures_time(name: str, tmp_path: Path):
    with open_clip(make_awkward(name, tmp_path)) as clip:
        times = clip.times_us
        exported = export(clip, tmp_path / "out.mp4", NOTES[:1], settings=QUICK)
    assert tick_times(exported.facts.path) == [to_ticks(time) for time in exported.out_times_us]
    if name == "variable rate":
        assert len(set(np.diff(times).tolist())) > 3


def test_an_odd_size_gains_a_line_and_is_not_stretched(tmp_path: Path):
    path = tmp_path / "odd.mov"
    odd = ("-f", "lavfi", "-i", "testsrc=s=127x95:d=0.5")  # testsrc2 has even sizes only
    ffmpeg(*odd, *X264, "-pix_fmt", "yuv444p", "-crf", "5", path)
    with open_clip(path) as clip:
        assert (clip.info.width, clip.info.height) == (127, 95)
        luma = next(clip.planes(5, 6)).y.astype(int)
        fine = VideoSettings(preset="ultrafast", crf=5)
        exported = export(clip, tmp_path / "out.mp4", settings=fine)
    assert (exported.facts.width, exported.facts.height) == (128, 96)
    assert np.abs(pictures(exported.facts.path)[5][1] - luma).mean() < 2


def test_a_rotated_clip_is_exported_upright(tmp_path: Path):
    upright = make_clip(
        *(tmp_path / "upright.mp4", *X264, "-crf", "5", *BT709), size=(160, 96), seconds=0.5
    )
    turned = tmp_path / "turned.mp4"
    ffmpeg("-display_rotation", "-90", "-i", upright, "-c", "copy", turned)
    with open_clip(turned) as clip:
        out = export(clip, tmp_path / "out.mp4", settings=VideoSettings(crf=5)).facts
    assert (out.width, out.height) == (96, 160)
    seen = tmp_path / "seen.mp4"  # as ffmpeg itself turns it, by default
    ffmpeg("-i", turned, *X264, "-crf", "5", seen)
    for (_, ours), (_, theirs) in zip(pictures(out.path), pictures(seen), strict=True):
        assert np.abs(ours.astype(int) - theirs).mean() < 2
    with av.open(str(out.path)) as container:
        assert next(container.decode(video=0)).rotation == 0


def test_a_photo_becomes_a_video_that_stands_still(tmp_path: Path):
    photo = tmp_path / "photo.png"
    ffmpeg("-f", "lavfi", "-i", "testsrc=s=201x300", "-frames:v", "1", photo)
    with open_clip(photo) as clip:
        notes = (note(1, start_us=0, end_us=0, marks=every_mark()[:2]),)
        exported = export(clip, tmp_path / "out.mp4", notes, settings=QUICK)
    assert exported.facts.duration_us == 1_500_000
    assert tick_times(exported.facts.path) == list(range(0, 135_000, 9_000))
    first, *others = (luma for _, luma in pictures(exported.facts.path))
    assert first.shape == (300, 202)
    assert all(np.abs(other.astype(int) - first).mean() < 3 for other in others)


def test_a_clip_without_sound_gets_a_silent_track(tmp_path: Path):
    with open_clip(make_clip(tmp_path / "mute.mp4", seconds=1)) as clip:
        out = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    with av.open(str(out)) as container:
        assert not any(frame.to_ndarray().any() for frame in container.decode(audio=0))


@pytest.mark.parametrize(
    ("wide", "high", "size"),
    [
        (3840, 2160, (1920, 1080)),
        (2160, 3840, (1080, 1920)),
        (1080, 1920, (1080, 1920)),
        (641, 361, (642, 362)),
        (4000, 3000, (1920, 1440)),
        (10_000, 10, (1920, 2)),
    ],
)
def test_the_usual_size_fits_a_phone_and_is_never_larger_than_the_clip(wide, high, size):
    assert output_size(wide, high) == size


def test_a_smaller_size_scales_the_picture_and_what_is_painted_alike(tmp_path: Path):
    plain = make_clip(tmp_path / "grey.mp4", "-vf", "drawbox=c=gray:t=fill", *X264, size=(640, 480))
    marks = (every_mark()[1],)  # a ring round (300.5, 250.25), 60 and 40 px
    notes = (note(1, start_us=0, end_us=500_000, text="", marks=marks),)
    centres = []
    with open_clip(plain) as clip:
        for size in ((640, 480), (320, 240)):
            out = export(
                clip, tmp_path / "out.mp4", notes, size=size, settings=VideoSettings(crf=5)
            )
            _, luma = pictures(out.facts.path)[0]
            rows, columns = np.nonzero(np.abs(luma.astype(int) - int(luma[-1, -1])) > 20)
            extent = [columns.min(), columns.max() + 1, rows.min(), rows.max() + 1]
            centres.append(np.array(extent) * 640 / size[0])
    assert np.abs(centres[0] - centres[1]).max() <= 3
    assert np.abs(centres[0].reshape(2, 2).mean(axis=1) - (300.5, 250.25)).max() <= 1.5


def test_the_clip_itself_is_never_written_over(tmp_path: Path):
    path = make_clip(tmp_path / "clip.mp4", seconds=0.2)
    before = path.read_bytes()
    with open_clip(path) as clip, pytest.raises(ExportError, match="is the clip itself"):
        export(clip, path)
    assert path.read_bytes() == before


def boxes(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The boxes of an ISO base media file or of a box (ISO/IEC 14496-12, 4.2)."""
    at = 0
    while at + 8 <= len(data):
        size, name = struct.unpack(">I4s", data[at : at + 8])
        head = 8
        if size == 1:
            (size,), head = struct.unpack(">Q", data[at + 8 : at + 16]), 16
        yield name, data[at + head : at + (size or len(data))]
        at += size or len(data)


def creation_times(data: bytes) -> set[int]:
    """Every creation time in the movie, track and media headers; 0 is 'not told'."""
    times = set()
    for name, body in boxes(data):
        if name in (b"moov", b"trak", b"mdia"):
            times |= creation_times(body)
        elif name in (b"mvhd", b"tkhd", b"mdhd"):
            assert body[0] == 0
            times.add(struct.unpack(">I", body[4:8])[0])
    return times
