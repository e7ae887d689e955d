"""The reading of a class: what is put right once roles and phases are read."""

from __future__ import annotations

from pipeline.counting.decode import halves_of_ranges
from tests.building import reading


def test_half_of_a_movement_is_not_half_of_the_set() -> None:
    one = reading("""
        3.0   begin | {half}Halfway, keep going.
        6.0   work  | Stop {half}halfway up.
        9.0   work  | Top {half}half only.
    """)
    assert halves_of_ranges(one.mentions, one.roles) == ("half", "other", "other")
