"""The media files are what a phone writes, small, and timed as their truth says."""

from __future__ import annotations

import struct
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from PIL import Image, ImageOps
from support.truth import FOLDER, NAMES, Truth, read_truth

_LIMIT_BYTES = 14_000_000


def test_all_clips_of_the_scenario_are_there() -> None:
    assert NAMES == [
        "bend_week01",
        "bend_week10",
        "lift_week01",
        "lift_week10",
        "sit_to_stand_week01",
        "sit_to_stand_week01_rotated",
        "sit_to_stand_week01_vfr",
        "sit_to_stand_week10",
        "standing_week01",
    ]


def test_the_folder_stays_small_enough_to_commit() -> None:
    files = [p for p in FOLDER.rglob("*") if p.is_file() and "__pycache__" not in p.parts]
    assert sum(p.stat().st_size for p in files) < _LIMIT_BYTES


def test_frame_times_rise_and_equal_the_packet_timestamps(video: Truth) -> None:
    with av.open(str(video.path)) as container:
        stream = container.streams.video[0]
        stamps = sorted(
            _time(packet) for packet in container.demux(stream) if packet.pts is not None
        )
    in_file = np.array([float((stamp - stamps[0]) * 1_000_000) for stamp in stamps])
    assert video.times_us[0] == 0
    assert (np.diff(video.times_us) > 0).all()
    assert len(in_file) == len(video.times_us)
    np.testing.assert_allclose(video.times_us, in_file, atol=1.0)


def test_video_is_h264_high_bt709_with_b_frames_and_short_groups(video: Truth) -> None:
    with av.open(str(video.path)) as container:
        stream = container.streams.video[0]
        context = stream.codec_context
        assert (context.name, context.profile, context.pix_fmt) == ("h264", "High", "yuv420p")
        tags = (context.color_primaries, context.color_trc, context.colorspace)
        assert [int(tag) for tag in tags] == [1, 1, 1]  # BT.709 in ITU-T H.273
        assert int(context.color_range) == 1  # limited
        assert context.has_b_frames
        keys = [float(_time(p)) for p in container.demux(stream) if p.is_keyframe]
        assert max(np.diff(keys)) <= 2.6  # 60 frames, some missing
        assert container.streams.audio[0].codec_context.name == "aac"


def test_index_comes_before_the_pictures(video: Truth) -> None:
    kinds = _box_kinds(video.path)
    assert kinds.index("moov") < kinds.index("mdat")


def test_displayed_size_is_the_size_of_the_truth(truth: Truth) -> None:
    expected = (truth.data["width"], truth.data["height"])
    if truth.path.suffix == ".jpg":
        with Image.open(truth.path) as photo:
            assert ImageOps.exif_transpose(photo).size == expected
        return
    with av.open(str(truth.path)) as container:
        frame = next(container.decode(video=0))
        size = (frame.width, frame.height)
        assert (size if frame.rotation % 180 == 0 else size[::-1]) == expected


def test_rotated_clip_is_coded_lying_down() -> None:
    clip = read_truth("sit_to_stand_week01_rotated")
    with av.open(str(clip.path)) as container:
        frame = next(container.decode(video=0))
    assert (frame.width, frame.height) == (1920, 1080)
    assert frame.rotation % 360 in (90, 270)


def test_photo_is_stored_lying_down_and_set_upright_by_exif() -> None:
    photo = read_truth("standing_week01")
    with Image.open(photo.path) as image:
        assert image.size == (photo.data["height"], photo.data["width"])
        assert image.getexif()[0x0112] == 6  # EXIF 2.3: row 0 is the right side


def test_variable_rate_clip_jitters_and_misses_frames() -> None:
    steps_ms = np.diff(read_truth("sit_to_stand_week01_vfr").times_us) / 1000
    assert 24 <= 1000 / steps_ms.mean() <= 30
    assert len(np.unique(np.round(steps_ms, 1))) > 20
    assert (steps_ms > 55).sum() >= 5, "some frames are missing"


def test_each_sound_starts_at_its_moment(video: Truth) -> None:
    sounds = video.data["sounds"]
    assert sounds
    with av.open(str(video.path)) as container:
        first = min(_time(p) for p in container.demux(video=0) if p.pts is not None)
        container.seek(0)
        frames = list(container.decode(audio=0))
    rate = frames[0].sample_rate
    start = float(_time(frames[0]) - first)
    samples = np.concatenate([frame.to_ndarray()[0] for frame in frames])
    quiet = np.abs(samples[: rate // 3]).max()
    for sound in sounds:
        at = round((sound["time_us"] / 1e6 - start) * rate)
        window = np.abs(samples[at - rate // 10 : at + rate // 5])
        onset = np.argmax(window > 4 * quiet)
        assert window.max() > 4 * quiet, f"no {sound['name']} at {sound['time_us']}"
        assert abs(onset - rate // 10) / rate < 0.020


def _time(stamped: av.Packet[Any] | av.AudioFrame) -> Fraction:
    """Presentation time in seconds."""
    assert stamped.pts is not None and stamped.time_base is not None
    return stamped.pts * stamped.time_base


def _box_kinds(path: Path) -> list[str]:
    """Top-level boxes of an ISO base media file (ISO/IEC 14496-12)."""
    kinds = []
    data = path.read_bytes()
    at = 0
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at : at + 8])
        kinds.append(kind.decode("latin-1"))
        if size == 1:
            (size,) = struct.unpack(">Q", data[at + 8 : at + 16])
        if size < 8:
            pytest.fail(f"box {kind!r} of {path.name} has size {size}")
        at += size
    return kinds
