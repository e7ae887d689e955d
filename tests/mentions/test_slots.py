"""Where a name is bound to stand, and what it sounds like there."""

from __future__ import annotations

from pathlib import Path

import pytest

import lexicon
from pipeline.mentions.name_sounds import name_sounds
from pipeline.mentions.slots import expectation, find_slots
from pipeline.mentions.tokens import tokens_of

SOUNDS = name_sounds(lexicon.load())


@pytest.mark.parametrize(
    ("words", "slot"),
    [
        ("next up, goblet squats", "goblet squats"),
        ("okay, back to the floor press, here we go", "floor press"),
        ("this one's called the harbour swing.", "harbour swing"),
    ],
)
def test_a_name_stands_after_what_announces_it_and_ends_with_the_pause(words: str, slot: str) -> None:
    tokens = tokens_of(words.split())
    spans = [tokens[first:stop] for first, stop in find_slots(tokens, 0, len(tokens))]
    assert slot in {" ".join(token.plain for token in span) for span in spans}


def test_plain_speech_announces_nothing() -> None:
    tokens = tokens_of("have you had a good day and how was your weekend".split())
    assert find_slots(tokens, 0, len(tokens)) == []


@pytest.mark.parametrize(
    ("heard", "exercise"),
    [
        ("mere maid", "side-bend-mermaid"),
        ("tees her", "teaser"),
        ("hip circuses", "hip-circle"),
        ("psych kick", "side-lying-front-kick"),
        ("assisted distal squats", "assisted-pistol-squat"),
    ],
)
def test_the_nearest_name_by_sound_is_the_one_that_was_spoken(heard: str, exercise: str) -> None:
    tokens = tokens_of(f"the {heard}".split())
    nearest = SOUNDS.nearest(tokens, 1, len(tokens))
    assert exercise in {one.exercise for one in nearest[:2]}


def test_a_coachs_own_words_have_to_sound_nearer_than_foreign_ones() -> None:
    """The words of cues are more likely meant as they stand."""
    own, foreign = tokens_of("that's the back fold".split()), tokens_of("that's the goblet squid".split())
    assert SOUNDS.nearest(own, 2, 4, expectation(own, 2)) == []
    assert SOUNDS.nearest(foreign, 2, 4, expectation(foreign, 2))[0].exercise == "goblet-squat"


def test_where_a_name_is_plainly_announced_even_a_coachs_own_words_may_be_one() -> None:
    own = tokens_of("now it's the back fold".split())
    assert SOUNDS.nearest(own, 3, 5, expectation(own, 3))[0].exercise == "rack-hold"


@pytest.mark.parametrize(
    ("said", "exercise"),
    [
        ("next up, tricep, skip back holds, ten", "triceps-kickback-hold"),
        ("next up, oblique crnchs, ten", "oblique-crunch"),
        ("next up, then lift to upright rows, ten", "deadlift-to-upright-row"),
    ],
)
def test_a_comma_a_lost_vowel_and_a_plain_word_hide_no_name(said: str, exercise: str) -> None:
    tokens = tokens_of(said.split())
    places = find_slots(tokens, 0, len(tokens))
    heard = [one for first, stop in places for one in SOUNDS.nearest(tokens, first, stop)]
    assert max(heard, key=lambda one: one.score).exercise == exercise


def test_a_coachs_own_words_are_no_name_because_one_sounds_a_little_like_them() -> None:
    """A round six is no round kick."""
    tokens = tokens_of("take your ten, then it's round six".split())
    places = find_slots(tokens, 0, len(tokens))
    assert [SOUNDS.nearest(tokens, first, stop, expectation(tokens, first)) for first, stop in places] == [
        [] for _ in places
    ]


def test_a_name_of_this_class_is_taken_from_farther_off() -> None:
    tokens = tokens_of("the farm, mercury.".split())

    def score(known: tuple[str, ...]) -> float:
        return next(one.score for one in SOUNDS.nearest(tokens, 1, 2, known=known) if one.exercise == "farmer-carry")

    assert score(("farmer-carry",)) > score(())


def test_a_name_in_another_script_stops_no_other_name_from_being_heard(tmp_path: Path) -> None:
    extra = tmp_path / "own.yaml"
    extra.write_text(
        "- {id: bow, name: Поклон, pattern: hinge, prime_movers: gluteus maximus, equipment: none,"
        " position: standing, sides: no, unit: reps, seconds_low: 2, seconds_high: 4}",
        encoding="utf-8",
    )
    tokens = tokens_of("next up, mere maid".split())
    nearest = name_sounds(lexicon.load(extra)).nearest(tokens, 2, 4)
    assert nearest[0].exercise == "side-bend-mermaid"
