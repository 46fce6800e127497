"""Sound and picture stay together: a flash and a beep that happen at once still do afterwards."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from support.exporting import export, pictures, sound
from support.media import X264, ffmpeg
from support.reviews import note

from cliptag.clip import open_clip
from cliptag.export.video import VideoSettings

QUICK = VideoSettings(preset="ultrafast", crf=30)
EVENTS_S = (1.0, 20.0, 40.0, 61.0)
LENGTH_S = 62
# ITU-R BT.1359-1 gives 45 ms early to 125 ms late as detectable (from memory); we allow less.
TOLERANCE_S = 0.020


def flash_and_beep(folder: Path, *output: str, name: str = "flash.mp4", fps: str = "10") -> Path:
    """White pictures and a 1 kHz tone for a tenth of a second from each of EVENTS_S on."""
    path = folder / name
    on = "+".join(f"between(t\\,{at}\\,{at}+0.0999)" for at in EVENTS_S)
    ffmpeg(
        *("-f", "lavfi", "-i", f"color=black:s=64x48:r={fps}:d={LENGTH_S}"),
        *("-f", "lavfi", "-i", f"aevalsrc='0.8*sin(2*PI*1000*t)*({on})':s=44100:d={LENGTH_S}"),
        *("-vf", f"drawbox=c=white:t=fill:enable='{on}'", *X264, "-g", "60", "-bf", "2"),
        *("-c:a", "aac", "-b:a", "128k", *output),
        path,
    )
    return path


def flashes(video: Path) -> list[float]:
    """When the picture turns white, in seconds."""
    bright = [(tick / 90_000, luma.mean() > 120) for tick, luma in pictures(video)]
    return [
        time for (time, is_on), (_, was_on) in zip(bright[1:], bright, strict=False)
        if is_on and not was_on
    ]  # fmt: skip


def beeps(video: Path) -> list[float]:
    """When the tone starts, in seconds."""
    rate, samples = sound(video)
    loud = np.flatnonzero(np.abs(samples[:, 0]) > 0.1) / rate
    return loud[np.diff(loud, prepend=-1) > 0.5].tolist()


def assert_together(video: Path, expected: list[float]) -> None:
    seen, heard = flashes(video), beeps(video)
    assert seen == pytest.approx(expected, abs=0.0001)
    assert len(heard) == len(seen)
    apart = [round(beep - flash, 4) for flash, beep in zip(seen, heard, strict=True)]
    assert max(map(abs, apart)) < TOLERANCE_S, f"sound is late by {apart} s"


@pytest.fixture(scope="module")
def clip_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return flash_and_beep(tmp_path_factory.mktemp("flash"))


def test_the_test_itself_finds_flash_and_beep_together_in_the_clip(clip_path: Path):
    assert_together(clip_path, list(EVENTS_S))


def test_sound_and_picture_are_together_from_the_first_to_the_last_minute(clip_path, tmp_path):
    with open_clip(clip_path) as clip:
        out = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    assert_together(out, list(EVENTS_S))


def test_holds_do_not_part_sound_and_picture(clip_path, tmp_path):
    holds = ((100_000, 1_234_567), (10_000_000, 333_333), (30_000_000, 2_000_001))
    notes = [
        note(number, start_us=start, end_us=start + 500_000, text="", hold_us=length)
        for number, (start, length) in enumerate(holds)
    ]
    with open_clip(clip_path) as clip:
        exported = export(clip, tmp_path / "out.mp4", notes, settings=QUICK)
    shifts = [sum(length for start, length in holds if start < at * 1e6) / 1e6 for at in EVENTS_S]
    assert_together(
        exported.facts.path, [at + shift for at, shift in zip(EVENTS_S, shifts, strict=True)]
    )


def test_sound_that_starts_later_than_the_picture_stays_where_it_was(tmp_path):
    late = flash_and_beep(tmp_path, "-af", "atrim=start=0.5", name="late.mkv")
    with open_clip(late) as clip:
        out = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    assert_together(out, list(EVENTS_S))


def test_a_variable_rate_keeps_sound_and_picture_together(tmp_path):
    on = "+".join(f"between(t\\,{at}\\,{at}+0.0999)" for at in EVENTS_S)
    drops = "select='not(eq(mod(n,7),5))'"  # no picture of a flash is among these
    draw = f"drawbox=c=white:t=fill:enable='{on}',{drops}"
    path = flash_and_beep(tmp_path, "-vf", draw, "-fps_mode", "vfr", name="variable.mp4")
    with open_clip(path) as clip:
        assert clip.info.is_variable_rate
        out = export(clip, tmp_path / "out.mp4", settings=QUICK).facts.path
    assert_together(out, list(EVENTS_S))


def test_while_the_picture_stands_or_runs_slowly_it_is_silent(tmp_path):
    path = tmp_path / "tone.mp4"
    tone = ("-f", "lavfi", "-i", "sine=frequency=300:duration=3:sample_rate=48000")
    ffmpeg("-f", "lavfi", "-i", "testsrc2=s=64x48:r=25:d=3", *tone, *X264, "-c:a", "aac", path)
    notes = (
        note(1, start_us=1_000_000, end_us=1_400_000, text="", hold_us=700_000),
        note(2, start_us=2_000_000, end_us=2_400_000, text="", slow_by=2, hold_us=0),
    )
    with open_clip(path) as clip:
        exported = export(clip, tmp_path / "out.mp4", notes, settings=QUICK)
    rate, samples = sound(exported.facts.path)
    heard = np.abs(samples[:, 0])

    def loudest(start_s: float, stop_s: float) -> float:
        return float(heard[int(start_s * rate) : int(stop_s * rate)].max())

    edge = 0.03  # AAC smears by up to a block of 21 ms
    for start, stop, is_heard in (
        (0.05, 1.0, True), (1.0, 1.7, False), (1.7, 2.7, True), (2.7, 3.5, False), (3.5, 4.0, True),
    ):  # fmt: skip
        level = loudest(start + edge, stop - edge)
        assert (level > 0.05) == is_heard, f"{start} to {stop} s: {level:.3f}"
        assert is_heard or level < 0.01
