"""Sets: what each working stretch comes to, and what nobody can tell."""

from __future__ import annotations

from pipeline.counting.draft import Draft
from pipeline.counting.sets import draft_sets
from pipeline.model import Timing
from tests.building import reading


def drafts(text: str, timing: Timing = "cue") -> list[Draft]:
    """Lay out the sets of a reading; every ``turn`` starts a chapter."""
    one = reading(text, timing)
    starts = [0, *(at for at, phase in enumerate(one.phases) if phase == "turn" and at > 0)]
    return draft_sets(one.decoded, one.mentions, starts)[0]


def draft(text: str, timing: Timing = "cue") -> Draft:
    (one,) = drafts(text, timing)
    return one


def test_a_counted_set_has_its_target_and_what_was_done() -> None:
    one = draft("""
        0.0   setup | {target}Four of these.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | {rep}Four.
        16.0  after | Lovely.
    """)
    assert (one.unit, one.target, one.performed, one.pace) == ("reps", 4, 4, 3.0)
    assert [rep.n for rep in one.reps] == [1, 2, 3, 4]
    assert all(rep.called and rep.spread == 0 for rep in one.reps)
    assert one.start == 4.0


def test_a_sparse_count_has_every_rep() -> None:
    one = draft("""
        0.0   setup | {target}Eight of these.
        4.0   begin | Down, and {rep}one.
        11.0  work  | {rep}Three.
        19.0  work  | {rep}Five.
        31.0  work  | {rep}Eight.
    """)
    assert one.performed == 8
    assert [rep.n for rep in one.reps if rep.called] == [1, 3, 5, 8]
    assert all(rep.spread > 0 for rep in one.reps if not rep.called)


def test_a_set_that_nobody_counted_is_not_known() -> None:
    one = draft("""
        0.0   setup | {target}Twelve of these.
        4.0   begin | Off we go.
        20.0  work  | Chest tall.
        40.0  after | And rest.
    """)
    assert (one.unit, one.target, one.performed, one.reps) == ("reps", 12, None, ())


def test_a_hold_is_in_seconds_and_lasts_what_was_announced() -> None:
    one = draft("""
        0.0   setup | Into your plank, {target}twenty seconds.
        4.0   begin | And hold.
        14.0  work  | {clock}Ten seconds.
        20.6  work  | {hold}Three, {hold}two, {hold}one, and rest.
    """)
    assert (one.unit, one.target, one.performed, one.reps) == ("seconds", 20, 20, ())


def test_a_hold_that_goes_on_has_its_own_length() -> None:
    one = draft("""
        0.0   setup | Into your plank, {target}twenty seconds.
        4.0   begin | And hold.
        14.0  work  | {clock}Ten seconds.
        30.0  work  | {hold}Three, {hold}two, {hold}one.
    """)
    assert (one.target, one.performed) == (20, 27)


def test_a_stretch_for_breaths_has_neither_target_nor_length() -> None:
    one = draft("""
        0.0   setup | Child's pose, {target}five breaths here.
        4.0   begin | Breathe in and out.
        12.0  work  | {rep}Three.
        18.0  after | And come up.
    """)
    assert (one.unit, one.target, one.performed) == ("seconds", None, None)


def test_a_target_taken_back_is_not_the_sets() -> None:
    one = draft("""
        0.0   setup | {target}Fifteen, no, make it {target}four.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | {rep}Four.
    """)
    assert (one.target, one.performed) == (4, 4)


def test_what_was_announced_for_each_side_holds_for_the_second() -> None:
    one, other = drafts("""
        0.0   setup | {target}Three each side.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  after | Swap sides.
        17.0  begin | {rep}One.
        20.0  work  | {rep}Two.
        23.0  work  | {rep}Three.
    """)
    assert (one.target, other.target) == (3, 3)


def test_two_targets_in_one_breath_go_to_two_sets() -> None:
    one, other = drafts("""
        0.0   setup | {target}Four full ones, then {target}three pulses.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | {rep}Four.
        15.0  begin | Pulse, {rep}one.
        17.0  work  | {rep}Two.
        18.5  work  | {rep}Three.
    """)
    assert (one.target, other.target) == (4, 3)
    assert other.range == "pulse"


def test_a_target_is_not_carried_into_another_exercise() -> None:
    one, other = drafts("""
        0.0   turn  | Goblet squat, {target}three of these.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  turn  | Next up, push-ups.
        17.0  begin | {rep}One.
        20.0  work  | {rep}Two.
    """)
    assert (one.target, other.target) == (3, None)


def test_a_tempo_keeps_the_order_announced() -> None:
    one = draft("""
        0.0   setup | Tempo is {tempo}three down, {tempo}one up, {target}two of these.
        6.0   begin | {rep}One.
        10.0  work  | {rep}Two.
    """)
    assert one.tempo == (3, 1)


def test_seconds_counted_through_are_no_tempo() -> None:
    one = draft("""
        0.0   setup | {tempo}one, {tempo}two, {tempo}three, {tempo}four down.
        6.0   begin | {rep}One.
        10.0  work  | {rep}Two.
    """)
    assert one.tempo is None


def test_intervals_work_to_what_was_announced_once_for_all() -> None:
    found = drafts("""
        0.0    intro | {target}Thirty seconds each.
        5.0    begin | Off we go.
        25.0   work  | {clock}Ten seconds.
        34.6   work  | Time.
        50.0   begin | And go.
        70.0   work  | {clock}Ten seconds.
        79.6   work  | Time.
        95.0   begin | And go.
        106.0  work  | {clock}Ten seconds.
        116.6  work  | Time.
    """)
    assert [one.unit for one in found] == ["seconds"] * 3
    assert [one.target for one in found] == [30] * 3
    assert [one.performed for one in found] == [30, 30, 22]


def test_a_range_is_heard_before_its_set() -> None:
    one = draft("""
        0.0   setup | Bottom half only.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
    """)
    assert one.range == "lower"


def test_a_class_without_work_has_no_sets() -> None:
    assert drafts("0.0 intro | Welcome.\n5.0 close | Thank you, bye.") == []


def test_the_other_side_gets_the_same_seconds_counted_aloud() -> None:
    first, second = drafts("""
        0.0   setup | Hold it for {target}eight seconds.
        4.0   begin | {hold}One, {hold}two, {hold}three, {hold}four,
        8.0   work  | {hold}five, {hold}six, {hold}seven, {hold}eight.
        13.0  after | Other side, same {target}eight.
        18.0  begin | {rep}One, {rep}two,
        24.0  work  | {rep}seven, {rep}eight.
    """)
    assert (first.unit, first.target) == ("seconds", 8)
    assert (second.unit, second.target) == ("seconds", 8)


def test_a_share_is_no_target() -> None:
    one = draft("""
        0.0   setup | {target}Forty seconds, and a {target}hundred percent effort.
        4.0   begin | Off you go.
        24.0  work  | {clock}Twenty seconds left.
        44.0  after | And rest.
    """)
    assert (one.unit, one.target) == ("seconds", 40)


def test_an_interval_said_once_in_the_plan_holds_after_other_targets() -> None:
    *_, last = drafts("""
        0.0   intro | We work for {target}thirty seconds each time.
        5.0   turn  | Squats, {target}ten of these.
        9.0   begin | {rep}One.
        12.0  work  | {rep}Two.
        33.0  work  | {rep}Nine.
        36.0  work  | {rep}Ten.
        40.0  turn  | Fast feet.
        45.0  begin | Go.
        65.0  work  | {clock}Ten left.
        74.0  work  | {clock}One.
        75.0  after | Stop.
    """)
    assert (last.unit, last.target) == ("seconds", 30)


def test_pulses_counted_down_are_reps() -> None:
    one = draft("""
        0.0   setup | Now the pulses, {target}ten.
        3.0   begin | {clock}Ten, {clock}nine, {clock}eight, {clock}seven,
        7.0   work  | {clock}six, {clock}five, {clock}four,
        10.0  work  | {clock}three, {clock}two, {clock}one.
    """)
    assert (one.unit, one.target, one.range) == ("reps", 10, "pulse")


INTERVAL = """
    0.0   turn  | Now it's {exercise}.
    3.0   setup | {{target}}Thirty seconds.
    6.0   begin | Work.
    26.0  work  | {{clock}}Ten seconds left.
    31.0  work  | {{hold}}Five, {{hold}}four, {{hold}}three, {{hold}}two, {{hold}}one.
    36.5  after | And rest.
"""


def roles_at_the_end_of(text: str) -> set[str]:
    one = reading(text)
    return set(draft_sets(one.decoded, one.mentions, [0])[1].roles[-5:])


def test_the_last_seconds_of_moving_work_are_time_on_the_clock() -> None:
    """``tests/bench/FORMAT.md``: "aloud at the end of a still hold are hold, of a working interval clock"."""
    assert roles_at_the_end_of(INTERVAL.format(exercise="goblet squats")) == {"clock"}
    assert roles_at_the_end_of(INTERVAL.format(exercise="a forearm plank")) == {"hold"}


def test_one_breath_at_a_time_announces_no_hold() -> None:
    one = draft("""
        0.0   setup | Take {other}one breath at a time.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
    """)
    assert (one.unit, one.performed) == ("reps", 3)


def test_reps_with_their_own_seconds_are_reps_in_a_class_of_intervals() -> None:
    one = draft("""
        0.0   setup | {target}Forty seconds, hold each rep.
        4.0   begin | And {rep}one.
        5.0   work  | {hold}One, {hold}two, {hold}three.
        10.0  work  | {rep}Two.
        11.0  work  | {hold}One, {hold}two, {hold}three.
        16.0  work  | {rep}Three.
        17.0  work  | {hold}One, {hold}two, {hold}three.
    """)
    assert one.unit == "reps"
    assert one.performed == 3


def test_a_set_with_more_left_than_the_one_before_had_does_not_work_to_its_target() -> None:
    one = drafts("""
        0.0   turn  | {target}Four of these.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | {rep}Four.
        16.0  after | And again.
        20.0  begin | Down and up.
        23.5  work  | {left}Five more.
        26.5  work  | {left}Four.
        29.5  work  | {left}Three.
        32.5  work  | {left}Two.
        35.5  work  | {left}One.
    """)[1]
    assert (one.target, one.performed) == (None, 6)


def test_a_countdown_that_comes_to_another_number_does_not_work_to_the_target_before() -> None:
    one = drafts("""
        0.0   turn  | {target}Five of these.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | {rep}Four.
        16.0  work  | {rep}Five.
        18.0  after | And again.
        20.0  begin | Down and up.
        23.5  work  | {left}Five more.
        26.5  work  | {left}Four.
        29.5  work  | {left}Three.
        32.5  work  | {left}Two.
        35.5  work  | {left}One.
    """)[1]
    assert (one.target, one.performed) == (None, 6)


def test_a_hold_that_is_counted_to_its_seconds_is_no_set_of_reps() -> None:
    """A voice may say its seconds in breaths, and begin late; the last of them is what was announced."""
    one = draft("""
        0.0   setup | Hold it there, {target}ten seconds.
        2.0   begin | Knees back.
        6.5   work  | {rep}Five.
        7.0   work  | {rep}Six.
        9.2   work  | {rep}Nine.
        9.7   work  | {rep}Ten.
        11.0  after | And rest.
    """)
    assert (one.unit, one.target, one.reps) == ("seconds", 10, ())


def test_reps_that_are_each_held_are_reps() -> None:
    one = draft("""
        0.0   setup | Hold it there, {target}three seconds.
        4.0   begin | {rep}One.
        9.0   work  | {rep}Two.
        14.0  work  | {rep}Three.
        19.0  after | And rest.
    """)
    assert (one.unit, one.performed) == ("reps", 3)


def test_pulses_whose_seconds_are_told_are_worked_by_the_clock() -> None:
    one = draft("""
        0.0   setup | Squat pulses, same as before.
        4.0   begin | And go.
        14.0  work  | {clock}Twenty seconds.
        24.0  work  | {clock}Ten seconds.
        31.0  work  | {clock}Three, {clock}two, {clock}one.
        34.5  after | And rest.
    """)
    assert (one.unit, one.range, one.reps) == ("seconds", "pulse", ())
