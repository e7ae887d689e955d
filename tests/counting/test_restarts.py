"""Restarts: a count that begins anew is another set; one that only goes on is the same."""

from __future__ import annotations

from pipeline.counting.restarts import cut_restarts
from pipeline.counting.spans import work_spans
from tests.building import reading


def sets_of(text: str) -> list[list[str]]:
    """Return the utterances of each set after restarts are cut."""
    one = reading(text)
    spans = work_spans(cut_restarts(one.mentions, one.roles, one.phases))
    utterances = one.mentions.utterances
    return [[one.mentions.transcript.text((u.first, u.stop)) for u in utterances[a:b]] for a, b in spans]


WORDS = "one two three four five six seven eight".split()


def counted(start: float, pace: float, *numbers: int) -> str:
    """Return the lines of a set in which these reps are called, the first at ``start``, ``pace`` seconds a rep."""
    times = [start + pace * (n - numbers[0]) for n in numbers]
    phases = ["begin"] + ["work"] * (len(numbers) - 1)
    return "\n".join(
        f"{time} {phase} | {{rep}}{WORDS[n - 1]}." for time, phase, n in zip(times, phases, numbers, strict=True)
    )


def test_a_count_that_starts_again_at_one_is_another_set() -> None:
    again = "\n9.0 work | And again.\n12.0 work | {rep}one.\n15.0 work | {rep}two."
    assert [one[0] for one in sets_of(counted(0.0, 3.0, 1, 2, 3) + again)] == ["one.", "And again."]


def test_a_new_target_and_a_new_count_are_another_set() -> None:
    found = sets_of("""
        0.0   begin | {rep}Three.
        3.0   work  | {rep}Four.
        6.0   work  | And {target}four of those half burpees.
        9.0   work  | {rep}One.
        12.0  work  | {rep}Two.
    """)
    assert len(found) == 2
    assert found[1][-2:] == ["One.", "Two."]
    assert not any("burpees" in line for line in found[0])


def test_eights_that_go_on_are_one_set() -> None:
    beats = counted(0.0, 1.0, *range(1, 9)) + "\n8.0 work | {rep}one.\n9.0 work | {rep}two.\n10.0 work | {rep}three."
    assert len(sets_of(beats)) == 1


def test_a_count_goes_on_over_praise() -> None:
    found = sets_of(counted(0.0, 3.0, 1, 2, 3) + "\n7.5 after | Lovely.\n9.0 after | {rep}four.")
    assert [one[-1] for one in found] == ["four."]


def test_a_number_long_after_the_set_is_no_part_of_it() -> None:
    found = sets_of(counted(0.0, 3.0, 1, 2, 3) + "\n7.5 after | Lovely.\n40.0 after | {rep}four.")
    assert [one[-1] for one in found] == ["three."]


def test_two_stretches_that_touch_and_count_on_are_one_set() -> None:
    assert len(sets_of(counted(0.0, 3.0, 1, 2, 3) + "\n" + counted(9.0, 3.0, 4, 5))) == 1


def test_two_stretches_with_a_target_between_stay_two() -> None:
    found = sets_of(counted(0.0, 3.0, 1, 2, 3) + "\n7.5 work | And then {target}ten.\n" + counted(9.0, 3.0, 4, 5))
    assert len(found) == 2


def test_counting_down_again_from_higher_is_another_set() -> None:
    found = sets_of("""
        0.0   begin | {left}Three.
        3.0   work  | {left}Two.
        6.0   work  | {left}One.
        9.0   work  | Other leg.
        12.0  work  | {left}Four.
        15.0  work  | {left}Three.
    """)
    assert len(found) == 2


def test_a_class_without_a_count_stays_as_it_was() -> None:
    one = reading("0.0 intro | Welcome.\n4.0 turn | Squats.\n8.0 begin | Off we go.\n12.0 work | Lovely.")
    assert cut_restarts(one.mentions, one.roles, one.phases) == one.phases


def test_a_hold_whose_seconds_are_all_counted_is_as_long_as_their_count() -> None:
    found = sets_of("""
        0.0   setup | Hold it for {target}eight.
        3.0   begin | Everybody now.
        6.0   work  | {hold}One, {hold}two, {hold}three, {hold}four,
        10.0  work  | {hold}five, {hold}six, {hold}seven, {hold}eight.
        15.0  work  | And unwind to the middle.
    """)
    assert found == [["One, two, three, four,", "five, six, seven, eight."]]


def test_a_hold_whose_last_seconds_alone_are_counted_began_before_them() -> None:
    found = sets_of("""
        0.0   setup | Hold it, {target}twenty seconds.
        3.0   begin | Everybody now.
        19.0  work  | {hold}Four, {hold}three, {hold}two, {hold}one.
        25.0  after | And rest.
    """)
    assert found == [["Everybody now.", "Four, three, two, one."]]


def test_the_number_announced_ends_a_set_that_is_counted_again() -> None:
    found = sets_of("""
        0.0   setup | {target}Six low, and then the top half.
        4.0   begin | {rep}One.
        6.0   work  | {rep}Two.
        14.0  work  | {rep}Six.
        15.0  work  | Top half only.
        22.0  work  | {rep}Two.
        26.0  work  | {rep}Four.
    """)
    assert len(found) == 2
    assert found[1][-2:] == ["Two.", "Four."]


def test_eights_go_on_over_a_word_of_praise_that_was_read_as_the_end() -> None:
    again = "\n7.5 after | Own the top.\n10.0 begin | Tall now.\n12.0 work | {rep}one.\n14.0 work | {rep}two."
    assert len(sets_of(counted(0.0, 2.0, 3, 4, 5, 6) + again)) == 1


def test_a_count_after_changing_sides_does_not_go_on_with_the_one_before() -> None:
    found = sets_of(counted(0.0, 2.0, 5, 6, 7, 8) + "\n7.0 after | Other side.\n" + counted(8.0, 2.0, 1, 2))
    assert len(found) == 2
