"""The rep clock: calls laid on the clock."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.counting.calls import Call, unroll_eights
from pipeline.counting.count import count_reps


def called(*pairs: tuple[float, float], kind: str = "rep", first: int = 0) -> list[Call]:
    return [Call(kind, int(n), time, first + i) for i, (n, time) in enumerate(pairs)]


def test_a_sparse_count_is_no_miscount() -> None:
    count = count_reps(called((1, 3), (3, 9), (7, 21), (10, 30)), 10, 0.0, 30.5, None, True)
    assert count.performed == 10
    assert count.oddities == 0
    assert [rep.n for rep in count.reps if rep.called] == [1, 3, 7, 10]


def test_uncalled_reps_are_placed_at_the_pace_of_the_set() -> None:
    count = count_reps(called((2, 6), (5, 15), (8, 24)), 8, 0.0, 24.5, None, True)
    assert [rep.time for rep in count.reps] == pytest.approx([3, 6, 9, 12, 15, 18, 21, 24])
    assert [rep.called for rep in count.reps] == [False, True, False, False, True, False, False, True]


def test_a_number_left_out_without_time_for_it_is_no_rep() -> None:
    count = count_reps(called((8, 20), (9, 22.5), (10, 25), (12, 27.4), (14, 32.4)), 14, 0.0, 33.0, None, True)
    assert count.performed == 13


def test_a_number_used_for_two_reps_adds_one() -> None:
    count = count_reps(called((3, 9), (4, 12), (5, 15), (5, 18), (6, 21)), 6, 0.0, 21.5, None, True)
    assert count.performed == 7


def test_a_stutter_adds_nothing() -> None:
    count = count_reps(called((10, 30), (11, 33), (12, 36), (12, 36.9)), 12, 0.0, 37.5, None, True)
    assert count.performed == 12


def test_eights_count_on() -> None:
    beats = called((5, 5), (6, 6), (7, 7), (8, 8), (1, 9), (2, 10), (8, 16))
    assert list(unroll_eights(beats).values()) == [5, 6, 7, 8, 9, 10, 16]
    assert count_reps(beats, 16, 0.0, 16.5, None, True).performed == 16


def test_a_set_of_six_has_no_second_bar_of_eight() -> None:
    """ "Three, four, and two to go. Two, three, slide it in … six": the small numbers are seconds of a slow rep."""
    calls = called((3, 16), (4, 20), (2, 22), (3, 22.5), (6, 30))
    assert count_reps(calls, 6, 0.0, 31.0, None, True).performed == 6
    assert list(unroll_eights(calls, 6).values()) == [3, 4, 2, 3, 6]
    assert list(unroll_eights(calls).values()) == [3, 4, 10, 11, 14]


def test_counting_down_from_the_target() -> None:
    lefts = called((4, 8), (3, 10), (2, 12), (1, 14), kind="left")
    assert count_reps(lefts, 8, 0.0, 15.5, None, True).performed == 8


def test_counting_down_from_nothing_said_is_told_by_the_clock() -> None:
    lefts = called((9, 4.2), (5, 16.2), (4, 19.2), (3, 22.2), (2, 25.2), (1, 28.2), kind="left")
    assert count_reps(lefts, None, 0.0, 31.0, None, True).performed == 10
    assert count_reps(lefts, None, 0.0, 31.0, None, False).performed is None


def test_where_the_first_of_a_countdown_falls_between_two_reps_nobody_could_tell() -> None:
    lefts = called((9, 5.1), (5, 17.1), (4, 20.1), (3, 23.1), kind="left")
    assert count_reps(lefts, None, 0.0, 31.0, None, True).performed is None


def test_a_bare_number_as_the_set_begins_is_all_of_it() -> None:
    """ "And we go. Ten … nine … eight" has ten, "and we go. Ten more … nine … eight" nobody knows how many."""
    bare = [Call("left", n, 2.0 + 3.3 * (10 - n), 10 - n, bare=True) for n in range(10, 0, -1)]
    told = [replace(call, bare=False) for call in bare]
    assert count_reps(bare, None, 0.0, 36.0, None, True).performed == 10
    assert count_reps(told, None, 0.0, 36.0, None, True).performed is None


def test_no_count_has_reps_behind_it_that_the_clock_had_no_time_for() -> None:
    """Ninety were announced of something else: with eleven left after five seconds, seventy-nine cannot be done."""
    lefts = called(*((n, 5.0 + 3.8 * (11 - n)) for n in range(11, 0, -1)), kind="left")
    assert count_reps(lefts, 90, 0.0, 46.0, None, True).performed == 12


def test_what_is_left_finishes_a_count_that_nobody_ends() -> None:
    calls = called((6, 18), (7, 21)) + called((1, 22), kind="left", first=2)
    assert count_reps(calls, None, 0.0, 24.5, None, True).performed == 8


def test_two_more_that_become_three_count_as_done() -> None:
    calls = [Call("rep", 9, 27, 0), Call("left", 2, 28, 1), *called((10, 30), (11, 33), (12, 36), first=2)]
    count = count_reps(calls, 12, 0.0, 36.5, None, True)
    assert count.performed == 12
    assert count.oddities > 0


def test_the_last_reps_of_a_target_may_go_uncalled_where_the_clock_has_time_for_just_those() -> None:
    calls = called((1, 3), (2, 6), (3, 9), (5, 15))
    assert count_reps(calls, 8, 0.0, 24.5, None, True).performed == 8
    assert count_reps(calls, 8, 0.0, 16.5, None, True).performed == 5
    assert count_reps(calls, 8, 0.0, 24.5, None, False).performed == 5


def test_no_call_and_no_number_is_not_known() -> None:
    count = count_reps([], 12, 0.0, 30.0, None, True)
    assert count.performed is None
    assert count.reps == ()


def test_coarse_stamps_are_not_trusted_to_overrule_a_count() -> None:
    count = count_reps(called((8, 20), (9, 22.5), (10, 25), (12, 27.4)), 12, 0.0, 28.0, None, False)
    assert count.performed == 12
