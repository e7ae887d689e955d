"""What the recogniser hears: of one sound, or of several windows together, words with times from its start."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import accumulate, islice, pairwise
from typing import TYPE_CHECKING, Any

from pipeline.model import Word
from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.options import Reading
from pipeline.transcripts.recognition.windows import Window

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

TOGETHER = 4
"""Windows. Heard together they take a quarter less time than one by one, and eight hardly less than four; but
memory grows with them (``tests/bench/SOUND.md``)."""

FRAME = RATE // 100
"""Samples: how finely the recogniser tells time."""

NEAR_THE_END = 0.3
"""Seconds before the voice of a window ends. Last words end within 0.25 s of it (``tests/bench/SOUND.md``)."""


def together(windows: Iterable[Window]) -> Iterator[list[Window]]:
    """Give the windows as many at a time as are heard together; the last may be fewer."""
    left = iter(windows)
    while some := list(islice(left, TOGETHER)):
        yield some


def hear_together(model: Any, windows: Sequence[Window], reading: Reading) -> list[list[Word]]:
    """Return the words of each window; a window that the reading breaks off in is heard on from there."""
    if len(windows) == 1:
        return [hear_on(model, windows[0].samples, reading, voice_end(windows[0]))]
    import numpy as np
    from faster_whisper import BatchedInferencePipeline

    begins = [0, *accumulate(len(window.samples) for window in windows)]
    segments, _ = BatchedInferencePipeline(model).transcribe(
        np.concatenate([window.samples for window in windows]),
        clip_timestamps=[{"start": a / RATE, "end": b / RATE} for a, b in pairwise(begins)],
        batch_size=len(windows),
        language="en",
        word_timestamps=True,
        temperature=0.0,
        beam_size=reading.beam_size,
        initial_prompt=f" {reading.prompt}" if reading.prompt else None,
        without_timestamps=reading.without_timestamps,
    )
    words: list[list[Word]] = [[] for _ in windows]
    for segment in segments:
        # Where a segment's window begins is said in whole frames, rounded down, and its words are timed from there.
        index = bisect_right(begins, (segment.seek + 1) * FRAME) - 1
        _add(words[index], segment.words or (), -segment.seek * FRAME / RATE)
    return [_heard_out(model, window, heard, reading) for window, heard in zip(windows, words, strict=True)]


def hear_on(model: Any, samples: NDArray[np.float32], reading: Reading, until: float) -> list[Word]:
    """Return the words of some sound in which nobody speaks after ``until`` (in seconds).

    The recogniser reads on from its last word to the end of the sound. Where nobody speaks there any more that
    finds nothing, or makes something up, and takes as long as the first reading did: it is not asked to.
    """
    segments, _ = model.transcribe(
        samples,
        language="en",
        word_timestamps=True,
        condition_on_previous_text=False,
        temperature=0.0,
        beam_size=reading.beam_size,
        initial_prompt=reading.prompt or None,
        without_timestamps=reading.without_timestamps,
        no_speech_threshold=reading.no_speech_threshold,
    )
    words: list[Word] = []
    for segment in segments:
        _add(words, segment.words or (), 0.0)
        if words and words[-1].end >= until - NEAR_THE_END:
            break
    return words


def voice_end(window: Window) -> float:
    """Return when the last voice in a window ends, in seconds from the window's start."""
    return window.parts[-1].voice[1]


def _heard_out(model: Any, window: Window, words: list[Word], reading: Reading) -> list[Word]:
    end = voice_end(window)
    if not words or words[-1].end >= end - NEAR_THE_END:
        return words
    begin = words[-1].end
    rest = hear_on(model, window.samples[round(begin * RATE) :], replace(reading, prompt=""), end - begin)
    return words + [replace(word, start=word.start + begin, end=word.end + begin) for word in rest]


def _add(words: list[Word], heard: Iterable[Any], shift: float) -> None:
    for one in heard:
        text = one.word.strip()
        if text.startswith("-") and words:
            # The recogniser writes "push -up".
            words[-1] = replace(words[-1], text=words[-1].text + text, end=float(one.end) + shift)
        elif text:
            chance = round(float(one.probability), 3)
            words.append(Word(text, float(one.start) + shift, float(one.end) + shift, probability=chance))
