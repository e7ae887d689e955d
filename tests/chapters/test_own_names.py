"""Names that a class has for itself: said to be names, come back to in short, or listed in other words."""

from __future__ import annotations

import pytest

from pipeline.analyze import listener
from tests.mentions.test_chapter_names import name

STOMPERS = ("Now my favourite.", "We call it puddle stompers.", "Lift the boots out of the mud, feet wide.")


def names(*chapters: tuple[str, ...]) -> list[str]:
    return [one.name for one in name(listener(None), *chapters)]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("We call it puddle stompers.", "Puddle stomper"),
        ("This is called the penguin.", "Penguin"),
        ("Some people call it a drawbridge.", "Drawbridge"),
    ],
)
def test_what_the_presenter_calls_it_is_its_name(said: str, expected: str) -> None:
    assert names(("Feet wide, knees bent.", said, "Lift the weights out to the side."))[0] == expected


def test_that_someone_calls_names_no_exercise() -> None:
    """A call, a name that is no exercise's, and plain speech."""
    found = names(("Goblet squats, ten of them.", "I call the reps, we call it a day after this."))
    assert found == ["Goblet squat"]


def test_a_name_of_the_class_is_come_back_to_in_short() -> None:
    found = names(
        STOMPERS, ("Next up, goblet squats.",), ("Feet wide for the stompers.", "Lift the boots out of the mud again.")
    )
    assert found == ["Puddle stomper", "Goblet squat", "Puddle stomper"]


def test_a_listed_name_said_with_its_words_in_another_order_is_known() -> None:
    (naming,) = name(listener(None), ("On your back, feet flat.", "It's a cushion squeeze bridge.", "Hips up."))
    assert naming.exercise == "bridge-with-squeeze"


def test_part_of_a_listed_name_that_it_is_called_by_is_enough() -> None:
    (naming,) = name(
        listener(None),
        ("Soles of the feet together, knees falling out like an open book.", "We call it the butterfly, both hips."),
    )
    assert naming.exercise == "butterfly-stretch"


def test_a_name_that_is_announced_beats_what_loose_words_and_instructions_tell() -> None:
    found = names(
        (
            "Here's the perch raise. Both arms out wide.",
            "Right lowers and lifts, so right goes first.",
            "Eight on the arm that's moving, thumb a touch higher than the little finger.",
        )
    )
    assert found == ["Perch raise"]


def test_two_words_announced_in_the_plural_are_a_name_whatever_is_told_of_it() -> None:
    found = names(
        ("on your tummy now for the towel snatchers", "so the band's long in front of you", "pull the band apart"),
    )
    assert found == ["Towel snatcher"]
