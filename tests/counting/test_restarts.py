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


def test_a_count_that_starts_again_at_one_is_another_set() -> None:
    found = sets_of("""
        0.0   begin | {rep}One.
        3.0   work  | {rep}Two.
        6.0   work  | {rep}Three.
        9.0   work  | And again.
        12.0  work  | {rep}One.
        15.0  work  | {rep}Two.
    """)
    assert [one[0] for one in found] == ["One.", "And again."]


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
    beats = "\n".join(
        f"{t}.0 {'begin' if t == 0 else 'work'} | {{rep}}{word}."
        for t, word in enumerate("one two three four five six seven eight one two three four".split())
    )
    assert len(sets_of(beats)) == 1


def test_a_count_goes_on_over_praise() -> None:
    found = sets_of("""
        0.0   begin | {rep}One.
        3.0   work  | {rep}Two.
        6.0   work  | {rep}Three.
        7.5   after | Lovely.
        9.0   after | {rep}Four.
    """)
    assert [one[-1] for one in found] == ["Four."]


def test_a_number_long_after_the_set_is_no_part_of_it() -> None:
    found = sets_of("""
        0.0   begin | {rep}One.
        3.0   work  | {rep}Two.
        6.0   work  | {rep}Three.
        9.0   after | Lovely.
        40.0  after | {rep}Four.
    """)
    assert [one[-1] for one in found] == ["Three."]


def test_two_stretches_that_touch_and_count_on_are_one_set() -> None:
    found = sets_of("""
        0.0   begin | {rep}One.
        3.0   work  | {rep}Two.
        6.0   work  | {rep}Three.
        9.0   begin | {rep}Four.
        12.0  work  | {rep}Five.
    """)
    assert len(found) == 1


def test_two_stretches_with_a_target_between_stay_two() -> None:
    found = sets_of("""
        0.0   begin | {rep}One.
        3.0   work  | {rep}Two.
        6.0   work  | {rep}Three and then {target}ten.
        9.0   begin | {rep}Four.
        12.0  work  | {rep}Five.
    """)
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


def test_a_count_that_starts_again_after_the_number_announced_is_another_set() -> None:
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
    found = sets_of("""
        0.0   begin | {rep}Three.
        2.0   work  | {rep}Four.
        4.0   work  | {rep}Five.
        6.0   work  | {rep}Six.
        7.5   after | Own the top.
        10.0  begin | Tall now.
        12.0  work  | {rep}One.
        14.0  work  | {rep}Two.
    """)
    assert len(found) == 1


def test_a_count_after_changing_sides_does_not_go_on_with_the_one_before() -> None:
    found = sets_of("""
        0.0   begin | {rep}Five.
        2.0   work  | {rep}Six.
        4.0   work  | {rep}Seven.
        6.0   work  | {rep}Eight.
        7.0   after | Other side.
        8.0   begin | {rep}One.
        10.0  work  | {rep}Two.
    """)
    assert len(found) == 2
