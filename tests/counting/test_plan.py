"""The plan: which announcement each set may work to."""

from __future__ import annotations

from pipeline.counting.plan import Plan
from pipeline.counting.sets import draft_sets
from tests.building import Reading, reading


def likeliest(one: Reading) -> list[int | None]:
    """Return the number of the likeliest announcement for each set of a class, ``None`` where there is none."""
    plan = Plan(one.mentions, one.decoded)
    drafts, _ = draft_sets(one.decoded, one.mentions, [0])
    out: list[int | None] = []
    for k, draft in enumerate(drafts):
        previous = drafts[k - 1] if k else None
        late = plan.said_at_the_end_of(previous)
        choices = plan.choices(draft, previous.span[1] if previous else 0, previous, late)
        best = max(choices, key=lambda choice: choice[1], default=None)
        plan.used(draft, best[0] if best else None)
        out.append(best[0].value if best else None)
    return out


def test_a_set_works_to_what_was_announced_for_it() -> None:
    one = reading("""
        0.0   turn  | {target}Three squats please.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  after | Well done.
    """)
    assert likeliest(one) == [3]


def test_of_two_announced_in_one_breath_the_second_waits_for_the_next_set() -> None:
    one = reading("""
        0.0   turn  | {target}Three full ones, then {target}two pulses.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  after | And stay low.
        16.0  begin | {rep}One.
        18.0  work  | {rep}Two.
        20.0  after | Well done.
    """)
    assert likeliest(one) == [3, 2]


def test_where_nothing_was_announced_there_is_nothing_to_work_to() -> None:
    one = reading("""
        0.0   turn  | Squats please.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  after | Well done.
    """)
    assert likeliest(one) == [None]


def test_what_is_announced_as_a_set_ends_is_for_the_next_one() -> None:
    one = reading("""
        0.0   turn  | {target}Three squats please.
        4.0   begin | {rep}One.
        7.0   work  | {rep}Two.
        10.0  work  | {rep}Three.
        13.0  work  | And {target}four on the other side.
        16.0  after | Well done.
    """)
    drafts, _ = draft_sets(one.decoded, one.mentions, [0])
    late = Plan(one.mentions, one.decoded).said_at_the_end_of(drafts[0])
    assert [one.mentions.numbers[i].value for i in late] == [4]
    assert Plan(one.mentions, one.decoded).said_at_the_end_of(None) == []


def test_a_tempo_announced_before_a_set_has_as_many_parts_as_numbers() -> None:
    one = reading("""
        0.0   turn  | {tempo}Three down and {tempo}one up.
        4.0   begin | {rep}One.
        9.0   work  | {rep}Two.
    """)
    plan = Plan(one.mentions, one.decoded)
    assert plan.tempo_parts(0, len(one.mentions.utterances)) == 2
    assert plan.tempo_parts(1, len(one.mentions.utterances)) == 0
