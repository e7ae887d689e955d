"""Marks on the rep clock: how many reps were done at each call, by its number and by the time since the one before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipeline.counting.calls import Call

#: A call may fall this share of a pace early or late (presenters breathe; common practice, no source).
JITTER = 0.15
#: The clock overrules a called step of two or more only where it is at least this many paces short, …
OVERRULE = 0.6
#: … takes at most this share of the time that the step asks for, …
OVERRULED_SHARE = 0.72
#: … and where at least this many other steps agree on the pace.
WITNESSES = 2
#: The same number again within this share of a pace is a stutter; later it stands for another rep.
STUTTER = 0.62
#: No two reps are done within this many seconds of each other: nobody could call both.
QUICKEST_REP = 0.9
#: A repeated number later than this many paces is no second rep of that number but a count gone astray.
LONGEST_GAP_PACES = 2.5
#: "N left" that would take a set this many reps past what was announced is a misread number.
FAR_OVER = 2
#: A call comes at most this share of a pace before its rep is done; it is unsure just as long before that.
JUST_AFTER = 0.25
#: No count has more reps behind it than the clock has had time for, and this many: the start may be found late.
TOO_SOON = 5.0
#: A bare number that a set begins with is all of it, where it is at least this.
WHOLE = 4
#: From the start alone no more reps than this are counted by the clock.
MOST_BEFORE = 3


@dataclass(frozen=True, slots=True)
class Mark:
    """``done`` reps were done at ``time``; ``called`` where a rep's own number was spoken then."""

    done: int
    time: float
    called: bool
    call: Call


def lay_on_clock(
    calls: Sequence[Call], pace: float | None, target: int | None, start: float, trust_clock: bool
) -> list[Mark]:
    """Return the marks of a set's calls, in order of time and counted on; a call that tells nothing has none.

    ``pace`` is seconds a rep, ``target`` the reps announced, ``start`` the set's first second. ``trust_clock`` is
    false for coarse stamps, whose words have no real times.
    """
    marks: list[Mark] = []
    overrules = trust_clock and _witnesses(calls, pace) >= WITNESSES
    for call in calls:
        if call.kind == "rep":
            done = _done_at_rep(call, marks, pace, overrules)
        else:
            done = _done_at_left(call, marks, pace if trust_clock or marks else None, target, start)
            if done is not None and marks and done < marks[-1].done:
                done = None
        if done is not None:
            marks.append(Mark(done, call.time, call.kind == "rep", call))
    return marks


def _witnesses(calls: Sequence[Call], pace: float | None) -> int:
    if pace is None:
        return 0
    row = [call for call in calls if call.kind == "rep"]
    return sum(
        1 for a, b in pairwise(row)
        if b.n > a.n and abs((b.time - a.time) / (b.n - a.n) / pace - 1) <= 2 * JITTER
    )  # fmt: skip


def _done_at_rep(call: Call, marks: Sequence[Mark], pace: float | None, overrules: bool) -> int | None:
    last = next((mark for mark in reversed(marks) if mark.called), None)
    if last is None:
        return call.n
    step = call.n - last.call.n
    elapsed = call.time - last.time
    if step == 0:
        if pace is None or elapsed < max(STUTTER * pace, QUICKEST_REP) or not overrules:
            return None
        return last.done + (max(1, round(elapsed / pace)) if elapsed < LONGEST_GAP_PACES * pace else 1)
    if step < 0:
        return None
    if overrules and pace is not None and step >= 2:
        by_clock = elapsed / pace
        if step - by_clock >= OVERRULE and by_clock <= step * OVERRULED_SHARE:
            return last.done + max(1, round(by_clock))
    return last.done + step


def _done_at_left(
    call: Call, marks: Sequence[Mark], pace: float | None, target: int | None, start: float
) -> int | None:
    """How many reps were done when "N left" was said."""
    by_target = target - call.n if target is not None and target >= call.n else None
    if not marks:
        possible = by_target is None or pace is None or by_target <= (call.time - start) / pace + TOO_SOON
        return by_target if target is not None and possible else _done_from_start(call, pace, start)
    last = marks[-1]
    if target is not None and last.done + call.n > target + FAR_OVER:
        return None
    if last.call.kind == "left":
        step = last.call.n - call.n
        return last.done + step if step > 0 else None
    elapsed = call.time - last.time
    by_clock = last.done + (int(elapsed / pace + JUST_AFTER) if pace else 0)
    if by_target is None:
        return by_clock
    if pace is None:
        return max(by_target, last.done)
    # A call of what is left comes before the rep that it counts from; the clock decides between neighbours.
    return by_target if abs(by_target - by_clock) <= 1 and by_target >= last.done else by_clock


def _done_from_start(call: Call, pace: float | None, start: float) -> int | None:
    """How many reps a set that is only counted down had before its first call, by the clock and its own pace.

    A call comes a little after its rep. Beyond a few reps, or between two numbers, nobody could tell. A bare number
    that is said as the set begins is all of it: "ten … nine … eight".
    """
    if pace is None:
        return None
    by_clock = (call.time - start) / pace
    if call.bare and call.n >= WHOLE and by_clock < 1 - JUST_AFTER:
        return 0
    done = int(by_clock + JUST_AFTER)
    return done if done <= MOST_BEFORE and by_clock - done <= 1 - 2 * JUST_AFTER else None
