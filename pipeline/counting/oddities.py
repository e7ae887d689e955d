"""Oddities: what does not add up in the count of a set, weighed, so that readings of its numbers can be compared."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pipeline.counting.calls import Call
from pipeline.counting.marks import Mark

#: Weights of oddities that are no finding by themselves, against 1 for one that is.
OUT_OF_ORDER, OFF_PACE, LATE_START = 1.5, 0.6, 0.5
#: A step is off the pace where it takes less, or more, than this share of its time.
QUICK, SLOW = 0.62, 1.6
#: A count that is first called at a higher number than this is odd.
FIRST_CALL = 8
#: Hardly any set has more reps than this.
MOST_REPS = 60
#: "N left" within this share of a pace of a called rep speaks of that rep.
JUST_CALLED = 0.6


def weigh_oddities(
    calls: Sequence[Call], marks: Sequence[Mark], pace: float | None, performed: int, target: int | None
) -> float:
    """Weigh what does not add up in a count; 0 for a clean set.

    ``calls`` are in order of time and counted on, ``marks`` what they came to, ``pace`` is seconds a rep,
    ``performed`` the reps done and ``target`` those announced.
    """
    reps = [call for call in calls if call.kind == "rep"]
    lefts = [call for call in calls if call.kind == "left"]
    odd = _of_steps(reps, pace) + sum(1.0 for call in reps if call.n > MOST_REPS)
    called = [mark for mark in marks if mark.called]
    odd += sum(1.0 for a, b in pairwise(called) if b.call.n - a.call.n != b.done - a.done)
    odd += sum(OUT_OF_ORDER for a, b in pairwise(lefts) if b.n > a.n)
    for left in lefts:
        odd += _is_belied(left, reps, pace, performed) + _is_too_much(left, marks, pace, performed)
    if target is not None and performed != target:
        odd += 1.0
    if reps and reps[0].n > FIRST_CALL:
        odd += LATE_START
    return odd


def _of_steps(reps: Sequence[Call], pace: float | None) -> float:
    """Weigh the steps between the called reps: backwards, or off the pace."""
    odd = 0.0
    for a, b in pairwise(reps):
        step = b.n - a.n
        if step < 0:
            odd += OUT_OF_ORDER
        elif step > 0 and pace is not None and not QUICK <= (b.time - a.time) / step / pace <= SLOW:
            odd += OFF_PACE
    return odd


def _is_belied(left: Call, reps: Sequence[Call], pace: float | None, performed: int) -> bool:
    """Tell whether another number of reps was left than was said just after a rep's own number."""
    just = [r.n for r in reps if r.time <= left.time and (pace is None or left.time - r.time < JUST_CALLED * pace)]
    return bool(just) and performed - just[-1] != left.n


def _is_too_much(left: Call, marks: Sequence[Mark], pace: float | None, performed: int) -> bool:
    """Tell whether more reps were said to be left, by two or more, than were still done after those before."""
    before = [mark for mark in marks if mark.time <= left.time]
    known = max((mark.done for mark in before if mark.call is not left), default=0)
    return pace is not None and any(mark.called for mark in before) and performed - known - left.n < -1
