"""Neighbours: what the numbers around a number tell of it."""

from __future__ import annotations

import pytest

from pipeline.counting.neighbours import Neighbours, form_of, relation
from pipeline.mentions.numbers import Form, NumberMention
from tests.building import heard


def number(value: float, form: Form = "word") -> NumberMention:
    return NumberMention((0, 1), f"{value:g}", value, form, 0.0, 0.4)


def told(line_by_line: str, i: int) -> set[str]:
    """Return all that the numbers around the ``i``-th number of a class tell of it."""
    around = Neighbours(heard(line_by_line))
    out: list[str] = []
    around.add_neighbours(out, i)
    around.add_stretch(out, i)
    around.add_runs(out, i)
    return set(out)


@pytest.mark.parametrize(
    ("before", "after", "how"),
    [(4, 5, "+1"), (4, 4, "+0"), (4, 2, "-2"), (8, 1, "reset"), (4, 9, "up"), (20, 9, "down")],
)
def test_a_small_step_is_told_as_it_is_and_a_leap_by_its_way(before: int, after: int, how: str) -> None:
    assert relation(number(before), number(after)) == how


def test_halfway_is_no_step_of_a_count() -> None:
    assert relation(number(4), number(0.5, "half")) == "half"


def test_a_number_in_figures_is_the_number_in_words() -> None:
    assert form_of(number(8, "figure")) == form_of(number(8)) != form_of(number(8, "soundalike"))


COUNT = """
    0.0   Ten of these.
    5.0   One.
    8.0   Two.
    11.0  Three.
"""


def test_a_count_up_is_seen_from_within_it() -> None:
    assert {"n-1=+1", "n+1=+1", "up before=2", "up after=2", "up total=3"} <= told(COUNT, 2)


def test_the_first_number_of_a_class_has_none_before_it() -> None:
    assert "n-1=∅" in told(COUNT, 0)
    assert "n+1=∅" in told(COUNT, 3)


def test_what_was_announced_is_held_against_what_is_called() -> None:
    assert {"announced reps", "announced reps <"} <= told(COUNT, 1)


def test_an_announcement_two_minutes_ago_tells_nothing_of_a_number() -> None:
    assert not any(one.startswith("announced") for one in told("0.0 Ten reps of these.\n130.0 One.\n133.0 Two.", 1))


def test_a_count_that_reaches_what_was_announced_is_told() -> None:
    reached = told("0.0 Three of these.\n5.0 One.\n8.0 Two.\n11.0 Three.", 2)
    assert any(one.startswith("up to announced") for one in reached)
    assert not any(one.startswith("up to announced") for one in told(COUNT, 2))


def test_seconds_counted_aloud_are_told_by_their_pace() -> None:
    assert "down seconds=True" in told("0.0 Five.\n1.0 Four.\n2.0 Three.\n3.0 Two.\n4.0 One.", 2)
    assert "down seconds=True" not in told("0.0 Five.\n3.0 Four.\n6.0 Three.\n9.0 Two.\n12.0 One.", 2)


def test_with_coarse_stamps_paces_and_silences_are_marked_as_such() -> None:
    around = Neighbours(heard(COUNT, "coarse"))
    out: list[str] = []
    around.add_neighbours(out, 2)
    assert any(one.startswith("~gap") for one in out)
    assert not any(one.startswith("gap") for one in out)
