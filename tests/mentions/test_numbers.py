"""Numbers as they are said: words, figures, ordinals, halves, sound-alikes. What they mean is decided elsewhere."""

from __future__ import annotations

import pytest

from pipeline.mentions.numbers import NumberMention, find_numbers, times_like, word_value


def numbers(text: str, edges: frozenset[int] = frozenset()) -> list[NumberMention]:
    words = text.split()
    return find_numbers(words, [(float(k), k + 1.0) for k in range(len(words))], edges)


def values(text: str) -> list[float]:
    return [one.value for one in numbers(text)]


def forms(text: str) -> list[tuple[str, str]]:
    return [(one.text, one.form) for one in numbers(text)]


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("zero", 0), ("twelve", 12), ("twenty", 20), ("twenty-five", 25), ("ninety nine", 99), ("hundred", 100),
        ("two hundred and five", 205), ("three hundred twenty-one", 321),
    ],
)  # fmt: skip
def test_spelled_out_numbers_have_their_value(text: str, value: int) -> None:
    assert word_value(text) == value


@pytest.mark.parametrize("text", ["", "and", "squat", "two three", "twenty twelve", "five and six", "twenty thirty"])
def test_other_words_are_no_one_number(text: str) -> None:
    assert word_value(text) is None


def test_words_and_figures_say_the_same() -> None:
    assert values("let's have twelve, then 12 more") == [12, 12]


def test_a_number_of_two_words_is_one_number() -> None:
    (one,) = numbers("hold for forty five seconds")
    assert (one.value, one.words, one.text) == (45, (2, 4), "forty five")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("hold for a hundred and twenty seconds", 120),
        ("a hundred twenty today", 120),
        ("that makes one hundred and five", 105),
        ("one hundred five in all", 105),
        ("two hundred skips", 200),
        ("a hundred and twenty-five reps", 125),
        ("a hundred and twenty five reps", 125),
        ("a hundred please", 100),
    ],
)
def test_a_number_with_a_hundred_in_it_is_one_number(text: str, value: int) -> None:
    assert values(text) == [value]


@pytest.mark.parametrize(
    ("text", "each"),
    [
        ("a hundred. Twenty to rest", [100, 20]),
        ("a hundred, twenty a side", [100, 20]),
        ("a hundred one two three", [100, 1, 2, 3]),
        ("a hundred and one more", [100, 1]),
        ("a hundred and then ten", [100, 10]),
        ("ninety nine one hundred one two", [99, 100, 1, 2]),
        ("one, hundred", [1, 100]),
    ],
)
def test_what_is_no_rest_of_a_hundred_stays_apart(text: str, each: list[int]) -> None:
    assert values(text) == each


def test_called_numbers_that_follow_each_other_stay_apart() -> None:
    assert values("nineteen, twenty, one, two") == [19, 20, 1, 2]
    assert values("Nineteen twenty one") == [19, 20, 1]
    assert times_like(["nineteen", "twenty", "one"], 1)


def test_a_number_is_not_put_together_over_the_end_of_an_utterance() -> None:
    words = "that's twenty one more round".split()
    times = [(float(k), k + 1.0) for k in range(len(words))]
    assert [n.value for n in find_numbers(words, times, frozenset({2}))] == [20, 1]


def test_figures_keep_the_unit_glued_to_them_out_of_their_value() -> None:
    assert values("an 8kg bell, a 2.5kg plate, 30s on, 12x") == [8, 2.5, 30, 12]


def test_a_tempo_in_one_word_is_each_of_its_beats() -> None:
    found = numbers("tempo 3-1-1 please")
    assert [one.value for one in found] == [3, 1, 1]
    assert [one.time for one in found] == pytest.approx([1.0, 4 / 3, 5 / 3])


def test_ordinals_are_not_counts() -> None:
    assert forms("the first, our 2nd, a third round") == [
        ("first,", "ordinal"),
        ("2nd,", "ordinal"),
        ("third", "ordinal"),
    ]


def test_halves_say_where_not_how_many() -> None:
    assert forms("Halfway there, half way, midway") == [("Halfway", "half"), ("half way,", "half"), ("midway", "half")]


def test_last_one_and_one_more_are_what_is_left() -> None:
    assert forms("and last one") == [("last one", "last")]
    assert forms("one more for luck") == [("one", "more")]


def test_last_and_one_of_two_sentences_are_not_last_one() -> None:
    assert forms("that was the last. One, two") == [("One,", "word"), ("two", "word")]


def test_both_and_twice_are_quantities() -> None:
    assert [(one.value, one.form) for one in numbers("both feet, twice round, a couple")] == [
        (2, "quantity"), (2, "quantity"), (2, "quantity"),
    ]  # fmt: skip


@pytest.mark.parametrize(("text", "value"), [("that's ate", 8), ("and won", 1), ("sicks", 6), ("tin", 10), ("tan", 10)])
def test_a_word_that_sounds_like_a_number_may_be_one(text: str, value: int) -> None:
    (one,) = numbers(text)
    assert (one.value, one.form) == (value, "soundalike")


def test_to_and_for_are_numbers_only_where_one_could_stand() -> None:
    assert forms("one to three four") == [("one", "word"), ("to", "soundalike"), ("three", "word"), ("four", "word")]
    assert forms("reach up to the sky for me now") == []


def test_punctuation_and_capitals_change_nothing() -> None:
    assert values("FIVE! six… (seven)") == values("five six seven") == [5, 6, 7]


def test_words_without_a_number_have_none() -> None:
    assert numbers("sit down between your hips and drive up") == []
    assert numbers("") == []
