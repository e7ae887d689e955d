"""Holds, intervals, tempos and halves against the clock.

The limits are those of the benchmark's format (``tests/bench/FORMAT.md``): a hold is off by over 20 % and 2 s, an
interval by over 15 % and 3 s, a tempo by over 35 %, halfway by over 15 % of the set.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.audit import Settings
from pipeline.model import WorkSet
from tests.building import counted, findings, kinds, said, timed


@pytest.mark.parametrize(("announced", "lasted"), [(20, 28), (20, 15), (30, 37), (10, 13)])
def test_a_hold_that_takes_clearly_other_time_is_off_the_clock(announced: int, lasted: int) -> None:
    (found,) = findings([timed(announced, lasted, still=True)])
    assert (found.kind, found.time) == ("hold-off-clock", float(lasted))
    assert (found.said, found.expected) == (f"{announced} seconds", f"{lasted} seconds")


@pytest.mark.parametrize(("announced", "lasted"), [(20, 24), (20, 16), (30, 36), (5, 7), (20, 20)])
def test_a_hold_within_a_fifth_or_two_seconds_is_not(announced: int, lasted: int) -> None:
    assert findings([timed(announced, lasted, still=True)]) == []


@pytest.mark.parametrize(("announced", "lasted"), [(30, 39), (30, 22), (40, 47), (20, 24)])
def test_a_working_interval_that_takes_clearly_other_time_is_off_the_clock(announced: int, lasted: int) -> None:
    assert kinds(findings([timed(announced, lasted)])) == ["interval-off-clock"]


@pytest.mark.parametrize(("announced", "lasted"), [(30, 34), (30, 26), (20, 23), (40, 46)])
def test_a_working_interval_within_its_limits_is_not(announced: int, lasted: int) -> None:
    assert findings([timed(announced, lasted)]) == []


@pytest.mark.parametrize(("announced", "lasted"), [(20, 38), (35, 20), (30, 45)])
def test_a_working_interval_so_far_off_that_its_bounds_are_in_doubt_is_not(announced: int, lasted: int) -> None:
    assert findings([timed(announced, lasted)]) == []


def test_a_stretch_that_nothing_was_announced_for_cannot_be_off() -> None:
    assert findings([timed(None, 60), timed(30, 60, performed=None)]) == []


def test_coarse_stamps_cannot_tell_seconds() -> None:
    assert findings([timed(20, 28, still=True), timed(30, 39)], timing="coarse") == []


def slow_set(pace: float, tempo: tuple[float, ...] | None) -> WorkSet:
    work, _ = counted(*[(n, pace * n) for n in range(1, 9)], target=8, tempo=tempo)
    return work


def test_reps_much_quicker_than_the_announced_tempo_are_off_the_clock() -> None:
    (found,) = findings([slow_set(2.3, (3.0, 1.0))])
    assert (found.kind, found.said, found.expected) == ("tempo-off-clock", "3-1 (4 s a rep)", "2.3 s a rep")


@pytest.mark.parametrize("pace", [2.7, 4.0, 5.3])
def test_reps_within_a_third_of_the_tempo_are_not(pace: float) -> None:
    assert findings([slow_set(pace, (3.0, 1.0))]) == []


def test_reps_that_take_no_third_of_a_tempo_were_not_meant_by_it() -> None:
    assert findings([slow_set(0.6, (4.0, 4.0))]) == []


def test_reps_without_an_announced_tempo_go_as_they_like() -> None:
    assert findings([slow_set(9.0, None)]) == []


def with_half(n: int, of: int, after: float = 0.5) -> list[str]:
    work, numbers = counted(*[(k, 3.0 * k) for k in range(1, of + 1)], target=of)
    return kinds(findings([work], [*numbers, said(3.0 * n + after, "half", None, "Halfway")]))


def test_halfway_after_eight_of_ten_is_off() -> None:
    assert with_half(8, 10) == ["halfway-off"]


def test_halfway_after_two_of_ten_is_off() -> None:
    assert with_half(2, 10) == ["halfway-off"]


@pytest.mark.parametrize("n", [4, 5, 6])
def test_halfway_around_the_fifth_of_ten_is_not(n: int) -> None:
    assert with_half(n, 10) == []


def test_halfway_twenty_two_seconds_into_thirty_is_off() -> None:
    half = said(22.0, "half", None, "Halfway")
    assert kinds(findings([timed(30, 30)], [half])) == ["halfway-off"]


def test_halfway_eighteen_seconds_into_thirty_is_not() -> None:
    assert findings([timed(30, 30)], [said(18.0, "half", None, "Halfway")]) == []


def test_halfway_may_fit_what_was_announced_or_what_was_done() -> None:
    """Announced thirty, and twenty-two done: both eleven and fifteen seconds are a half."""
    for at in (11.0, 15.0):
        assert "halfway-off" not in kinds(findings([timed(30, 22)], [said(at, "half", None, "Halfway")]))


def test_halfway_between_two_sets_belongs_to_none() -> None:
    assert findings([timed(30, 30)], [said(29.0, "half", None, "Half the class", set=None)]) == []


UNHEARD = " ".join(["word"] * 400)


def test_an_interval_whose_start_nobody_called_may_have_begun_elsewhere() -> None:
    assert kinds(findings([timed(30, 39)])) == ["interval-off-clock"]
    assert findings([timed(30, 39)], words=UNHEARD) == []


def test_a_count_in_tells_the_start_as_well_as_a_word() -> None:
    late = timed(30, 39, start=10.0, end=49.0)
    counted_in = [said(7.0 + k, "countin", 3 - k, set=None) for k in range(3)]
    assert kinds(findings([late], counted_in, words=UNHEARD)) == ["interval-off-clock"]
    assert findings([late], words=UNHEARD) == []


def test_what_is_too_short_even_from_its_announcement_is_off() -> None:
    """Forty seconds announced five seconds before a set of twenty-eight, and three before one of thirty-two."""
    announced = [said(5.0, "target", 40, set=None)]
    short, nearly = timed(40, 28, start=10.0, end=38.0), timed(40, 32, start=8.0, end=40.0)
    assert kinds(findings([short], announced, words=UNHEARD)) == ["interval-off-clock"]
    assert findings([nearly], announced, words=UNHEARD) == []


def test_halfway_a_rep_before_its_time_is_called_by_the_reps_done() -> None:
    """After two of eight and half a rep into the third, the third is not done; shortly before its end it is."""
    assert with_half(2, 8, after=1.5) == ["halfway-off"]
    assert with_half(2, 8, after=2.0) == []


def test_a_tempo_holds_for_the_other_side_too() -> None:
    left, right = slow_set(4.0, (3.0, 1.0)), slow_set(2.4, None)
    sides = [replace(left, side="left"), replace(right, side="right")]
    assert kinds(findings(sides)) == ["tempo-off-clock"]
    assert findings([left, right]) == []


def test_a_set_that_ends_while_seconds_are_left_was_cut_short() -> None:
    """ "Only ten seconds left", and a second later the captions of the set end."""
    words = " ".join(["go", *["word"] * 40, "only", "ten", "seconds", *["word"] * 40])
    call = [said(16.0, "clock", 10, word=42)]
    cut = timed(25, 17, still=True)
    assert kinds(findings([cut], words=words)) == ["hold-off-clock"]
    assert findings([cut], call, words=words) == []


def test_a_hold_announced_after_its_first_words_began_later() -> None:
    long = timed(30, 40, still=True)
    inside = [said(8.0, "target", 30, set=None)]
    assert kinds(findings([long], words=UNHEARD)) == ["hold-off-clock"]
    assert findings([long], inside, words=UNHEARD) == []


def test_halfway_near_the_end_of_the_time_announced_tells_a_later_start() -> None:
    """Twenty seconds announced; halfway eighteen in, and the end at twenty-six, are a hold that began at eight."""
    held, half = timed(20, 26, still=True), [said(18.0, "half", None, "Halfway")]
    assert kinds(findings([held])) == ["hold-off-clock"]
    assert findings([held], half) == []


def test_reps_slower_than_their_tempo_have_a_rest_between_them() -> None:
    assert findings([slow_set(9.0, (3.0, 1.0))]) == []
    asked_for = findings([slow_set(9.0, (3.0, 1.0))], settings=Settings(least_confidence=0.1))
    assert kinds(asked_for) == ["tempo-off-clock"]


def test_halfway_before_a_rep_was_called_cannot_be_counted() -> None:
    early = [(n, 3.0 * n) for n in (6, 7, 8, 9, 10)]
    work, numbers = counted(*early, target=10)
    assert findings([work], [*numbers, said(6.5, "half", None, "Halfway")]) == []
    assert with_half(2, 10) == ["halfway-off"]


def test_halfway_of_a_set_that_may_go_on_in_silence_cannot_be_counted() -> None:
    work, numbers = counted(*[(n, 3.0 * n) for n in (1, 2, 4, 5, 6, 8)])
    half = said(18.5, "half", None, "Halfway")
    assert kinds(findings([work], [*numbers, half])) == ["halfway-off"]
    assert findings([replace(work, end=36.0)], [*numbers, half]) == []
