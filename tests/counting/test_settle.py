"""Settling: before a presenter is said to have erred, a doubtful number is tried in its other roles."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.counting.settle import (
    counted_aloud,
    fill_in,
    settle_beats,
    settle_countdown,
    settle_pulses,
    settle_reps,
    settle_seconds,
)
from tests.building import reading

SET = reading("""
    3.0   begin | {rep}One.
    6.0   work  | {rep}Two.
    7.5   work  | Elbow at {rep}nine o'clock.
    9.0   work  | {rep}Three.
    12.0  after | Lovely.
""")
NUMBERS = range(len(SET.roles))


def nine_is_odd(roles: Sequence[str]) -> float:
    """Find fault with a set in which nine is called between two and three."""
    return 2.0 if roles[2] == "rep" else 0.0


def test_a_doubtful_number_that_does_not_fit_is_read_otherwise() -> None:
    decoded = SET.doubting({2: {"rep": 0.6, "other": 0.3}})
    assert settle_reps(decoded, SET.mentions, NUMBERS, nine_is_odd) == ("rep", "rep", "other", "rep")


def test_a_sure_number_that_does_not_fit_is_the_presenters_own() -> None:
    decoded = SET.doubting({2: {"rep": 0.999, "other": 0.001}})
    assert settle_reps(decoded, SET.mentions, NUMBERS, nine_is_odd) == SET.roles


def test_a_set_that_adds_up_stays_as_it_was_read() -> None:
    decoded = SET.doubting({2: {"rep": 0.4, "other": 0.6}})
    assert settle_reps(decoded, SET.mentions, NUMBERS, lambda roles: 0.0) == SET.roles


def test_reading_otherwise_has_to_help() -> None:
    decoded = SET.doubting({2: {"rep": 0.5, "other": 0.5}})
    assert settle_reps(decoded, SET.mentions, NUMBERS, lambda roles: 3.0) == SET.roles


HOLD = reading("""
    0.0   setup | Hold it, {target}twenty seconds.
    4.0   begin | Lift.
    14.0  work  | {left}Ten more.
    20.0  work  | {rep}Three, {rep}two, {rep}one.
    24.0  after | And rest.
""")


def test_two_seconds_are_counted_aloud_where_two_are_enough() -> None:
    end = reading("""
        0.0   setup | Hold it, {target}twenty seconds.
        4.0   begin | Lift.
        14.0  work  | {clock}Ten more.
        22.0  work  | {clock}Two, {clock}one.
        24.0  after | And rest.
    """)
    assert counted_aloud(end.decoded, end.mentions, range(1, 4)) == []
    assert counted_aloud(end.decoded, end.mentions, range(1, 4), least=2) == [2, 3]


def test_nothing_in_a_set_of_seconds_is_a_rep() -> None:
    decoded = HOLD.doubting({1: {"left": 0.7, "clock": 0.25}, 2: {"rep": 0.6, "hold": 0.3}})
    settled = settle_seconds(decoded, HOLD.mentions, range(1, 5), breaths=False)
    assert settled[:3] == ("target", "clock", "hold")
    assert not {"rep", "left"} & set(settled)


def test_the_breaths_of_a_stretch_are_neither_reps_nor_seconds() -> None:
    assert settle_seconds(HOLD.decoded, HOLD.mentions, range(1, 5), breaths=True) == ("target", *["other"] * 4)


SLOW_HOLD = reading("""
    0.0   setup | Hold it, {target}eight seconds.
    3.0   begin | {rep}One.
    5.0   work  | {rep}Two, long neck.
    7.0   work  | {rep}Three.
    9.0   work  | {hold}Four.
    20.0  work  | {rep}Nine of you are wobbling.
""")


def test_seconds_of_a_hold_may_be_counted_slowly() -> None:
    decoded = SLOW_HOLD.doubting({5: {"rep": 0.5, "other": 0.4}})
    settled = settle_seconds(decoded, SLOW_HOLD.mentions, range(1, 6), breaths=False)
    assert settled == ("target", "hold", "hold", "hold", "hold", "other")


BEATS = reading("""
    4.0   begin | Down {tempo}one, {tempo}two, {tempo}three, and up.
    8.0   work  | Down {hold}one, {hold}two, {hold}three.
    12.0  work  | That's {rep}two.
""").doubting({i: {"tempo": 0.5, "hold": 0.5} for i in range(6)})


def test_the_beats_of_a_set_are_a_tempo_where_one_was_announced_in_parts() -> None:
    assert settle_beats(BEATS, range(7), 2) == ("tempo",) * 6 + ("rep",)


def test_the_beats_of_a_set_are_seconds_counted_where_only_a_length_was_announced() -> None:
    assert settle_beats(BEATS, range(7), 1) == ("hold",) * 6 + ("rep",)


def test_seconds_are_counted_aloud_where_they_step_one_by_one() -> None:
    one = reading("""
        4.0   begin | Hold.
        20.0  work  | {clock}Twenty to go.
        30.0  work  | {clock}Ten.
        37.0  work  | {hold}Three, {hold}two, {hold}one.
    """)
    assert counted_aloud(one.decoded, one.mentions, range(5)) == [2, 3, 4]


def counting_on(text: str, doubt: dict[int, dict[str, float]]) -> tuple[str, ...]:
    one = reading(text)
    return fill_in(one.doubting(doubt), one.mentions, range(len(one.roles)), 3.0)


def test_a_number_that_is_due_in_a_count_is_called() -> None:
    roles = counting_on(
        """
        3.0   begin | {rep}One.
        6.0   work  | {rep}Two.
        9.0   work  | {other}Three, I always pull this face.
        12.0  work  | {rep}Four.
        """,
        {2: {"rep": 0.3, "other": 0.7}},
    )
    assert roles == ("rep",) * 4


def test_a_number_that_is_not_due_or_taken_back_stays_talk() -> None:
    roles = counting_on(
        """
        3.0   begin | {rep}One.
        6.0   work  | {rep}Two.
        7.3   work  | I had {other}three coffees.
        12.0  work  | {rep}Four.
        15.0  work  | {other}Five, no, {rep}six.
        """,
        {2: {"rep": 0.3, "other": 0.7}, 4: {"rep": 0.3, "other": 0.7}},
    )
    assert roles == ("rep", "rep", "other", "rep", "other", "rep")


def test_a_number_that_is_due_in_a_countdown_is_called() -> None:
    roles = counting_on(
        """
        3.0   begin | {left}Six.
        6.0   work  | {left}Five.
        9.0   work  | {other}Four, and breathe.
        12.0  work  | {left}Three.
        """,
        {2: {"left": 0.3, "other": 0.7}},
    )
    assert roles == ("left",) * 4


def counting_down(text: str) -> tuple[str, ...]:
    one = reading(text)
    return settle_countdown(one.decoded, one.mentions, range(len(one.roles)), 3.0)


def test_the_first_call_of_a_countdown_is_no_rep() -> None:
    countdown = """
        3.0   begin | {rep}Twelve, there it is.
        9.0   work  | {left}Ten.
        12.0  work  | {left}Nine.
    """
    assert counting_down(countdown) == ("left",) * 3


def test_a_rep_called_before_those_that_are_left_stays_one() -> None:
    mixed = """
        3.0   begin | {rep}Five.
        9.0   work  | {rep}Seven.
        9.8   work  | {left}Three more.
        12.0  work  | {left}Two.
    """
    assert counting_down(mixed) == ("rep", "rep", "left", "left")
    late = "3.0 begin | {rep}Nine.\n4.0 work | {left}Three more.\n7.0 work | {left}Two."
    assert counting_down(late) == ("rep", "left", "left")


def test_the_beats_of_pulses_are_reps_counted_up_or_down() -> None:
    one = reading("""
        1.0   begin | {hold}Five, {hold}six, {hold}seven, {hold}eight,
        5.0   work  | {rep}one, {rep}two.
        8.0   work  | {clock}Four, {clock}three, {clock}two, {clock}one.
    """)
    assert settle_pulses(one.decoded, one.mentions, range(10)) == ("rep",) * 6 + ("left",) * 4
