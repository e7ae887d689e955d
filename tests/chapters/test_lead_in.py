"""How a name stands in its sentence: what something does, and how one gets somewhere, is no exercise."""

from __future__ import annotations

import pytest

from pipeline.analyze import listener
from pipeline.chapter_names.lead_in import is_action, is_announced, is_plain_talk, lead_in, own_name
from tests.mentions.test_chapter_names import hear, name


def actions(caption: str) -> list[bool]:
    """Tell of each exercise mentioned in a caption whether it is rather an action."""
    mentions = hear(listener(None), caption)
    return [is_action(mentions, one, lead_in(mentions, one)) for one in mentions.exercises]


@pytest.mark.parametrize(
    "caption",
    [
        "Ten. Now push up to the plank.",
        "Now push up into the plank.",
        "Now roll up onto all fours.",
        "Ten more on the floor press them up.",
    ],
)
def test_a_way_into_a_position_is_no_exercise(caption: str) -> None:
    assert actions(caption)[0]


@pytest.mark.parametrize("caption", ["Next, the push-up, to the plank.", "Ten push-ups to the mat.", "Floor splits."])
def test_an_exercise_that_is_announced_is_no_action(caption: str) -> None:
    assert not any(actions(caption))


def test_what_the_bell_does_is_not_what_the_exercise_is_called() -> None:
    (naming,) = name(
        listener(None),
        ("third job is the clean one hand", "it swings back and zips up into the rack", "the kettlebell stays low"),
    )
    assert naming.exercise == "kettlebell-clean"


@pytest.mark.parametrize(
    ("caption", "expected"),
    [("okay harbour squats low and slow", "harbour squat"), ("okay ate squats low and slow", None)],
)
def test_what_sounds_like_a_number_is_no_part_of_a_name(caption: str, expected: str | None) -> None:
    mentions = hear(listener(None), caption)
    (squats,) = mentions.exercises
    assert own_name(mentions, squats, frozenset()) == expected


@pytest.mark.parametrize(
    ("caption", "announced"), [("Here's the perch raise.", True), ("Next up, the sphinxes raise.", False)]
)
def test_a_name_whose_first_word_is_a_plural_is_rather_misheard(caption: str, announced: bool) -> None:
    (one,) = hear(listener(None), caption).exercises
    assert (one.heard, is_announced(one)) == ("announced", announced)


def test_whole_lifts_are_lifts_and_not_a_name_that_sounds_like_it() -> None:
    mentions = hear(listener(None), "Sorry, no, left side first, and twelve whole lifts.")
    assert [is_plain_talk(one) for one in mentions.exercises if one.heard == "sound"] == [True]
