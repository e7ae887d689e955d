"""From a window of sound to words on the recording's clock, kept to where a voice is heard."""

from __future__ import annotations

import zlib
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pipeline.model import Word
from pipeline.transcripts.recognition.audio import RATE
from pipeline.transcripts.recognition.options import Reading
from pipeline.transcripts.recognition.windows import Part, Window

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

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

NEAR_THE_END = 0.3
"""Seconds before the voice of a window ends."""


def recognize(model: Any, window: Window, reading: Reading) -> list[Word]:
    """Return the words of a window with their times in the recording and the recogniser's confidence.

    Where the reading loops or invents, the window is read again without the prompt, and then half by half; where
    it passes over a stretch in which a voice is heard, that stretch is. Nothing is drawn at random, so that the
    same sound always gives the same words.
    """
    words = _read(model, window, reading)
    unheard = [i for i, part in enumerate(window.parts) if not _words_of(part, words)]
    if not unheard or not reading.prompt:
        return words
    around = _between(window, max(0, unheard[0] - 1), unheard[-1] + 2)
    again = _read(model, around, replace(reading, prompt=""))
    found = [word for i in unheard for word in _words_of(window.parts[i], again)]
    return sorted(words + found, key=lambda word: word.start)


def transcribe_samples(model: Any, samples: NDArray[np.float32], reading: Reading) -> list[Word]:
    """Return the words of some sound, their times from its start."""
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
    for heard in (word for segment in segments for word in segment.words or ()):
        text = heard.word.strip()
        if text.startswith("-") and words:
            # The recogniser writes "push -up".
            words[-1] = replace(words[-1], text=words[-1].text + text, end=float(heard.end))
        elif text:
            chance = round(float(heard.probability), 3)
            words.append(Word(text, float(heard.start), float(heard.end), probability=chance))
    return words


def loops(words: Sequence[Word], seconds: float) -> bool:
    """Tell a text that repeats itself, or is longer than anybody could say in that time."""
    if len(words) < LEAST_WORDS:
        return False
    text = " ".join(word.text for word in words).encode()
    return len(text) > MOST_REPETITIVE * len(zlib.compress(text)) or len(words) > FASTEST_SPEECH * seconds + LEAST_WORDS


def _read(model: Any, window: Window, reading: Reading) -> list[Word]:
    """Return the words of one reading of a window, on the recording's clock."""
    heard = _without_tail(_hear(model, window, reading), window)
    return [placed for word in heard if (placed := _place(word, window)) is not None]


def _hear(model: Any, window: Window, reading: Reading) -> list[Word]:
    words = transcribe_samples(model, window.samples, reading)
    if not loops(words, len(window.samples) / RATE):
        return words
    if reading.prompt:
        return _hear(model, window, replace(reading, prompt=""))
    if len(window.parts) < 2:
        return []
    middle = len(window.parts) // 2
    begin = window.parts[middle].at
    first = _hear(model, _between(window, 0, middle), reading)
    second = _hear(model, _between(window, middle, len(window.parts)), reading)
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
    _, voice_end = _voice(window.parts[-1])
    for i, word in enumerate(words):
        guessed = (word.probability or 0.0) < GUESSED and word.start >= voice_end - NEAR_THE_END
        if guessed or word.start >= voice_end:
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


def _voice(part: Part) -> tuple[float, float]:
    """Return from when to when a part's voice is heard in its window."""
    shift = part.at - part.stretch.start
    return part.stretch.voice_start + shift, part.stretch.voice_end + shift


def _distance(part: Part, seconds: float) -> float:
    begin, end = _voice(part)
    return max(begin - seconds, seconds - end, 0.0)
