"""Sides: which side works in a set, and that most sets have none."""

from __future__ import annotations

from pipeline.counting.side_words import Limb, SideSet
from pipeline.counting.sides import decide_sides
from pipeline.model import Side
from tests.building import heard


def sides(
    *lines: str,
    exercises: str = "",
    sided: str = "",
    one_legged: bool = False,
    side_lying: bool = False,
    limb: Limb = "",
) -> list[Side | None]:
    """Decide the sides of sets written as "talk before | set"; ``exercises`` has a letter a set (else all one)."""
    text, sets, at = [], [], 0
    for k, line in enumerate(lines):
        before, during = (part.strip() for part in line.split("|"))
        gap = (at, at + bool(before))
        span = (gap[1], gap[1] + 1)
        text += [words for words in (before, during) if words]
        at = span[1]
        letter = exercises[k] if exercises else "A"
        sets.append(SideSet(span, gap, letter, ord(letter), sided, one_legged, side_lying, limb))
    mentions = heard("\n".join(f"{8 * k}.0 {words}" for k, words in enumerate(text)))
    assert len(mentions.utterances) == len(text)
    return decide_sides(mentions, sets)


def test_a_set_on_a_side_and_one_after_the_swap() -> None:
    assert sides("Right arm first. | One, two.", "Swap sides. | One, two.") == ["right", "left"]


def test_sides_that_are_named_each_time() -> None:
    assert sides("On the left side. | One, two.", "And on the right side. | One, two.") == ["left", "right"]


def test_a_set_for_both_has_no_side() -> None:
    assert sides("Feet hip-width apart. | One, two.", "Again. | One, two.") == [None, None]


def test_naming_both_sides_while_it_goes_on_is_alternating() -> None:
    assert sides("Alternate. | Right, one, left, two, right, three.", sided="alternating") == [None]


def test_a_side_named_by_mistake_and_put_right() -> None:
    assert sides("Left leg, no, sorry, right leg first. | One.", "Other side. | One.") == ["right", "left"]


def test_the_side_that_only_stands_is_not_the_one_that_works() -> None:
    assert sides("Right foot planted, left leg works first. | One.", "Other leg. | One.") == ["left", "right"]


def test_on_one_leg_the_leg_that_stands_is_the_one_that_works() -> None:
    lines = ("Left foot down, right leg floats. | One.", "Other leg. | One.")
    assert sides(*lines, sided="yes", one_legged=True, limb="leg") == ["left", "right"]
    assert sides(*lines, sided="yes", limb="leg") == ["right", "left"]


def test_lying_on_a_side_it_is_the_upper_one_that_works() -> None:
    lines = ("Roll onto your right side. | One.", "Right side down, no, sorry, left side down, roll over. | One.")
    assert sides(*lines, sided="yes", side_lying=True) == ["left", "right"]


def test_a_later_round_keeps_the_order_of_the_first() -> None:
    found = sides(
        "Left arm first. | One.", "Right arm now. | One.", "Squats. | One.", "Same again, left arm. | One.",
        "Swap. | One.", exercises="AABAA",
    )  # fmt: skip
    assert found == ["left", "right", None, "left", "right"]


def test_no_sets_have_no_sides() -> None:
    assert decide_sides(heard("0.0 Welcome."), []) == []


def test_in_a_lunge_the_leg_in_front_works_and_a_hand_says_little() -> None:
    lines = ("Dumbbell in the right hand, left foot forward. | One.", "Swap legs, right foot in front. | One.")
    assert sides(*lines, sided="yes", one_legged=True, limb="leg") == ["left", "right"]
