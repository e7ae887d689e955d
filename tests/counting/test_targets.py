"""Targets: what was announced for a set, withdrawn, or announced for several sets in one breath."""

from __future__ import annotations

import pytest

from pipeline.counting.targets import Announcement, announcements, choose_interval, choose_target, lasts_each, unit_of
from tests.building import heard


def announced(*lines: str) -> list[tuple[int, str | None]]:
    """Take every number of these lines, three seconds apart, for a target."""
    mentions = heard("\n".join(f"{3 * k}.0 {line}" for k, line in enumerate(lines)))
    return [(one.value, one.unit) for one in announcements(mentions, range(len(mentions.numbers)))]


@pytest.mark.parametrize(
    ("line", "unit"),
    [
        ("hold for twenty seconds", "seconds"), ("30s on the clock", "seconds"), ("eight breaths here", "breaths"),
        ("we want ten reps", "reps"), ("ten of these", "reps"), ("let's have ten", None),
        ("one minute of work", "minutes"),
    ],
)  # fmt: skip
def test_a_number_has_the_unit_that_was_said_with_it(line: str, unit: str | None) -> None:
    mentions = heard(f"0.0 {line}")
    assert unit_of(mentions, mentions.numbers[0]) == unit


def test_a_minute_is_sixty_seconds() -> None:
    assert announced("two minutes of plank") == [(120, "seconds")]


def test_a_target_taken_back_does_not_stand() -> None:
    assert announced("fifteen of these, no, make it twelve") == [(12, "reps")]


def test_a_target_changed_a_sentence_later_does_not_stand() -> None:
    assert announced("we'll hold for thirty seconds", "actually, let's make it twenty") == [(20, "seconds")]


def test_two_targets_in_one_breath_both_stand() -> None:
    assert announced("ten full ones, then ten pulses") == [(10, None), (10, None)]


def test_how_a_total_divides_is_no_second_target() -> None:
    assert announced("sixteen in all, that's eight on each leg") == [(16, None)]


def test_each_side_is_heard() -> None:
    mentions = heard("0.0 ten each side please")
    (one,) = announcements(mentions, [0])
    assert one.each_side


def choice(value: int, unit: str | None = None) -> Announcement:
    return Announcement(value, unit, False, 0, 0.0)


def test_the_likelier_announcement_is_taken_where_nobody_counted() -> None:
    ten, twelve = choice(10), choice(12)
    assert choose_target([(ten, 0.3), (twelve, 0.8)], lambda target: (None, False)) is twelve


def test_the_announcement_that_was_done_is_taken_over_a_somewhat_likelier_one() -> None:
    ten, twelve = choice(10), choice(12)
    assert choose_target([(ten, 0.5), (twelve, 0.7)], lambda target: (10, True)) is ten


def test_a_sure_announcement_stands_although_one_more_was_done() -> None:
    ten = choice(10)
    assert choose_target([(ten, 0.95)], lambda target: (11, True)) is ten


def test_a_doubtful_announcement_that_was_not_done_is_none() -> None:
    assert choose_target([(choice(30), 0.2)], lambda target: (12, True)) is None


def test_nothing_announced_is_no_target() -> None:
    assert choose_target([], lambda target: (12, True)) is None


def test_a_set_that_takes_just_an_announced_time_works_to_it() -> None:
    assert choose_interval([30, 40], [30, 40, 15], 39.5, []) == 40


def test_a_set_cut_short_works_to_what_the_sets_around_it_work_to() -> None:
    assert choose_interval([30], [30, 15], 22.0, [30.2, 29.8, 30.1]) == 30


def test_a_rest_is_taken_for_the_interval_only_where_no_interval_fits() -> None:
    assert choose_interval([], [30, 15], 30.4, []) == 30
    assert choose_interval([30], [30, 15], 80.0, []) is None


def test_how_long_each_rep_is_held_is_no_target_of_the_set() -> None:
    mentions = heard("0.0 Pause each one for four seconds, we're doing six on each side.")
    four, six = (i for i, one in enumerate(mentions.numbers) if one.text in {"four", "six"})
    assert lasts_each(mentions, mentions.numbers[four])
    assert not lasts_each(mentions, mentions.numbers[six])
    assert [one.value for one in announcements(mentions, [four, six])] == [6]


def test_forty_on_twenty_off_is_seconds() -> None:
    mentions = heard("0.0 Six rounds, forty on, twenty off.")
    forty = next(one for one in mentions.numbers if one.text == "forty")
    assert unit_of(mentions, forty) == "seconds"


def test_what_it_is_not_to_be_is_no_target() -> None:
    assert announced("it is ten now, not twelve") == [(10, None)]


def test_what_follows_a_but_stands() -> None:
    assert announced("the plan said seventeen, but let's do fifteen") == [(15, None)]
