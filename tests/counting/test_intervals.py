"""Timed sets begin where their clock says that they did, among starts that are hard to hear."""

from __future__ import annotations

from dataclasses import replace

from pipeline.counting.draft import Draft
from pipeline.counting.intervals import begun_by_the_clock, told_off_the_clock
from pipeline.counting.phases import PHASES
from tests.building import Reading, reading

LATE = reading("""
    0.0    setup | Dead hang, {target}thirty seconds.
    5.0    setup | Let the shoulders come up.
    9.0    setup | Longer than that.
    13.0   begin | You are laundry.
    33.0   work  | {clock}Two, {clock}one.
""")
EARLY = reading("""
    0.0    setup | Skater hops, {target}thirty seconds.
    5.0    begin | Quiet knees, big arms.
    11.0   work  | Jump.
    20.0   work  | Stay low.
    40.0   work  | {clock}Two, {clock}one.
""")


def begun(one: Reading, start: dict[int, float], **changes: object) -> Draft:
    """Begin the set of a reading by the clock; ``start`` gives the chances of utterances to start it."""
    (span,) = one.decoded.spans
    first, last = one.mentions.utterances[span[0]], one.mentions.utterances[span[1] - 1]
    chances = one.decoded.phase_chances.copy()
    for at, chance in start.items():
        chances[at, PHASES.index("begin")] = chance
    decoded = replace(one.decoded, phase_chances=chances)
    draft = Draft(span, (0, span[0]), first.start, last.end, 0, (1, 2), "seconds", target=30, timed=True)
    draft = replace(draft, **changes)  # type: ignore[arg-type]
    return begun_by_the_clock(decoded, one.mentions, [draft])[0]


def test_a_set_begins_with_what_is_said_just_its_time_before_its_end() -> None:
    ends = 35.0
    one = begun(LATE, {3: 0.6}, end=ends)
    assert (one.start, one.end, one.performed) == (5.0, ends, 30)
    assert one.span == (1, 5)
    assert one.gap == (0, 1)


def test_a_start_that_was_surely_heard_stands() -> None:
    assert begun(LATE, {3: 0.99}, end=35.0).start == 13.0


def test_where_nothing_is_said_on_time_the_set_is_off_its_clock() -> None:
    one = begun(LATE, {3: 0.6}, end=37.0)
    assert (one.start, one.end) == (13.0, 37.0)


def test_its_announcement_is_no_start_of_a_set() -> None:
    assert begun(LATE, {3: 0.6}, end=30.0).start == 13.0


def test_a_set_that_was_heard_too_early_begins_at_its_later_start() -> None:
    one = begun(EARLY, {1: 0.8, 2: 0.05}, end=41.0)
    assert (one.start, one.performed) == (11.0, 30)


def test_talk_on_time_within_a_set_is_no_start() -> None:
    assert begun(EARLY, {1: 1.0, 2: 0.001}, end=41.0).start == 5.0


def test_coarse_stamps_tell_no_start() -> None:
    lines = """
        0.0    setup | Dead hang, {target}thirty seconds.
        5.0    setup | Let the shoulders come up.
        13.0   begin | You are laundry.
        33.0   work  | {clock}Two, {clock}one.
    """
    assert begun(reading(lines, "coarse"), {2: 0.6}, end=35.0).start == 13.0


TALK = reading("""
    0.0    setup | Hollow hold, {target}forty seconds.
    4.0    begin | And lift.
    27.0   work  | {other}Seventeen, if you're asking.
    31.0   work  | My {other}seventy cousins do this.
    43.0   after | And rest.
""")


def test_talk_that_says_what_the_clock_shows_tells_the_time() -> None:
    (span,) = TALK.decoded.spans
    draft = Draft(span, (0, 1), 4.0, 44.0, 0, (1, 2), "seconds", target=40)
    doubted = TALK.doubting({1: {"other": 0.8, "clock": 0.1}, 2: {"other": 0.8, "clock": 0.1}})
    assert told_off_the_clock(doubted, TALK.mentions, draft) == [1]
    assert told_off_the_clock(doubted, TALK.mentions, replace(draft, start=14.0)) == []
    assert told_off_the_clock(TALK.doubting({1: {"other": 0.99}}), TALK.mentions, draft) == []
