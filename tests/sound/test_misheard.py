"""Calls that a recogniser wrote as words that sound like them."""

from __future__ import annotations

import pytest

from pipeline.model import Word
from pipeline.transcripts.recognition.corrections import note
from pipeline.transcripts.recognition.misheard import doubtful, hear_numbers, put_right
from tests.bench.corpus import CLASSES, bench_module


def words(*said: tuple[float, str]) -> list[Word]:
    """Words of half a second each, at these seconds."""
    return [Word(text, time, time + 0.5) for time, text in said]


def heard(*said: tuple[float, str]) -> list[str]:
    return [word.text for word in put_right(words(*said))[0]]


def test_between_one_and_three_comes_two() -> None:
    assert heard((10, "One,"), (13, "Do,"), (16, "three.")) == ["One,", "Two,", "three."]


def test_before_the_last_one_comes_two() -> None:
    assert heard((10, "Three"), (10.5, "more."), (14, "do."), (17, "Last"), (17.5, "one."))[2] == "two."


def test_and_may_lead_in_to_a_call() -> None:
    assert heard((10, "Three."), (12.6, "And"), (13.1, "for."), (16, "Five."))[2] == "four."


def test_a_count_down_leaves_one_number_too() -> None:
    assert heard((10, "Seven."), (13, "See."), (16, "Five.")) == ["Seven.", "Six.", "Five."]


def test_a_sparse_count_tells_too_when_a_number_is_due() -> None:
    assert heard((10, "Four."), (20, "See,"), (20.5, "lovely."), (25, "Seven."))[1] == "Six,"


def test_two_calls_after_it_are_enough_where_the_first_was_not_called() -> None:
    assert heard((10, "Curl."), (13, "Do,"), (13.5, "lovely."), (20.2, "Five,"), (22.3, "six."))[1] == "Two,"


def test_two_misheard_calls_bear_each_other_out_with_a_third() -> None:
    said = [(10, "Do,"), (10.5, "steady."), (12.4, "Free,"), (13, "not"), (13.5, "a"), (14, "sound."), (19.5, "Six.")]
    assert heard(*said)[0::2] == ["Two,", "Three,", "a", "Six."]


def test_a_run_in_one_breath_tells_whatever_else_is_called_near() -> None:
    seconds = [(10, "Three"), (10.5, "halfway."), (12, "Free,"), (12.4, "two,"), (12.9, "one,"), (14, "four.")]
    assert heard(*seconds)[2:5] == ["Three,", "two,", "one,"]


def test_within_a_run_no_comma_is_needed() -> None:
    assert heard((10, "One,"), (10.4, "do"), (10.8, "three."), (13, "Pause."))[:3] == ["One,", "two", "three."]


def test_a_call_may_begin_a_sentence_that_goes_on() -> None:
    said = [(10, "One."), (16, "Do"), (16.5, "strong"), (17, "shoulders."), (22, "Three.")]
    assert heard(*said)[1:3] == ["Two", "strong"]


@pytest.mark.parametrize(
    "said",
    [
        # Part of a sentence.
        [(10, "One."), (13, "Do"), (13.5, "keep"), (14, "tall."), (16, "Three.")],
        # An order that goes on after the number.
        [(10, "One,"), (10.4, "do"), (10.8, "three"), (11.2, "more.")],
        # Six is called itself.
        [(10, "Five."), (11, "See,"), (11.5, "it's"), (12, "easier."), (13, "Six."), (16, "Seven.")],
        # Its neighbours are not called.
        [(10, "Eight."), (13, "Do."), (16, "Ten.")],
        # A word that opens a sentence, and one neighbour alone.
        [(10, "Five."), (13, "See,"), (16, "nice"), (16.5, "work.")],
        # Out of the pace of the count.
        [(10, "Five."), (11, "See,"), (14, "Seven.")],
        # A sentence goes on, and begins as many do.
        [(10, "One."), (16, "To"), (16.5, "finish"), (17, "well."), (22, "Three.")],
        [(10, "Five."), (16, "See"), (16.5, "how"), (17, "strong."), (22, "Seven.")],
        # It tells for how many.
        [(10, "Three,"), (13, "for"), (13.4, "eight."), (16, "Five.")],
        # "Too" ends a sentence.
        [(10, "One."), (12.6, "Fingers,"), (13, "too."), (16, "Three.")],
        # Two calls on one side have another number due.
        [(10, "Do"), (10.5, "lovely."), (20, "Five,"), (22, "six.")],
        # The neighbours belong to sets long before and long after.
        [(10, "One."), (60, "Do."), (120, "Three.")],
    ],
)
def test_what_may_be_no_call_stays_as_it_was_heard(said: list[tuple[float, str]]) -> None:
    assert heard(*said) == [text for _, text in said]


def test_what_was_heard_is_said_in_a_note() -> None:
    _, corrections = put_right(words((70, "One,"), (73, "Do,"), (76, "three.")))
    assert note("Put right", corrections) == ['Put right: "do" to "two" at 1:13.']
    assert note("Put right", []) == []


def test_words_that_are_no_numbers_are_left_alone_in_every_annotated_class() -> None:
    """The scripts tell by their tags which words are numbers, in rough captions too ("three to won")."""
    changed = 0
    for script in sorted(CLASSES.glob("*.class.txt")):
        said = [word for line in bench_module("compile").parse(script).lines for word in line.words]
        nexts = [word["start"] for word in said[1:]] + [said[-1]["start"] + 1]
        spoken = [
            Word(word["text"], word["start"], min(word["start"] + 0.4, later))
            for word, later in zip(said, nexts, strict=True)
        ]
        for was, now, script_word in zip(spoken, put_right(spoken)[0], said, strict=True):
            if was != now:
                changed += 1
                assert script_word.get("role"), f"{script.name} {was.start:.1f}: {was.text}"
    assert changed > 0


def test_what_only_listening_again_can_tell_is_doubtful() -> None:
    said = words((10, "One."), (12, "To"), (12.5, "bend"), (13, "the"), (13.5, "elbows"), (20, "Five."))
    assert put_right(said)[0] == said
    assert doubtful(said) == [(1, 2)]


@pytest.mark.parametrize(
    "said",
    [
        # No count is near.
        [(10, "Welcome."), (12, "To"), (12.5, "begin,"), (13, "breathe.")],
        # The number is called itself.
        [(10, "One."), (12, "To"), (12.5, "bend"), (14, "Two."), (18, "Three.")],
        # Inside a sentence.
        [(10, "One."), (10.6, "Try"), (11.1, "to"), (11.6, "bend."), (20, "Five.")],
    ],
)
def test_what_is_part_of_no_count_is_not_doubtful(said: list[tuple[float, str]]) -> None:
    assert doubtful(words(*said)) == []


def test_a_doubtful_word_becomes_the_number_that_is_heard_in_its_place() -> None:
    said = words((10, "One."), (12, "To"), (12.5, "bend"), (20, "Five."))
    again = [Word("Two,", 12.2, 12.6, probability=0.2), Word("bend", 12.6, 13.0, probability=0.9)]
    found = hear_numbers(said, again)
    assert [word.text for word in found] == ["One.", "Two,", "bend", "Five."]
    assert (found[1].start, found[1].probability) == (12, 0.2)


@pytest.mark.parametrize("again", [[], [Word("To", 12, 12.4)], [Word("Four,", 12, 12.4)], [Word("Two,", 14, 14.4)]])
def test_a_doubtful_word_stays_where_its_number_is_not_heard(again: list[Word]) -> None:
    said = words((10, "One."), (12, "To"), (12.5, "bend"), (20, "Five."))
    assert hear_numbers(said, again) == said
