"""Numbers that a voice read out digit by digit."""

from __future__ import annotations

import pytest

from pipeline.model import Word
from pipeline.transcripts.recognition.digits import put_together
from tests.bench.corpus import CLASSES, bench_module


def words(*said: tuple[float, str]) -> list[Word]:
    """Words of a fifth of a second each, at these seconds."""
    return [Word(text, time, time + 0.2, probability=0.9) for time, text in said]


def read(*said: tuple[float, str]) -> list[str]:
    return [word.text for word in put_together(words(*said))[0]]


def test_a_countdown_read_digit_by_digit_is_a_countdown() -> None:
    said = [(14.8, "Two,"), (15.1, "zero,"), (15.7, "one,"), (15.9, "nine,"), (16.3, "eighteen.")]
    assert read(*said) == ["20,", "19,", "eighteen."]


def test_a_count_up_may_lack_a_number() -> None:
    assert read((95.7, "One,"), (96, "three,"), (96.2, "one,"), (96.5, "five,"), (97, "sixteen.")) == [
        "13,",
        "15,",
        "sixteen.",
    ]


def test_digits_in_figures_are_digits() -> None:
    assert read((10, "1"), (10.3, "9,"), (11, "20.")) == ["19,", "20."]


def test_a_number_put_together_lasts_from_its_first_digit_to_its_last_and_is_as_sure_as_the_doubtful_one() -> None:
    digits = [Word("one,", 10, 10.2, probability=0.9), Word("nine,", 10.3, 10.6, probability=0.4)]
    (number, _), corrections = put_together([*digits, Word("twenty.", 11, 11.3, probability=0.9)])
    assert number == Word("19,", 10, 10.6, probability=0.4)
    assert [(one.time, one.heard, one.written) for one in corrections] == [(10, "one, nine,", "19,")]


@pytest.mark.parametrize(
    "said",
    [
        # Reps called one by one.
        [(10, "One,"), (10.5, "two,"), (11, "three,"), (11.5, "four.")],
        # Beats of a tempo, which count no further.
        [(10, "One,"), (10.4, "two,"), (10.8, "one,"), (11.2, "two.")],
        # A rep a second is no number of two digits.
        [(10, "One,"), (11, "nine,"), (12, "twenty.")],
        # Another sentence has begun.
        [(10, "One,"), (10.3, "nine."), (11, "Twenty.")],
        # The rep and its seconds: ten is not what comes after twelve.
        [(10, "One,"), (10.3, "two,"), (11, "ten.")],
        # Nothing above nine is called in one word.
        [(10, "One,"), (10.3, "three,"), (10.6, "one,"), (10.9, "four.")],
        # Words lie between them.
        [(10, "One"), (10.3, "of"), (10.5, "nine,"), (11, "twenty.")],
    ],
)
def test_what_may_be_called_one_by_one_stays_so(said: list[tuple[float, str]]) -> None:
    assert read(*said) == [text for _, text in said]


def test_numbers_are_left_alone_in_every_annotated_class() -> None:
    compiler = bench_module("compile")
    for script in sorted(CLASSES.glob("*.class.txt")):
        for line in compiler.parse(script).lines:
            said = [Word(one["text"], one["start"], one["end"]) for one in line.words]
            assert put_together(said)[1] == []
