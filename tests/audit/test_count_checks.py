"""Miscounts: what a QA reader should catch in a count, and what only looks like it.

The kinds and when they apply are those of the benchmark's format (``tests/bench/FORMAT.md``).
"""

from __future__ import annotations

from tests.building import counted, findings, kinds


def audited(*pairs: tuple[int, float], **more: object) -> list[str]:
    work, numbers = counted(*pairs, **more)  # type: ignore[arg-type]
    return kinds(findings([work], numbers))


EVENLY = [(n, 3.0 * n) for n in range(1, 11)]


def test_a_count_that_goes_to_its_target_evenly_has_no_finding() -> None:
    assert audited(*EVENLY, target=10) == []


def test_a_number_jumped_over_without_the_time_for_a_rep_is_a_skipped_count() -> None:
    work, numbers = counted((4, 12), (5, 15), (6, 18), (7, 21), (9, 24), (10, 27))
    (found,) = findings([work], numbers)
    assert (found.kind, found.time, found.said, found.expected) == ("skipped-count", 24.0, "7, then 9", "8")


def test_a_sparse_count_is_no_skipped_count() -> None:
    assert audited((3, 9), (4, 12), (5, 15), (7, 21), (10, 30), target=10) == []


def test_a_rep_done_a_little_fast_is_no_skipped_count() -> None:
    """Between two calls the clock may be 15 % short (the benchmark's rules for the clock)."""
    assert audited((4, 12), (5, 15), (6, 18), (8, 18 + 0.85 * 6), (9, 26.1), target=9) == []


def test_one_number_for_two_reps_is_a_repeated_count() -> None:
    work, numbers = counted((4, 12), (5, 15), (6, 18), (6, 21), (7, 24), (8, 27))
    (found,) = findings([work], numbers)
    assert (found.kind, found.time, found.expected) == ("repeated-count", 21.0, "7")


def test_a_stutter_is_no_repeated_count() -> None:
    assert audited((10, 30), (11, 33), (12, 36), (12, 36.9), target=12) == []


def test_more_than_announced_is_over_target() -> None:
    work, numbers = counted(*EVENLY, (11, 33.0), target=10)
    (found,) = findings([work], numbers)
    assert (found.kind, found.said, found.expected) == ("over-target", "10 reps", "11 reps")
    assert found.time == 33.0


def test_fewer_than_announced_is_under_target() -> None:
    assert audited(*EVENLY, target=12) == ["under-target"]


def test_as_many_as_announced_or_nothing_announced_is_neither() -> None:
    assert audited(*EVENLY, target=10) == audited(*EVENLY) == []


def test_reps_that_nobody_could_tell_miss_no_target() -> None:
    work, numbers = counted(*EVENLY, target=12, performed=None, reps=())
    assert findings([work], numbers) == []


def test_two_more_that_become_three_are_a_remaining_mismatch() -> None:
    work, numbers = counted((7, 21), (8, 24), (9, 27), (10, 30), (11, 33), (12, 36), left=[(2, 27.8)], target=12)
    (found,) = findings([work], numbers)
    assert (found.kind, found.time, found.said, found.expected) == ("remaining-mismatch", 27.8, "2 left", "3 left")


def test_two_more_that_are_two_are_no_mismatch() -> None:
    assert audited((8, 24), (9, 27), (10, 30), (11, 33), (12, 36), left=[(2, 30.8)], target=12) == []


def test_two_more_said_just_before_a_rep_may_count_from_after_it() -> None:
    """Said two thirds of a rep after the ninth, the tenth is as good as done."""
    assert audited((8, 24), (9, 27), (10, 30), (11, 33), (12, 36), left=[(2, 29.2)], target=12) == []


def test_a_last_one_after_which_another_comes_is_a_mismatch() -> None:
    found = audited((8, 24), (9, 27), (10, 30), (11, 33), (12, 36), left=[(1, 30.5)], target=12)
    assert found == ["remaining-mismatch"]


def test_counting_down_to_the_end_is_no_mismatch() -> None:
    assert audited(left=[(4, 26.5), (3, 29.5), (2, 32.5), (1, 35.5)], target=12) == []


def test_coarse_stamps_cannot_tell_a_skipped_or_repeated_number() -> None:
    for row in ([(6, 18), (7, 21), (9, 24), (10, 27)], [(5, 15), (6, 18), (6, 21), (7, 24)]):
        work, numbers = counted((4, 12), *row)
        assert kinds(findings([work], numbers)) != []
        assert kinds(findings([work], numbers, timing="coarse")) == []


def test_every_finding_shows_the_words_around_it() -> None:
    work, numbers = counted((4, 12), (5, 15), (6, 18), (7, 21), (9, 24))
    (found,) = findings([work], numbers, words=" ".join(f"w{k}" for k in range(60)))
    assert found.words == (40, 41)
    assert found.evidence.split() == [f"w{k}" for k in range(34, 47)]
    assert found.message.endswith(".")
