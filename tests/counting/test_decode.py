"""The reading of a class: what is put right once roles and phases are read."""

from __future__ import annotations

import pytest

from pipeline.counting.decode import halves_of_ranges, said_to_remain
from tests.building import reading


def test_half_of_a_movement_is_not_half_of_the_set() -> None:
    one = reading("""
        3.0   begin | {half}Halfway, keep going.
        6.0   work  | Stop {half}halfway up.
        9.0   work  | Top {half}half only.
    """)
    assert halves_of_ranges(one.mentions, one.roles) == ("half", "other", "other")


@pytest.mark.parametrize(
    "words", ["{rep}four left.", "Only {rep}four more!", "{rep}Four to go.", "Last {rep}four, strong."]
)
def test_reps_that_are_said_to_remain_are_not_done(words: str) -> None:
    one = reading(f"3.0 begin | {{rep}}Three.\n6.0 work | {words}")
    assert said_to_remain(one.mentions, one.roles)[1] == "left"


@pytest.mark.parametrize(
    "words", ["{rep}Four, more weight on the heel.", "{rep}four left leg.", "{rep}Four, last bit."]
)
def test_a_rep_called_before_something_else_is_done(words: str) -> None:
    one = reading(f"3.0 begin | {{rep}}Three.\n6.0 work | {words}")
    assert said_to_remain(one.mentions, one.roles)[1] == "rep"
