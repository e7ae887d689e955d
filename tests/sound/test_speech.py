"""Where speech is found, and how it is put together to windows."""

from __future__ import annotations

import tracemalloc
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
import pytest

from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.speech import BLOCK, LONGEST, Heard, Stretch, listen
from pipeline.transcripts.recognition.windows import Window, cut, pack
from tests.sound.making import SAMPLE, Samples, read_sound, silence, tone

WITHIN = 0.2
"""Seconds, half a short word: the detector remembers all it heard, our stream lets it hear 4 s again."""


def blocks(sound: Samples) -> list[Samples]:
    return [sound[at : at + BLOCK] for at in range(0, len(sound), BLOCK)]


def stretches(sound: Samples) -> list[Stretch]:
    return [stretch for heard in listen(blocks(sound)) for stretch in heard.ended]


@pytest.fixture(scope="module")
def sample() -> Samples:
    return read_sound(SAMPLE)


def test_silence_holds_no_speech() -> None:
    assert stretches(silence(40)) == []


def test_a_steady_tone_is_no_speech() -> None:
    assert stretches(tone(40)) == []


def test_each_call_between_silences_is_a_stretch_of_its_own(sample: Samples) -> None:
    """The script of the sample calls "one" at 28.4 s, "two, chest up" at 31.4 s and "three" at 34.4 s."""
    starts = [stretch.voice_start for stretch in stretches(sample)]
    for called in (28.4, 31.4, 34.4):
        assert min(abs(start - called) for start in starts) < 0.5


def test_stretches_follow_each_other_and_hold_their_voice(sample: Samples) -> None:
    found = stretches(sample)
    for one in found:
        assert one.start <= one.voice_start < one.voice_end <= one.end
    for one, other in pairwise(found):
        assert one.end <= other.start


def test_found_in_a_stream_as_by_the_detectors_own_function(sample: Samples) -> None:
    """faster-whisper's own function, given the whole sound at once, finds speech at the same moments."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    settings = VadOptions(
        threshold=0.5,
        neg_threshold=0.35,
        min_silence_duration_ms=500,
        speech_pad_ms=0,
        max_speech_duration_s=28,
    )
    theirs = get_speech_timestamps(sample, settings)
    ours = stretches(sample)
    assert len(ours) == len(theirs)
    for one, other in zip(ours, theirs, strict=True):
        assert one.voice_start == pytest.approx(other["start"] / RATE, abs=WITHIN)
        assert one.voice_end == pytest.approx(other["end"] / RATE, abs=WITHIN)


def test_speech_without_a_pause_is_cut_before_it_is_too_long(sample: Samples) -> None:
    voiced = np.concatenate([sample[round(s.start * RATE) : round(s.end * RATE)] for s in stretches(sample)])
    without_pauses = voiced[np.abs(voiced) > 0.02]
    assert len(without_pauses) > LONGEST * RATE
    for stretch in stretches(without_pauses):
        assert stretch.end - stretch.start <= LONGEST


def windows(sound: Samples) -> list[Window]:
    return list(pack(listen(blocks(sound))))


def test_windows_hold_every_stretch_once_in_order(sample: Samples) -> None:
    packed = [part.stretch for window in windows(sample) for part in window.parts]
    assert packed == stretches(sample)


def test_a_window_is_the_sound_of_its_stretches(sample: Samples) -> None:
    for window in windows(sample):
        assert len(window.samples) <= LONGEST * RATE
        for part in window.parts:
            first = round(part.at * RATE)
            begin, end = round(part.stretch.start * RATE), round(part.stretch.end * RATE)
            stop = first + min(end, len(sample)) - begin
            np.testing.assert_array_equal(window.samples[first:stop], sample[begin : begin + stop - first])


def test_long_silence_between_calls_is_left_out(sample: Samples) -> None:
    call = sample[round(28.0 * RATE) : round(30.0 * RATE)]
    (window,) = windows(np.concatenate([call, silence(120), call]))
    assert len(window.samples) < 6 * RATE
    assert window.parts[1].stretch.start - window.parts[0].stretch.start == pytest.approx(122, abs=0.1)


def test_no_more_sound_is_held_of_a_long_recording_than_of_a_short_one() -> None:
    """A block is 32 s with a call of a second in it; the fourth minute and the fortieth hold as much."""
    seconds = BLOCK / RATE
    held = []

    def recording() -> Iterator[Heard]:
        for i in range(80):
            at = i * seconds
            call = Stretch(at + 10, at + 10.4, at + 11.4, at + 11.8)
            yield Heard(i * BLOCK, np.zeros(BLOCK, np.float32), (call,), at + seconds - 0.4)
            held.append(tracemalloc.get_traced_memory()[0])

    tracemalloc.start()
    try:
        assert sum(1 for _ in cut(recording())) == 80
    finally:
        tracemalloc.stop()
    assert held[-1] - held[7] < BLOCK
