"""From a window of sound to words on the recording's clock, kept to where a voice is heard."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pipeline.model import Word
from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.hear import NEAR_THE_END, hear_on, hear_together, voice_end
from pipeline.transcripts.recognition.options import Reading
from pipeline.transcripts.recognition.windows import Part, Window

MOST_REPETITIVE = 2.4
"""Length of a text over that of its compressed form, above which it loops (faster-whisper's own default)."""

FASTEST_SPEECH = 6.0
"""Words a second. Nobody calls a class faster; a recogniser that invents text over silence writes faster."""

LEAST_WORDS = 12
"""Words. Of fewer, neither repetition nor pace can be told."""

BEYOND_THE_VOICE = 0.35
"""Seconds that a word's middle may lie outside the voice heard, as soft sounds escape the detector."""

HALF_A_LONG_WORD = 0.5
"""Seconds. Before a stretch that it passes over, the recogniser draws a word out; it belongs where it begins."""

GUESSED = 0.05
"""Confidence below which a word near the end of a window is made up ("Thank you for watching")."""


def recognize(model: Any, windows: Sequence[Window], reading: Reading) -> list[Word]:
    """Return the words of some windows with their times in the recording and the recogniser's confidence.

    Where the reading loops or invents, a window is read again without the prompt, and then half by half; where
    it passes over a stretch in which a voice is heard, that stretch is. Nothing is drawn at random, so that the
    same windows always give the same words.
    """
    heard = hear_together(model, windows, reading)
    return [
        word
        for window, words in zip(windows, heard, strict=True)
        for word in _with_stretches_passed_over(model, window, _settle(model, window, words, reading), reading)
    ]


def loops(words: Sequence[Word], seconds: float) -> bool:
    """Tell a text that repeats itself, or is longer than anybody could say in that time."""
    if len(words) < LEAST_WORDS:
        return False
    text = " ".join(word.text for word in words).encode()
    return len(text) > MOST_REPETITIVE * len(zlib.compress(text)) or len(words) > FASTEST_SPEECH * seconds + LEAST_WORDS


def _with_stretches_passed_over(model: Any, window: Window, words: list[Word], reading: Reading) -> list[Word]:
    """Read again, without the prompt, the parts in which a voice is heard and that have no word."""
    unheard = [i for i, part in enumerate(window.parts) if not _words_of(part, words)]
    if not unheard or not reading.prompt:
        return words
    around = _between(window, max(0, unheard[0] - 1), unheard[-1] + 2)
    bare = replace(reading, prompt="")
    again = _settle(model, around, _hear(model, around, bare), bare)
    found = [word for i in unheard for word in _words_of(window.parts[i], again)]
    return sorted(words + found, key=lambda word: word.start)


def _settle(model: Any, window: Window, heard: list[Word], reading: Reading) -> list[Word]:
    """Return what is kept of the words heard in a window, on the recording's clock."""
    kept = _without_tail(_without_loops(model, window, heard, reading), window)
    return [placed for word in kept if (placed := _place(word, window)) is not None]


def _hear(model: Any, window: Window, reading: Reading) -> list[Word]:
    return hear_on(model, window.samples, reading, voice_end(window))


def _without_loops(model: Any, window: Window, words: list[Word], reading: Reading) -> list[Word]:
    if not loops(words, len(window.samples) / RATE):
        return words
    if reading.prompt:
        bare = replace(reading, prompt="")
        return _without_loops(model, window, _hear(model, window, bare), bare)
    if len(window.parts) < 2:
        return []
    middle = len(window.parts) // 2
    begin = window.parts[middle].at
    halves = _between(window, 0, middle), _between(window, middle, len(window.parts))
    first, second = (_without_loops(model, half, _hear(model, half, reading), reading) for half in halves)
    return first + [replace(word, start=word.start + begin, end=word.end + begin) for word in second]


def _between(window: Window, first: int, stop: int) -> Window:
    """Return some parts of a window, from the first up to the stop, as a window of its own."""
    parts = window.parts[first:stop]
    begin = parts[0].at
    end = window.parts[stop].at if stop < len(window.parts) else len(window.samples) / RATE
    samples = window.samples[round(begin * RATE) : round(end * RATE)]
    return Window(samples, tuple(replace(part, at=part.at - begin) for part in parts))


def _words_of(part: Part, words: list[Word]) -> list[Word]:
    return [word for word in words if part.stretch.voice_start <= word.start <= part.stretch.voice_end]


def _without_tail(words: list[Word], window: Window) -> list[Word]:
    """Leave out what is made up after the last word: the recogniser is given only silence after a window."""
    end = voice_end(window)
    for i, word in enumerate(words):
        guessed = (word.probability or 0.0) < GUESSED and word.start >= end - NEAR_THE_END
        if guessed or word.start >= end:
            return words[:i]
    return words


def _place(word: Word, window: Window) -> Word | None:
    """Put a word on the recording's clock, inside the voice nearest to it; ``None`` where none is near."""
    middle = min((word.start + word.end) / 2, word.start + HALF_A_LONG_WORD)
    away, part = min(((_distance(part, middle), part) for part in window.parts), key=lambda pair: pair[0])
    if away > BEYOND_THE_VOICE:
        return None
    voice, shift = part.stretch, part.stretch.start - part.at
    start = min(max(word.start + shift, voice.voice_start), voice.voice_end)
    end = max(start, min(word.end + shift, voice.voice_end))
    return replace(word, start=round(start, 3), end=round(end, 3))


def _distance(part: Part, seconds: float) -> float:
    begin, end = part.voice
    return max(begin - seconds, seconds - end, 0.0)
