from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.analyze import analyze
from pipeline.model import Piece, Source, Transcript, Word
from pipeline.second_look import find_holes, look_twice
from pipeline.transcripts import sound
from pipeline.transcripts.recognition.again import look_again
from pipeline.transcripts.recognition.audio import open_recording
from pipeline.transcripts.recognition.recognize import recognize
from pipeline.transcripts.recognition.speech import Stretch
from pipeline.transcripts.recognition.windows import Window
from pipeline.transcripts.sound import SoundOptions, second_look, transcribe
from tests.sound.making import RATE, read_sound, silence, write_wave


def without(transcript: Transcript, index: int) -> Transcript:
    """The transcript as if a recogniser had dropped a word."""
    words = transcript.words[:index] + transcript.words[index + 1 :]
    return replace(transcript, words=words, pieces=(Piece(0, len(words), 0.0, transcript.source.duration),))


def texts(transcript: Transcript) -> list[str]:
    return [word.text.lower().strip(".,!") for word in transcript.words]


def test_a_call_that_was_dropped_is_heard_at_the_second_look(squats: Path, options: SoundOptions) -> None:
    whole = transcribe(squats, options)
    at = texts(whole).index("seven")
    hole = (whole.words[at - 1].end, whole.words[at + 1].start)
    five_again = replace(whole.words[at - 1], text="Five.")
    dropped = without(replace(whole, words=(*whole.words[: at - 1], five_again, *whole.words[at:])), at)
    again = second_look(squats, dropped, [hole], options)
    assert "seven" not in texts(dropped)
    assert "seven" in texts(again)
    found = again.words[texts(again).index("seven")]
    assert abs(found.start - whole.words[at].start) < 0.5


def test_a_call_that_was_not_made_is_not_invented(squats: Path, options: SoundOptions, tmp_path: Path) -> None:
    whole = transcribe(squats, options)
    at = texts(whole).index("three")
    begin, end = whole.words[at].start - 0.3, whole.words[at].end + 0.3
    heard = read_sound(squats)
    heard[round(begin * RATE) : round(end * RATE)] = 0.0
    quiet = write_wave(tmp_path / "quiet.wav", np.concatenate([heard, silence(1)]))
    dropped = without(whole, at)
    assert second_look(quiet, dropped, [(begin, end)], options).words == dropped.words


def test_words_outside_the_holes_stay_as_they_were(squats: Path, options: SoundOptions) -> None:
    whole = transcribe(squats, options)
    assert second_look(squats, whole, [(8.0, 11.0)], options).words == whole.words
    assert second_look(squats, whole, [], options) is whole


def test_a_call_heard_as_a_word_that_sounds_like_it_is_heard_again(squats: Path, options: SoundOptions) -> None:
    """The coach says "Two, chest up": no number before or after it in an even count is needed, only his voice."""
    whole = transcribe(squats, options)
    at = texts(whole).index("two")
    kept = [word for word in whole.words if word.text.lower().strip(".,!") not in {"three", "five"}]
    misheard = [replace(word, text="To") if word == whole.words[at] else word for word in kept]
    first = replace(whole, words=tuple(misheard), pieces=(Piece(0, len(kept), 0.0, whole.source.duration),))
    again = second_look(squats, first, [], options)
    assert "two" not in texts(first)
    assert texts(again)[at] == "two"
    assert again.words[at].start == whole.words[at].start


def test_a_second_look_is_taken_once(squats: Path, options: SoundOptions, monkeypatch: pytest.MonkeyPatch) -> None:
    """And another for other holes: what was heard around one says nothing of the others."""
    whole = transcribe(squats, options)
    looks: list[int] = []

    def look(*given: Any) -> list[Word]:
        looks.append(1)
        return recognize(*given)

    monkeypatch.setattr(sound, "recognize", look)
    first = second_look(squats, whole, [(8.0, 11.0)], options)
    assert second_look(squats, whole, [(8.0, 11.0)], options) == first
    assert len(looks) == 1
    second_look(squats, whole, [(8.0, 11.0), (14.0, 17.0)], options)
    assert len(looks) == 2


def test_holes_near_each_other_are_heard_as_one(squats: Path) -> None:
    """The squats last 29 s, spoken and silent; each hole is heard with 4 s on both sides."""
    apart = list(look_again(open_recording(squats), [(8.0, 9.0), (22.0, 23.0)]))
    overlapping = list(look_again(open_recording(squats), [(8.0, 11.0), (14.0, 17.0)]))
    for windows in (apart, overlapping):
        stretches = [stretch for window in windows for stretch in _stretches(window)]
        assert all(one.end <= other.start for one, other in pairwise(stretches))
        assert stretches[0].start >= 4.0
    assert all(stretch.end <= 13.0 or stretch.start >= 18.0 for window in apart for stretch in _stretches(window))


def _stretches(window: Window) -> list[Stretch]:
    return [part.stretch for part in window.parts]


def count(*calls: tuple[float, str]) -> Transcript:
    """An announced set of squats, each call a piece of its own."""
    said = [(1.0, "Ten"), (1.4, "squats"), (1.8, "for"), (2.2, "you."), *calls]
    words = tuple(Word(text, time, time + 0.4, probability=0.9) for time, text in said)
    pieces = tuple(Piece(i, i + 1, word.start, word.end) for i, word in enumerate(words))
    return Transcript(Source("class.wav", "media", "word", words[-1].end + 2), words, pieces)


def test_a_number_missing_from_a_close_count_is_a_hole() -> None:
    calls = [(5.0 + 3 * n, f"{word}.") for n, word in enumerate(["One", "Two", "Three", "Four", "Five", "Six"])]
    assert find_holes(analyze(count(*calls))) == []
    del calls[3]
    ((start, end),) = find_holes(analyze(count(*calls)))
    assert start < 5.0 + 3 * 3 < end


def test_a_sparse_count_has_no_holes() -> None:
    calls = [(5.0, "One."), (11.0, "Three."), (17.0, "Five."), (26.0, "Eight."), (32.0, "Ten.")]
    assert find_holes(analyze(count(*calls))) == []


def test_what_the_second_look_finds_leaves_no_hole(squats: Path, options: SoundOptions) -> None:
    whole = transcribe(squats, options)
    dropped = without(whole, texts(whole).index("two"))
    again = look_twice(squats, dropped, options)
    assert len(find_holes(analyze(again))) <= len(find_holes(analyze(dropped)))
    assert again.source == whole.source
