"""Still sets: seconds of a position held are counted, those of a movement are told off the clock."""

from __future__ import annotations

from dataclasses import replace

import lexicon
from pipeline.counting.draft import Draft
from pipeline.counting.still import moves, still_sets

EXERCISES = lexicon.load().exercises
SAID_TO_HOLD = Draft((2, 8), (0, 2), 10.0, 40.0, 0, (), "seconds", target=30, holding=True, counted_still=True)
NOT_SAID = replace(SAID_TO_HOLD, span=(10, 16), start=50.0, end=80.0, holding=False)


def still(draft: Draft, exercise: str) -> bool:
    return still_sets([draft], [EXERCISES[exercise]])[0]


def test_a_plank_is_held_whatever_is_said() -> None:
    assert still(NOT_SAID, "forearm-plank")


def test_a_squat_is_held_where_somebody_says_so_and_counts_its_seconds() -> None:
    assert still(SAID_TO_HOLD, "squat")
    assert not still(NOT_SAID, "squat")


def test_a_march_with_the_weights_held_is_no_hold() -> None:
    assert not still(SAID_TO_HOLD, "farmer-march")
    assert moves(SAID_TO_HOLD, EXERCISES["farmer-march"])


def test_pulses_are_no_hold() -> None:
    assert not still(replace(SAID_TO_HOLD, range="pulse"), "squat")


def test_a_balance_that_is_usually_counted_is_held_where_its_seconds_are() -> None:
    assert still(NOT_SAID, "bird-dog")
    assert not still(replace(NOT_SAID, counted_still=False), "bird-dog")
    assert still(replace(NOT_SAID, counted_still=False), "single-leg-balance")


def test_the_other_side_of_a_hold_is_the_same_hold() -> None:
    twist = EXERCISES["spine-twist"]
    assert still_sets([SAID_TO_HOLD, NOT_SAID], [twist, twist]) == [True, True]
    elsewhere = replace(NOT_SAID, chapter=1)
    assert still_sets([SAID_TO_HOLD, elsewhere], [twist, twist]) == [True, False]
