"""A spoken note is heard where it belongs, loud enough and not too loud, over a clip that ducks."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Sequence
from pathlib import Path

import imageio_ffmpeg
import numpy as np
import pyloudnorm
import pytest
from support.exporting import sound
from support.media import X264, ffmpeg, make_clip
from support.spoken import OTHER, place_of, silence, speech, take_of, voice_in

from cliptag.clip import open_clip
from cliptag.errors import ExportError
from cliptag.export import (
    ClientView,
    Hold,
    build_timeline,
    export_take_home,
    plan_export,
)
from cliptag.export.master import Spoken, make_master
from cliptag.export.timeline import VOICE_REST_US, Play
from cliptag.opening import review_path_of, start_review
from cliptag.review import Note, Review, edit, load_review, save_review

RATE = 48_000
TARGET_LUFS, TRUE_PEAK_DB = -16.0, -1.5


def noisy_clip(path: Path, seconds: float = 6.0, volume: float = 0.1) -> Path:
    """A clip with pink noise, as a busy street has."""
    hiss = f"anoisesrc=color=pink:seed=5:r=48000:d={seconds}:a={volume}"
    picture = f"testsrc2=s=128x96:r=30:d={seconds}"
    ffmpeg("-f", "lavfi", "-i", picture, "-f", "lavfi", "-i", hiss, *X264, "-c:a", "aac", path)
    return path


def spoken_review(clip_path: Path, *spoken: tuple[Note, np.ndarray, dict]) -> Path:
    """A review whose notes have takes, saved beside the clip."""
    review_path = review_path_of(clip_path)
    with open_clip(clip_path) as clip:
        review = start_review(clip)
    for note, samples, fields in spoken:
        take = take_of(samples, review_path, note.id)
        end_us = len(samples) * 1_000_000 // RATE
        trim = {"start_us": 0, "end_us": end_us} | fields
        review = edit.with_note(review, note)
        review = edit.with_voice(review, note.id, voice_in(take, review_path, **trim))
    return save_review(review, review_path)


def note(number: int, start_us: int, end_us: int, **fields: object) -> Note:
    usual = {"region": "knees", "kind": "seen"} | fields
    return Note(id=f"n{number}", start_us=start_us, end_us=end_us, **usual)


def ebur128(video: Path) -> tuple[float, float]:
    """Integrated loudness (LUFS) and true peak (dBTP) as the ffmpeg program measures them."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostdin", "-hide_banner", "-i", str(video)]
    command += ["-vn", "-af", "ebur128=peak=true", "-f", "null", "-"]
    said = subprocess.run(command, capture_output=True, check=True, timeout=120).stderr.decode()
    summary = said[said.rindex("Summary:") :]
    loudness, peak = re.search(r"I: +(\S+) LUFS", summary), re.search(r"Peak: +(\S+) dBFS", summary)
    assert loudness and peak
    return float(loudness[1]), float(peak[1])


def windows_of(review_path: Path) -> list[tuple[int, int]]:
    review = load_review(review_path)
    with open_clip(review_path.with_name("ines.mp4")) as clip:
        plan = plan_export(review, clip)
    found = [plan.timeline.window_of(n.id) for n in review.notes]
    return [(w.start_us, w.end_us) for w in found if w is not None]


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, Path]:
    """The review of two spoken notes on a noisy clip, and its take-home."""
    folder = tmp_path_factory.mktemp("spoken")
    clip = noisy_clip(folder / "ines.mp4")
    quiet = (speech() // 12).astype(np.int16)
    review = spoken_review(
        clip,
        (note(1, 1_000_000, 2_000_000), quiet, {"start_us": 300_000}),
        (note(2, 3_000_000, 5_500_000), speech(OTHER), {"is_over_play": True}),
    )
    export_take_home(review, folder / "out")
    return review, folder / "out" / "commentary.mp4"


def test_each_voice_lands_at_its_note_within_20_ms(made):
    review, video = made
    rate, samples = sound(video)
    assert rate == RATE
    whole = samples.mean(axis=1)
    for (start_us, _), words, skipped_s in zip(
        windows_of(review), (speech(), speech(OTHER)), (0.3, 0.0), strict=True
    ):
        # By a stretch from the middle, so that neither fade nor ducking decides.
        part = words[round((skipped_s + 0.4) * RATE) : round((skipped_s + 1.4) * RATE)]
        found_s = place_of(part, whole) - 0.4
        assert found_s == pytest.approx(start_us / 1e6, abs=0.020)


def test_loudness_and_true_peak_are_what_ebu_r128_asks_for(made):
    loudness, peak = ebur128(made[1])
    assert loudness == pytest.approx(TARGET_LUFS, abs=0.5)
    assert peak <= TRUE_PEAK_DB
    rate, samples = sound(made[1])
    assert pyloudnorm.Meter(rate).integrated_loudness(samples) == pytest.approx(-16, abs=0.5)


@pytest.mark.parametrize("volume", [0.02, 1.0])
@pytest.mark.parametrize("height", [0.02, 1.0])
def test_quiet_and_loud_recordings_over_quiet_and_loud_clips_come_out_alike(
    tmp_path, volume, height
):
    clip = noisy_clip(tmp_path / "ines.mp4", 5.0, volume)
    review = spoken_review(
        clip,
        (
            note(1, 500_000, 4_500_000),
            (speech() * height).astype(np.int16),
            {"is_over_play": True},
        ),
    )
    export_take_home(review, tmp_path / "out")
    loudness, peak = ebur128(tmp_path / "out" / "commentary.mp4")
    assert loudness == pytest.approx(TARGET_LUFS, abs=0.7)
    assert peak <= TRUE_PEAK_DB


def test_the_clip_is_20_db_below_the_voice_while_it_is_heard_and_itself_again_after(tmp_path):
    clip_path = noisy_clip(tmp_path / "ines.mp4", 10.0, 0.3)
    # A voice that falls silent in the middle lets hear how loud the clip is under it.
    gap = np.concatenate([speech(), silence(1.2), speech(OTHER)])
    spoken = note(1, 1_000_000, 9_500_000)
    review_path = spoken_review(clip_path, (spoken, gap, {"is_over_play": True}))
    review = load_review(review_path)
    with open_clip(clip_path) as clip:
        view = ClientView(clip, review)
        track = view.sound()
        whole = track.read(0, view.duration_us)[:, 0].astype(float)
        start_us = view.plan.timeline.windows[0].start_us
        track.close()
        view.close()
    at = start_us * RATE // 1_000_000

    def rms_db(first: float, last: float) -> float:
        part = whole[at + round(first * RATE) : at + round(last * RATE)]
        return float(20 * np.log10(np.sqrt(np.mean(part**2))))

    spoken_s = len(speech()) / RATE
    voice = rms_db(0.2, spoken_s - 0.5)
    under = rms_db(spoken_s + 0.2, spoken_s + 1.0)
    after = rms_db(len(gap) / RATE + 0.7, len(gap) / RATE + 1.2)
    assert voice - under > 17  # speech has pauses of its own, so its mean lies below its loudness
    assert after - under > 6


def test_the_hold_lasts_as_long_as_the_voice(made):
    review_path, _ = made
    review = load_review(review_path)
    with open_clip(review_path.with_name("ines.mp4")) as clip:
        timeline = build_timeline(review, clip.times_us, clip.duration_us, {})
    holds = {
        s.note_id: s.out_end_us - s.out_start_us for s in timeline.spans if isinstance(s, Hold)
    }
    first, second = (n.voice for n in review.notes)
    assert first is not None and second is not None
    assert holds["n1"] == first.length_us + VOICE_REST_US
    window = timeline.window_of("n2")
    assert window is not None
    assert window.end_us - window.start_us >= second.length_us
    played = sum(
        s.out_end_us - s.out_start_us
        for s in timeline.spans
        if isinstance(s, Play) and window.start_us <= s.out_start_us < window.end_us
    )
    assert holds.get("n2", 0) == max(0, second.length_us + VOICE_REST_US - played)


def test_a_longer_hold_of_the_coachs_own_stays(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4")
    review_path = spoken_review(
        clip, (note(1, 500_000, 600_000, hold_us=9_000_000), speech(OTHER), {})
    )
    with open_clip(clip) as opened:
        plan = plan_export(load_review(review_path), opened)
    hold = next(s for s in plan.timeline.spans if isinstance(s, Hold))
    assert hold.out_end_us - hold.out_start_us == 9_000_000


def test_a_clip_without_sound_and_without_a_voice_stays_silent(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4")
    export_take_home(spoken_review(clip), tmp_path / "out")
    _, samples = sound(tmp_path / "out" / "commentary.mp4")
    assert not samples.any()


def test_a_sound_track_of_silence_stays_silent(tmp_path):
    picture = ("-f", "lavfi", "-i", "testsrc2=s=128x96:r=30:d=2")
    quiet = ("-f", "lavfi", "-i", "anullsrc=r=48000:cl=stereo:d=2")
    ffmpeg(*picture, *quiet, *X264, "-c:a", "aac", "-shortest", tmp_path / "ines.mp4")
    export_take_home(spoken_review(tmp_path / "ines.mp4"), tmp_path / "out")
    assert not sound(tmp_path / "out" / "commentary.mp4")[1].any()


def test_a_quiet_room_is_not_pumped_up_to_a_roar(tmp_path):
    clip = noisy_clip(tmp_path / "ines.mp4", 4.0, 0.002)
    before, _ = ebur128(clip)
    assert before < -50
    export_take_home(spoken_review(clip), tmp_path / "out")
    after, _ = ebur128(tmp_path / "out" / "commentary.mp4")
    assert before + 10 < after < before + 13


def test_without_a_voice_a_loud_clip_is_brought_to_the_target(tmp_path):
    clip = noisy_clip(tmp_path / "ines.mp4", 5.0, 1.0)
    export_take_home(spoken_review(clip), tmp_path / "out")
    loudness, peak = ebur128(tmp_path / "out" / "commentary.mp4")
    assert loudness == pytest.approx(TARGET_LUFS, abs=0.5)
    assert peak <= TRUE_PEAK_DB


def test_a_take_that_is_gone_is_a_sentence_and_leaves_nothing(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4")
    review = spoken_review(clip, (note(1, 0, 500_000), speech(OTHER), {}))
    (tmp_path / "ines.voice" / "n1-1.flac").unlink()
    with pytest.raises(ExportError, match=r"n1-1\.flac is not in .*record the note anew"):
        export_take_home(review, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_damaged_take_is_a_sentence_too(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4")
    review = spoken_review(clip, (note(1, 0, 500_000), speech(OTHER), {}))
    (tmp_path / "ines.voice" / "n1-1.flac").write_bytes(b"fLaC" + b"\0" * 500)
    with pytest.raises(ExportError, match=r"n1-1\.flac can't be read"):
        export_take_home(review, tmp_path / "out")


def with_draft(review: Review, note_id: str, words: str) -> Review:
    return edit.with_draft_text(review, note_id, words)


def test_a_draft_is_neither_sent_nor_burned_in_until_it_is_read(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4", seconds=3)
    review_path = spoken_review(
        clip,
        (note(1, 500_000, 900_000), speech(OTHER), {}),
        (note(2, 2_000_000, 2_500_000, text="Read by the coach."), speech(OTHER), {}),
    )
    draft = with_draft(load_review(review_path), "n1", "Porridge the flower awake.")
    save_review(draft, review_path)
    made = export_take_home(review_path, tmp_path / "out")
    sent = "".join(f.read_text("utf-8", "ignore") for f in made.files if f.suffix != ".mp4")
    assert "Porridge" not in sent and "Read by the coach" in sent
    assert any("Nobody has read the draft caption" in sentence for sentence in made.advice)
    save_review(edit.with_text_read(draft, "n1", "Push the floor away."), review_path)
    made = export_take_home(review_path, tmp_path / "out")
    assert "Push the floor away" in (tmp_path / "out" / "commentary.vtt").read_text("utf-8")
    assert not any("draft" in sentence for sentence in made.advice)


def test_a_note_without_text_is_told_of_in_all_that_is_read(tmp_path):
    clip = make_clip(tmp_path / "ines.mp4", seconds=3)
    silent = note(1, 500_000, 900_000, text="", region="feet")
    made = export_take_home(spoken_review(clip, (silent, speech(OTHER), {})), tmp_path / "out")
    assert any("feet at 0.5 s has no text" in sentence for sentence in made.advice)
    for name in ("transcript.txt", "index.html"):
        assert "Spoken in the video." in (tmp_path / "out" / name).read_text("utf-8")


def test_what_the_desk_plays_is_what_the_file_has(made):
    review_path, video = made
    with open_clip(review_path.with_name("ines.mp4")) as clip:
        view = ClientView(clip, load_review(review_path), home=review_path.parent)
        track = view.sound()
        ours = track.read(0, view.duration_us)[:, 0].astype(float) / 32_768
        track.close()
        view.close()
    theirs = sound(video)[1][:, 0]
    length = min(len(ours), len(theirs))
    error = ours[:length] - theirs[:length]
    assert np.sqrt(np.mean(error**2)) < 0.1 * np.sqrt(np.mean(ours**2))


def tick(seconds: Sequence[float], length_s: float) -> np.ndarray:
    samples = np.zeros(round(length_s * RATE), np.int16)
    for at in seconds:
        samples[round(at * RATE)] = 20_000
    return samples


def test_a_voice_is_in_its_place_to_the_sample(tmp_path):
    """By a click, in the mix before it is encoded."""
    take = take_of(tick([0.5, 0.9], 1.5), tmp_path / "ines.review.json")
    clip = make_clip(tmp_path / "ines.mp4")
    review = spoken_review(clip)
    with open_clip(clip) as opened:
        timeline = plan_export(load_review(review), opened).timeline
    spoken = Spoken(1_234_567, take, 200_000, 1_400_000)
    master = make_master(timeline, None, (spoken,))
    pieces = list(master.blocks())
    # All pictures of a piece's time wait for the next one: at 4K they are 12 MB each.
    assert max(map(len, pieces)) <= 48_000 // 10
    assert np.array_equal(np.concatenate(pieces), master.read(0, master.length))
    whole = master.read(0, master.length)[:, 0]
    master.close()
    clicks = np.flatnonzero(np.abs(whole.astype(int)) > 200)
    wanted = [round((1.234567 + at - 0.2) * RATE) for at in (0.5, 0.9)]
    assert np.abs(np.subtract(clicks, wanted)).max() <= 1
