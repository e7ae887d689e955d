"""Runs: numbers that step evenly in time, up or down, are counted aloud."""

from __future__ import annotations

import pytest

from pipeline.counting.runs import Run, find_runs
from pipeline.mentions.numbers import NumberMention


def row(*pairs: tuple[float, float]) -> list[NumberMention]:
    """Make numbers of ``(value, seconds)``."""
    return [
        NumberMention((k, k + 1), f"{value:g}", value, "word", time, time + 0.4)
        for k, (value, time) in enumerate(pairs)
    ]


def up(*pairs: tuple[float, float], coarse: bool = False) -> tuple[list[Run], list[Run]]:
    return find_runs(row(*pairs), 1, coarse)


def lengths(runs: list[Run]) -> list[int]:
    return [run.length for run in runs]


def test_an_even_count_is_one_run_seen_from_both_ends() -> None:
    before, after = up((1, 3), (2, 6), (3, 9), (4, 12))
    assert lengths(before) == [1, 2, 3, 4]
    assert lengths(after) == [4, 3, 2, 1]
    assert after[0].pace == pytest.approx(3.0)
    assert (after[0].far, after[0].far_index) == (4, 3)


def test_a_run_leaves_numbers_out_where_the_clock_leaves_their_time() -> None:
    before, _ = up((1, 3), (3, 9), (7, 21), (10, 30))
    assert lengths(before) == [1, 2, 3, 4]
    assert before[-1].pace == pytest.approx(3.0)


def test_a_number_out_of_time_makes_the_run_no_longer() -> None:
    before, _ = up((1, 1), (2, 2), (3, 3), (4, 9))
    assert lengths(before) == [1, 2, 3, 2]


def test_a_number_between_that_belongs_elsewhere_does_not_break_the_run() -> None:
    before, _ = up((1, 3), (2, 6), (30, 7), (3, 9), (4, 12))
    assert lengths(before) == [1, 2, 1, 3, 4]


def test_counting_down_is_a_run_of_its_own_kind() -> None:
    numbers = row((5, 5), (4, 6), (3, 7), (2, 8), (1, 9))
    assert lengths(find_runs(numbers, -1, False)[0]) == [1, 2, 3, 4, 5]
    assert lengths(find_runs(numbers, 1, False)[0]) == [1] * 5


def test_numbers_read_out_in_a_breath_are_not_counted_aloud() -> None:
    assert lengths(up((1, 0.0), (2, 0.2), (3, 0.4))[0]) == [1, 1, 1]


def test_a_long_silence_ends_a_run() -> None:
    assert lengths(up((1, 3), (2, 6), (8, 50))[0]) == [1, 2, 1]


def test_coarse_stamps_may_be_less_even() -> None:
    uneven = ((1, 2), (2, 4), (3, 10), (4, 13))
    assert max(lengths(up(*uneven)[0])) < 4
    assert lengths(up(*uneven, coarse=True)[0]) == [1, 2, 3, 4]


def test_a_half_and_an_ordinal_are_not_counted() -> None:
    numbers = row((1, 3), (2, 6), (3, 9))
    second = NumberMention((1, 2), "second", 2, "ordinal", 6, 6.4)
    assert lengths(find_runs([numbers[0], second, numbers[2]], 1, False)[0]) == [1, 1, 2]
    kilos = row((1, 3), (2.5, 6), (3, 9))
    assert lengths(find_runs(kilos, 1, False)[0]) == [1, 1, 2]


def test_no_numbers_have_no_runs() -> None:
    assert find_runs([], 1, False) == ([], [])
