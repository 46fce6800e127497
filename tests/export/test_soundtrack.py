"""The sound track is as long as the timeline says, and every sound is where it belongs."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cliptag.export.soundtrack import sound_blocks, to_sample
from cliptag.export.timeline import Card, Hold, Play, Span, Timeline

RATE = 48_000
FADE = RATE * 10 // 1000  # no fade is longer than this


class CountingSound:
    """A clip's sound in which each sample tells its own number (left: low part, right: high)."""

    def __init__(self) -> None:
        self.asked: list[tuple[int, int]] = []

    def read(self, start_us: int, stop_us: int) -> np.ndarray:
        self.asked.append((start_us, stop_us))
        numbers = np.arange(round(start_us * 0.048), round(stop_us * 0.048)) + 1
        return np.stack([numbers % 30_000, numbers // 30_000], axis=1).astype(np.int16)


class SteadySound:
    """The loudest steady sound, in which every cut would click."""

    def read(self, start_us: int, stop_us: int) -> np.ndarray:
        return np.full((round(stop_us * 0.048) - round(start_us * 0.048), 2), 20_000, np.int16)


def numbers_of(samples: np.ndarray) -> np.ndarray:
    return samples[:, 0].astype(int) + 30_000 * samples[:, 1].astype(int) - 1


def whole(spans: list[Span], source: object) -> np.ndarray:
    blocks = sound_blocks(Timeline(tuple(spans), ()), source)  # type: ignore[arg-type]
    return np.concatenate([np.zeros((0, 2), np.int16), *blocks])


TYPICAL: list[Span] = [
    Card(0, 3_500_000, "title"),
    Play(3_500_000, 0, 1_233_367),
    Hold(4_733_367, 6_000_001, 1_233_367, "a"),
    Play(6_000_001, 1_233_367, 2_033_401, 3),
    Play(8_400_103, 2_033_401, 4_000_017),
    Card(10_366_719, 15_000_000, "closing"),
]


def test_the_clips_sound_is_where_it_plays_and_silence_is_everywhere_else():
    samples = whole(TYPICAL, CountingSound())
    for span in TYPICAL:
        first, stop = to_sample(span.out_start_us), to_sample(span.out_end_us)
        if isinstance(span, Play) and span.slow_by == 1:
            inner = numbers_of(samples[first + FADE : stop - FADE])
            wanted = round(span.source_start_us * 0.048) + FADE + np.arange(len(inner))
            assert (inner == wanted).all()
        else:
            assert not samples[first:stop].any(), span


def test_the_track_is_as_long_as_the_video_to_the_sample():
    assert len(whole(TYPICAL, CountingSound())) == 15 * RATE
    assert len(whole(TYPICAL, None)) == 15 * RATE


def test_a_clip_without_sound_gives_silence():
    assert not whole(TYPICAL, None).any()


def test_blocks_are_short_and_read_forward_without_gaps():
    source = CountingSound()
    blocks = list(sound_blocks(Timeline(tuple(TYPICAL), ()), source))
    assert max(map(len, blocks)) <= RATE // 10
    assert all(start < stop for start, stop in source.asked)
    for (_, stop), (start, _) in zip(source.asked, source.asked[1:], strict=False):
        assert start == stop or start == 2_033_401


def test_nothing_clicks_where_sound_starts_or_stops():
    samples = whole(TYPICAL, SteadySound())[:, 0].astype(int)
    loudest_step = np.abs(np.diff(np.pad(samples, 1))).max()
    assert loudest_step <= 20_000 / (RATE * 0.005)  # at least 5 ms from silence to full


def test_sound_goes_on_untouched_over_a_note_that_does_not_stop_the_clip():
    spans: list[Span] = [Play(0, 0, 1_000_000), Play(1_000_000, 1_000_000, 2_000_000)]
    samples = whole(spans, SteadySound())[:, 0]
    assert (samples[FADE:-FADE] == 20_000).all()


def test_a_jump_from_one_part_of_the_clip_to_another_is_faded():
    spans: list[Span] = [Play(0, 0, 1_000_000), Play(1_000_000, 5_000_000, 6_000_000)]
    samples = whole(spans, SteadySound())[:, 0]
    assert abs(int(samples[RATE])) < 100 and abs(int(samples[RATE - 1])) < 100


def test_a_piece_shorter_than_two_fades_is_faded_from_both_ends():
    spans: list[Span] = [
        Hold(0, 50_000, 0, "a"),
        Play(50_000, 0, 5_000),
        Hold(55_000, 90_000, 5_000, "b"),
    ]
    samples = whole(spans, SteadySound())[:, 0].astype(int)
    assert 0 < samples.max() < 20_000
    assert np.abs(np.diff(samples)).max() <= 20_000 / (RATE * 0.005)


@given(
    pieces=st.lists(
        st.tuples(st.sampled_from(["play", "slow", "hold", "card"]), st.integers(1, 700_000)),
        min_size=1,
        max_size=12,
    ),
    start_us=st.integers(0, 10**9),
)
@settings(max_examples=80, deadline=None)
def test_whatever_the_timeline_no_span_is_more_than_a_sample_off(pieces, start_us):
    spans: list[Span] = []
    clock, source_us = 0, start_us
    for what, length in pieces:
        if what in ("play", "slow"):
            spans.append(Play(clock, source_us, source_us + length, 1 if what == "play" else 3))
            source_us += length
        elif what == "hold":
            spans.append(Hold(clock, clock + length, source_us, "n"))
        else:
            spans.append(Card(clock, clock + length, "title"))
        clock = spans[-1].out_end_us
    samples = whole(spans, CountingSound())
    assert len(samples) == to_sample(clock)
    for span in spans:
        if isinstance(span, Play) and span.slow_by == 1:
            first, stop = to_sample(span.out_start_us) + FADE, to_sample(span.out_end_us) - FADE
            numbers = numbers_of(samples[first : max(first, stop)])
            out_us = (first + np.arange(len(numbers))) / 0.048
            true_us = span.source_start_us + out_us - span.out_start_us
            if len(numbers):
                assert np.abs(numbers / 0.048 - true_us).max() < 1e6 / RATE * 1.01


@pytest.mark.parametrize(("out_us", "sample"), [(0, 0), (10, 0), (11, 1), (1_000_000, RATE)])
def test_output_times_become_the_nearest_sample(out_us, sample):
    assert to_sample(out_us) == sample


def test_rounding_does_not_add_up_over_hours():
    hours = 36_000_000_007 // 5
    assert abs(to_sample(hours) / 0.048 - hours) <= 0.5 / 0.048
