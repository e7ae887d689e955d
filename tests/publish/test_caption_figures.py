"""Counts are written as figures in captions, as they were said; what only talks stays in words."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from text_to_num import text2num

from pipeline.model import Number, Piece, Record, Role, Word
from pipeline.publish.caption_figures import figures, whole_number
from pipeline.publish.caption_words import Rewriting, rewrite
from tests.publish.example import example_record


def class_saying(text: str, *numbers: tuple[str, Role]) -> Record:
    """A class of some words, of which those given are numbers, each of a role."""
    words = tuple(Word(word, float(i), i + 0.8) for i, word in enumerate(text.split()))
    found = []
    for said, role in numbers:
        parts = said.split()
        first = next(i for i in range(len(words)) if [w.text for w in words[i : i + len(parts)]] == parts)
        found.append(Number(float(first), said, None, role, None, None, 0.9, (first, first + len(parts))))
    return replace(
        example_record(), words=words, pieces=(Piece(0, len(words), 0, len(words)),), numbers=tuple(found),
        chapters=(), sets=(), findings=(), cues=(),
    )  # fmt: skip


def shown(record: Record) -> str:
    return " ".join(word.text for word in rewrite(record, figures(record)).words)


@pytest.mark.parametrize(
    ("said", "numbers", "expected"),
    [
        ("And that's twelve.", [("twelve.", "rep")], "And that's 12."),
        ("Twenty one, twenty two.", [("Twenty one,", "rep"), ("twenty two.", "rep")], "21, 22."),
        ("twenty-one more", [("twenty-one", "left")], "21 more"),
        ("up three-one-one please", [("three-one-one", "tempo")], "up 3-1-1 please"),
        ("three one one please", [("three one one", "tempo")], "3 1 1 please"),
        ("a hundred and five", [("a hundred and five", "target")], "105"),
        ("(four)", [("(four)", "countin")], "(4)"),
        ("12 of them", [("12", "target")], "12 of them"),
        ("halfway there", [("halfway", "half")], "halfway there"),
        ("one of my favourites", [("one", "other")], "one of my favourites"),
        ("the last one", [("last", "left")], "the last one"),
        ("a dozen", [("dozen", "target")], "a dozen"),
        ("eight, last one", [("eight,", "rep"), ("one", "left")], "8, last one"),
        ("the last. One", [("One", "rep")], "the last. 1"),
        ("two thin plates", [("two", "other")], "two thin plates"),
        ("take thirty seconds", [("thirty", "other")], "take 30 seconds"),
        ("two moves back to back", [("two", "other")], "2 moves back to back"),
        ("block two is longer", [("two", "other")], "block 2 is longer"),
        ("twelve can wait", [("twelve", "other")], "12 can wait"),
        ("give me a hundred percent", [("hundred", "other")], "give me a hundred percent"),
        ("Six- no, seven.", [("Six-", "other"), ("seven.", "rep")], "6- no, 7."),
        ("five i mean six", [("five", "other"), ("six", "rep")], "5 i mean 6"),
        ("no six of them", [("six", "other")], "no six of them"),
    ],
)
def test_a_count_is_a_figure(said: str, numbers: list[tuple[str, Role]], expected: str) -> None:
    assert shown(class_saying(said, *numbers)) == expected


def test_a_slip_of_the_presenter_stays_as_spoken() -> None:
    """Captions are verbatim: "seven" for the sixth rep is 7; the audit says that it is a slip."""
    record = class_saying("five and seven", ("five", "rep"), ("seven", "rep"))
    sixth = replace(record.numbers[1], n=6)
    assert shown(replace(record, numbers=(record.numbers[0], sixth))) == "5 and 7"


def test_two_counts_beside_each_other_stay_two() -> None:
    record = class_saying("twenty two one", ("twenty", "rep"), ("two", "countin"), ("one", "countin"))
    assert shown(record) == "20 2 1"


SPOKEN = [
    "zero", "seven", "thirteen", "forty", "forty-two", "ninety nine", "a hundred", "three hundred",
    "two hundred and six", "one hundred twelve", "nine hundred and ninety nine",
]  # fmt: skip


@pytest.mark.parametrize("text", SPOKEN)
def test_a_spoken_number_has_the_value_that_another_library_gives_it(text: str) -> None:
    assert whole_number(text) == text2num(text.replace("a hundred", "one hundred"), "en")


@pytest.mark.parametrize("text", ["", "squat", "one two", "twenty twelve", "hundred hundred", "12"])
def test_what_is_no_spoken_number_has_no_value(text: str) -> None:
    assert whole_number(text) is None


@given(st.data())
def test_a_rewriting_moves_everything_that_points_into_the_words(data: st.DataObject) -> None:
    words = tuple(Word(f"w{i}", float(i), i + 0.5) for i in range(data.draw(st.integers(1, 20))))
    ends = data.draw(st.lists(st.integers(0, len(words)), max_size=8, unique=True).map(sorted))
    ranges = list(zip(ends[::2], ends[1::2], strict=False))
    pieces = tuple(Piece(i, i + 1, float(i), i + 0.5) for i in range(len(words)))
    record = replace(
        example_record(), words=words, pieces=pieces, numbers=(), chapters=(), sets=(), findings=(), cues=()
    )
    made = rewrite(record, [Rewriting(one, "X") for one in ranges])
    assert [word.text for word in made.words].count("X") == len(ranges)
    assert len(made.words) == len(words) - sum(stop - first - 1 for first, stop in ranges)
    for i, piece in enumerate(made.pieces):
        inside = next((one for one in ranges if one[0] <= i < one[1]), None)
        assert made.words[piece.first].text == ("X" if inside else f"w{i}")
    for (first, stop), word in zip(ranges, [w for w in made.words if w.text == "X"], strict=True):
        assert (word.start, word.end) == (float(first), stop - 1 + 0.5)
