"""What can't be read gives one sentence; what is damaged never gives a wrong picture."""

from __future__ import annotations

import datetime as dt
import os
import random
from contextlib import suppress
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image
from support.awkward import make_awkward
from support.media import X264, ffmpeg, make_clip, native_md5, picture_source, sound_source

from cliptag.clip import Clip, ClipError, ClipNotFoundError, digest_of, open_clip
from cliptag.clip.index import ticks_to_us


def test_a_missing_file_is_said_to_be_missing(tmp_path: Path) -> None:
    with pytest.raises(ClipNotFoundError, match=r"There is no file .*nowhere\.mp4"):
        open_clip(tmp_path / "nowhere.mp4")
    with pytest.raises(FileNotFoundError):
        digest_of(tmp_path / "nowhere.mp4")


def _sentence(path: Path) -> str:
    with pytest.raises(ClipError) as raised:
        open_clip(path)
    text = str(raised.value)
    assert "\n" not in text
    assert text.endswith(".")
    return text


def test_what_isnt_a_clip_gives_one_sentence(tmp_path: Path) -> None:
    assert "folder" in _sentence(tmp_path)
    empty = tmp_path / "empty.mp4"
    empty.touch()
    assert "empty" in _sentence(empty)
    text = tmp_path / "notes.mp4"
    text.write_text("These are only words. " * 50, encoding="utf-8")
    assert "notes.mp4 is no video or photo" in _sentence(text)
    # FFmpeg would show it as a terminal of old did.
    assert "notes.txt is no video or photo" in _sentence(text.rename(tmp_path / "notes.txt"))
    noise = tmp_path / "noise.mov"
    noise.write_bytes(random.Random(1).randbytes(200_000))
    assert "noise.mov is no video or photo" in _sentence(noise)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with names here")
def test_a_pipe_is_refused_instead_of_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.mp4")
    assert "no ordinary file" in _sentence(tmp_path / "pipe.mp4")


def test_a_clip_opened_by_a_relative_path_stays_open(
    media: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = make_awkward("constant rate", media)
    monkeypatch.chdir(path.parent)
    with open_clip(path.name) as clip:
        monkeypatch.chdir(tmp_path)
        assert clip.frame(40).rgb.any()
        assert next(clip.planes(2)).index == 2
        reader = clip.sound()
        assert reader is not None
        assert reader.read(0, 100_000).any()
        reader.close()


def test_a_clip_without_its_index_is_told_for_what_it_is(tmp_path: Path, media: Path) -> None:
    """An MP4 that breaks off before its index, as when a phone's battery dies."""
    whole = make_awkward("constant rate", media).read_bytes()
    path = tmp_path / "dead battery.mp4"
    path.write_bytes(whole[: whole.rindex(b"moov") - 8])
    assert "breaks off before its index" in _sentence(path)


def test_sound_alone_is_no_clip(tmp_path: Path) -> None:
    path = tmp_path / "voice.m4a"
    ffmpeg(*sound_source(), "-c:a", "aac", path)
    assert "holds no video" in _sentence(path)


def test_a_cover_picture_is_not_the_clip(tmp_path: Path) -> None:
    cover, song, both = tmp_path / "cover.png", tmp_path / "song.m4a", tmp_path / "both.mp4"
    Image.new("RGB", (40, 40), "red").save(cover)
    ffmpeg(*sound_source(), "-i", cover, "-c:v", "copy", "-disposition:v", "attached_pic", song)
    assert "holds no video" in _sentence(song)
    ffmpeg(
        *(*picture_source(), "-i", cover, "-map", "1", "-map", "0", "-c:v:0", "png"),
        *("-c:v:1", "libx264", "-pix_fmt:v:1", "yuv420p", "-disposition:v:0", "attached_pic", both),
    )
    with open_clip(both) as clip:
        assert (clip.info.codec, len(clip)) == ("h264", 60)


def test_a_playlist_dressed_up_as_a_clip_reaches_nothing(tmp_path: Path, media: Path) -> None:
    secret = make_awkward("constant rate", media)
    path = tmp_path / "holiday.mp4"
    path.write_text(f"ffconcat version 1.0\nfile '{secret}'\n", encoding="utf-8")
    assert "holiday.mp4 is no video or photo" in _sentence(path)
    path.write_text("#EXTM3U\n#EXT-X-TARGETDURATION:9\n#EXTINF:9,\nhttp://127.0.0.1:9/a.ts\n")
    assert "holiday.mp4" in _sentence(path)


@pytest.mark.parametrize("name", ["100%.mp4", "concat:a.mp4", "ünï 写.mp4", "-i.mp4", "a'b\"c.mp4"])
def test_odd_names_are_only_names(name: str, tmp_path: Path, media: Path) -> None:
    path = tmp_path / name
    path.write_bytes(make_awkward("constant rate", media).read_bytes())
    with open_clip(path) as clip:
        assert len(clip) == 60
        assert clip.frame(31).rgb.any()
        assert next(clip.planes(3)).index == 3


def test_facts_of_a_clip(tmp_path: Path) -> None:
    path = tmp_path / "facts.mov"
    make_clip(
        path,
        *(*X264, "-c:a", "aac", "-movflags", "use_metadata_tags"),
        *("-metadata", "com.apple.quicktime.location.ISO6709=+52.52+013.40/"),
        *("-metadata", "com.apple.quicktime.creationdate=2025-03-09T08:15:30+0200"),
        size=(160, 90),
        fps="30000/1001",
        seconds=1,
        sound=True,
    )
    with open_clip(path) as clip:
        info = clip.info
        assert (info.width, info.height, info.codec) == (160, 90, "h264")
        assert (info.pixel_format, info.bit_depth, info.hdr) == ("yuv420p", 8, None)
        assert info.pixel_aspect == Fraction(1)
        assert info.nominal_fps == pytest.approx(29.97, abs=0.001)
        assert not info.is_variable_rate
        assert info.frame_count == len(clip) == 30
        assert info.duration_us == clip.duration_us == pytest.approx(1_001_000, abs=50)
        assert (info.has_sound, info.sound_codec, info.is_photo) == (True, "aac", False)
        assert info.size_bytes == path.stat().st_size
        assert info.has_location
        zone = dt.timezone(dt.timedelta(hours=2))
        assert info.recorded_at == dt.datetime(2025, 3, 9, 8, 15, 30, tzinfo=zone)


def test_a_clip_that_tells_no_place_has_none(media: Path) -> None:
    with open_clip(make_awkward("constant rate", media)) as clip:
        assert not clip.info.has_location
        assert clip.info.recorded_at is None


def test_variable_rate_is_told(media: Path) -> None:
    with open_clip(make_awkward("variable rate", media)) as clip:
        assert clip.info.is_variable_rate
    with open_clip(make_awkward("open GOP in Matroska", media)) as clip:
        assert not clip.info.is_variable_rate, "a clock of whole milliseconds is no variable rate"


def test_index_at_is_the_frame_on_the_screen(media: Path) -> None:
    with open_clip(make_awkward("variable rate", media)) as clip:
        assert clip.index_at(-1) == clip.index_at(0) == 0
        for index in (1, 7, len(clip) - 1):
            shown_at = int(clip.times_us[index])
            assert clip.index_at(shown_at) == index
            assert clip.index_at(shown_at - 1) == index - 1
        assert clip.index_at(clip.duration_us * 2) == len(clip) - 1


def test_frames_that_dont_exist_are_refused(media: Path) -> None:
    with open_clip(make_awkward("constant rate", media)) as clip:
        for index in (-1, 60):
            with pytest.raises(IndexError):
                clip.frame(index)
        with pytest.raises(IndexError):
            clip.planes(50, 61)
        with pytest.raises(ClipError, match="even"):
            clip.planes(size=(33, 20))


@pytest.mark.parametrize(
    ("time_base", "ticks", "micros"),
    [
        # 30000/1001 fps: NTSC film time, exact to the microsecond.
        (Fraction(1001, 30000), [1, 30, 1798, 17982], [33367, 1001000, 59993267, 599999400]),
        (Fraction(1, 3), [1, 2], [333333, 666667]),
        (Fraction(1, 10**9), [3_600 * 10**9 + 499, 500], [3_600_000_000, 1]),
        (Fraction(1, 90000), [2**33], [95443717689]),
    ],
)
def test_times_are_the_nearest_microsecond(
    time_base: Fraction, ticks: list[int], micros: list[int]
) -> None:
    assert ticks_to_us(np.array(ticks), time_base).tolist() == micros


@pytest.mark.parametrize("name", ["open GOP", "HEVC", "transport stream", "VP9 with hidden frames"])
@pytest.mark.parametrize("seed", range(4))
def test_a_clip_with_flipped_bits_never_hangs_or_shows_another_frame(
    name: str, seed: int, media: Path, tmp_path: Path
) -> None:
    """What PyAV still decodes whole, in order, comes out as before the damage. In place of the
    rest there may be a picture with a flaw, or a ClipError, but never another frame."""
    original = make_awkward(name, media)
    data = bytearray(original.read_bytes())
    dice = random.Random(seed)
    for _ in range(4):
        data[dice.randrange(len(data) // 8, len(data) * 7 // 8)] ^= 1 << dice.randrange(8)
    path = tmp_path / f"damaged{original.suffix}"
    path.write_bytes(data)
    with open_clip(original) as clip:
        whole = {int(clip.times_us[index]): _md5(clip, index) for index in range(len(clip))}
    still_whole = _decoded_in_order(path) & set(whole.values())
    checked = 0
    with open_clip(path) as clip:
        order = list(range(len(clip)))
        dice.shuffle(order)
        for index in order:
            time_us = int(clip.times_us[index])
            try:
                md5 = _md5(clip, index)
            except ClipError as error:
                assert "damaged" in str(error)
                md5 = ""
            if time_us not in whole:
                continue  # the damage hit the clock
            assert md5 == whole[time_us] or md5 not in whole.values()
            if whole[time_us] in still_whole:
                assert md5 == whole[time_us]
                checked += 1
    assert checked > 5


def _md5(clip: Clip, index: int) -> str:
    native = clip.frame(index)._native
    assert native is not None
    return native_md5(native)


def _decoded_in_order(path: Path) -> set[str]:
    seen = set()
    with av.open(str(path)) as container:
        for packet in container.demux(video=0):
            with suppress(av.error.FFmpegError):
                seen.update(native_md5(frame) for frame in packet.decode())
    return seen


def test_a_change_of_size_within_a_clip_keeps_the_displayed_size(
    media: Path, tmp_path: Path
) -> None:
    small = make_clip(tmp_path / "small.ts", *X264, size=(64, 48), seconds=1)
    path = tmp_path / "both.ts"
    path.write_bytes(make_awkward("transport stream", media).read_bytes() + small.read_bytes())
    with open_clip(path) as clip:
        assert len(clip) == 90
        assert clip.frame(80).rgb.shape == clip.frame(5).rgb.shape == (96, 128, 3)
        assert {frame.y.shape for frame in clip.planes()} == {(96, 128)}
