"""Captions that stay until the next one: words are said as one appears, and the rest of its time is a pause."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pipeline.analyze import analyze
from pipeline.model import Transcript
from tests.transcripts.reading import read_text, timed

SAID = [
    (0.0, "Right, goblet squats, six of them."),
    (6.0, "Three, two, one, go."),
    (10.0, "One."),
    (13.0, "Two."),
    (16.0, "Three."),
    (19.0, "Four."),
    (22.0, "Five."),
    (25.0, "Six."),
    (28.0, "And rest, shake it out."),
    (60.0, "Push-ups next, knees down if you like."),
    (70.0, "Off we go."),
]


def lingering(said: list[tuple[float, str]]) -> Transcript:
    rows = [f"{start}|{text}" for start, text in said]
    return read_text("\n".join(["start|text", *rows]))


def test_the_last_words_before_a_rest_do_not_last_through_it() -> None:
    rest = next(word for word in lingering(SAID).words if word.text == "out.")
    assert 28.0 < rest.end < 32.0


def test_words_still_start_with_their_caption() -> None:
    times = dict(timed(lingering(SAID)))
    assert [times[text] for text in ("Right,", "One.", "Six.", "Push-ups")] == [0.0, 10.0, 25.0, 60.0]


def test_a_caption_is_kept_as_long_as_it_was_shown() -> None:
    transcript = lingering(SAID)
    assert [(a.end, b.start) for a, b in pairwise(transcript.pieces)] == [(s, s) for s, _ in SAID[1:]]


def test_captions_that_end_with_their_words_fill_their_time() -> None:
    rows = [f"{start}|{start + 2}|{text}" for start, text in SAID]
    words = read_text("\n".join(["start|end|text", *rows])).words
    assert next(word for word in words if word.text == "One.").end == 12.0


def test_where_captions_hold_several_numbers_the_count_tells_where_they_fall() -> None:
    counts = ["and one two", "three four", "five six seven", "eight nine", "ten eleven twelve and rest"]
    talk = ["squats now", "twelve of them", "feet wide", "here we go", "good", "shake it out"]
    texts = [*talk[:4], *counts, *talk[4:]]
    starts = [0.0, 4.0, 8.0, 12.0, 16.0, 22.0, 26.0, 32.0, 36.0, 44.0, 50.0]
    transcript = lingering(list(zip(starts, texts, strict=True)))
    numbers = "one two three four five six seven eight nine ten eleven".split()
    times = dict(timed(transcript))
    steps = [times[b] - times[a] for a, b in pairwise(numbers)]
    assert min(steps) > 1.2
    assert max(steps) < 3.0


@pytest.mark.parametrize("marks", [".", ""], ids=["with marks", "without"])
def test_a_set_is_found_as_in_captions_that_end_with_their_words(marks: str) -> None:
    (one,) = [s for s in analyze(lingering([(t, text.replace(".", marks)) for t, text in SAID])).sets if s.target == 6]
    assert (one.performed, one.exercise) == (6, "goblet-squat")
    assert one.end < 33.0


def test_of_few_captions_nothing_can_be_told() -> None:
    assert lingering(SAID[2:5]).words[1].end == 16.0
