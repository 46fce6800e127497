"""A video gets as large as was said before; a clean one has its captions as a track."""

from __future__ import annotations

import subprocess
from pathlib import Path

import av
import imageio_ffmpeg
import msgspec
import pytest
import webvtt

from cliptag.demo import demo_folder
from cliptag.errors import ExportError
from cliptag.export import ExportOptions, Prediction, export_take_home, predict_size
from cliptag.review import Part, load_review, save_review

WITHIN = 0.05


def demo_part(folder: Path, name: str, seconds: float = 1.5) -> Path:
    """A review of a short part of a demo clip, which stays where it is."""
    source = demo_folder() / f"{name}.review.json"
    review = load_review(source)
    path = (source.parent / review.clip.path).as_posix()
    clip = msgspec.structs.replace(review.clip, path=path)
    start_us = review.notes[0].start_us
    part = Part(start_us=start_us, end_us=start_us + round(seconds * 1e6))
    shorter = msgspec.structs.replace(
        review, clip=clip, part=part, notes=review.notes[:1], impression="", caution="Stop."
    )
    return save_review(shorter, folder / f"{name}.review.json")


@pytest.mark.parametrize(
    ("name", "options"),
    [
        ("sit_to_stand_week01", ExportOptions(purpose="messenger")),
        ("bend_week01", ExportOptions(purpose="messenger", most_mb=0.4)),
        pytest.param("bend_week01", ExportOptions(purpose="home"), marks=pytest.mark.slow),
    ],
    ids=["messenger", "small messenger", "home"],
)
def test_the_file_is_within_5_per_cent_of_what_was_said(tmp_path, name, options):
    review = demo_part(tmp_path, name)
    said: list[Prediction] = []
    made = export_take_home(review, tmp_path / "out", options=options, on_predicted=said.append)
    size = (tmp_path / "out" / "commentary.mp4").stat().st_size
    assert made.predicted == said[0]
    assert size == pytest.approx(said[0].size_bytes, rel=WITHIN)
    assert (made.width, made.height) == said[0].size
    if options.purpose == "messenger":
        assert size <= options.most_mb * 1e6


def test_what_is_said_before_is_what_is_said_while_it_is_made(tmp_path):
    review = demo_part(tmp_path, "sit_to_stand_week01", 1.0)
    options = ExportOptions(purpose="messenger")
    made = export_take_home(review, tmp_path / "out", options=options)
    told = predict_size(review, options)
    assert told is not None and made.predicted is not None and told.size == made.predicted.size
    # x264's threads make a hair's difference.
    assert told.size_bytes == pytest.approx(made.predicted.size_bytes, rel=0.01)
    assert predict_size(review, ExportOptions()) is None


@pytest.mark.parametrize("most_mb", [0.0, -3.0, float("nan"), float("inf")])
def test_a_size_that_cannot_be_is_refused(tmp_path, most_mb):
    review = demo_part(tmp_path, "sit_to_stand_week01", 1.0)
    options = ExportOptions(purpose="messenger", most_mb=most_mb)
    with pytest.raises(ExportError, match="name a size above 0"):
        export_take_home(review, tmp_path / "out", options=options)


def test_a_size_that_no_video_fits_into_is_a_sentence_and_leaves_nothing(tmp_path):
    review = demo_part(tmp_path, "sit_to_stand_week01", 1.0)
    options = ExportOptions(purpose="messenger", most_mb=0.01)
    with pytest.raises(ExportError, match=r"can't be made as small as 0\.01 MB: allow more"):
        export_take_home(review, tmp_path / "out", options=options)
    assert not (tmp_path / "out").exists()


@pytest.fixture(scope="module")
def clean(tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("clean")
    review = demo_part(folder, "sit_to_stand_week01", 1.0)
    export_take_home(review, folder / "out", options=ExportOptions(clean=True))
    return folder / "out"


def test_the_clean_video_has_the_captions_as_a_track(clean):
    """Read back by the ffmpeg program, and compared by a WebVTT parser that we did not write."""
    back = clean / "back.vtt"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostdin", "-v", "error", "-y"]
    command += ["-i", str(clean / "clean.mp4"), "-map", "0:s:0", str(back)]
    subprocess.run(command, check=True, timeout=60)
    theirs, ours = webvtt.read(str(back)), webvtt.read(str(clean / "commentary.vtt"))
    assert [cue.text for cue in theirs] == [cue.text for cue in ours]
    assert [cue.start for cue in theirs] == [cue.start for cue in ours]
    with av.open(str(clean / "clean.mp4")) as container:
        kinds = [stream.type for stream in container.streams]
        assert container.streams.subtitles[0].codec_context.name == "mov_text"
        assert container.streams.subtitles[0].language == "eng"
    assert kinds[:3] == ["video", "audio", "subtitle"]


def test_both_videos_show_the_same_at_the_same_times_but_for_the_captions(clean):
    def times_and_lowest(name: str) -> tuple[list[float], list[int]]:
        with av.open(str(clean / name)) as container:
            frames = list(container.decode(video=0))
            return [f.time for f in frames], [int(f.to_ndarray().min()) for f in frames[:1]]

    burned, bare = times_and_lowest("commentary.mp4"), times_and_lowest("clean.mp4")
    assert set(bare[0]) <= set(burned[0])
    assert bare[0][-1] == pytest.approx(burned[0][-1], abs=0.11)


def test_the_clean_video_has_no_caption_on_the_picture(clean):
    cue = webvtt.read(str(clean / "commentary.vtt"))[0]
    h, m, s = cue.start.split(":")
    at = int(h) * 3600 + int(m) * 60 + float(s) + 0.5

    def picture(name: str):
        with av.open(str(clean / name)) as container:
            shown = None
            for frame in container.decode(video=0):
                if frame.time > at:
                    break
                shown = frame
            assert shown is not None
            return shown.to_ndarray(format="gray")

    burned, bare = picture("commentary.mp4"), picture("clean.mp4")
    assert burned.shape == bare.shape
    differs = abs(burned.astype(int) - bare) > 60
    assert differs.mean() > 0.01  # the plate and its words
    rows = differs.any(axis=1).nonzero()[0]
    height = len(burned)
    assert rows.min() > 0.6 * height or rows.max() < 0.4 * height
