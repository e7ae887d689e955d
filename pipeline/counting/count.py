"""The rep clock: how many reps a set really had, and when each was done.

Presenters call some reps ("one … three … five") and announce what is left ("two more"). Calls are laid on the
clock: between two calls there were as many reps as the set's own pace gives, whatever the numbers say. So a
number left out where the clock leaves no rep for it, and a number used for two reps, come out as what they are,
and a sparse count is no mistake.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from pipeline.model import Rep

#: A call may fall this share of a pace early or late (presenters breathe; common practice, no source).
JITTER = 0.15
#: The clock overrules a called step of two or more only where it is at least this many paces off …
OVERRULE = 0.6
#: … and where at least this many other steps agree on the pace.
WITNESSES = 2
#: The same number again within this share of a pace is a stutter; later it stands for another rep.
STUTTER = 0.62
#: No stutter lasts longer than this many seconds.
LONGEST_STUTTER = 3.2
#: A count that starts again at one after a multiple of this many goes on (counting in eights).
EIGHT = 8
#: A bar of eight that is left before this beat was not counted to its end.
LATE_IN_BAR = 4


@dataclass(frozen=True, slots=True)
class Call:
    """A number heard in a set: ``kind`` is ``"rep"`` or ``"left"``, ``n`` as said, ``time`` in seconds.

    ``index`` is its place in the list of numbers.
    """

    kind: str
    n: int
    time: float
    index: int


@dataclass(frozen=True)
class Count:
    """What a set came to.

    ``performed`` is ``None`` where nobody could tell. ``pace`` is seconds a rep (``None`` for fewer than two
    calls). ``n_of`` gives for a call's index the number it stands for, with eights counted on.
    """

    performed: int | None
    reps: tuple[Rep, ...]
    pace: float | None
    n_of: dict[int, int]
    called_out: bool = False
    oddities: float = 0.0


def unroll_eights(calls: Sequence[Call], target: int | None = None) -> dict[int, int]:
    """Return each rep call's number, counted on over eights: "seven, eight, one, two" is 7, 8, 9, 10.

    Not so where no more than a ``target`` of less than a bar was counted: a smaller number is then no new bar.
    """
    out: dict[int, int] = {}
    last = 0
    within = target is not None and max((call.n for call in calls), default=0) <= target < EIGHT
    in_eights = not within and all(call.n <= EIGHT for call in calls) and _goes_round(calls)
    for call in calls:
        n = call.n
        if in_eights and n < last:
            while n < last:
                n += EIGHT
        out[call.index] = n
        last = n
    return out


def fits_pace(seconds: float, beats: float, steps: Sequence[float]) -> bool:
    """Tell whether so many beats of a count may take so long, its steps taking so many seconds each.

    "One, two … three, four" may be said in two breaths: between them a beat takes longer than within one, and a
    beat that is as quick or as slow as any step of the count is no change of pace.
    """
    slack = 0.4 * beats + 0.5
    return seconds <= (beats + slack) * max(steps) and seconds >= (beats - slack) * min(steps)


def _goes_round(calls: Sequence[Call]) -> bool:
    """Tell whether a count starts again where a bar of eight beats ends, by the clock."""
    steps = [(b.time - a.time) / (b.n - a.n) for a, b in pairwise(calls) if b.n > a.n]
    for a, b in pairwise(calls):
        if b.n >= a.n:
            continue
        beats = EIGHT - a.n + b.n
        if a.n < LATE_IN_BAR or (steps and not fits_pace(b.time - a.time, beats, steps)):
            return False
    return any(b.n < a.n for a, b in pairwise(calls))


def count_reps(
    calls: Sequence[Call],
    target: int | None,
    start: float,
    end: float,
    usual_pace: float | None,
    trust_clock: bool,
) -> Count:
    """Count a set of reps from its calls.

    ``target`` is what was announced, ``start`` and ``end`` the set's bounds in seconds, ``usual_pace`` the
    exercise's usual seconds a rep; ``trust_clock`` is false for coarse stamps, whose words have no real times.
    """
    rep_calls = [call for call in calls if call.kind == "rep"]
    n_of = unroll_eights(rep_calls, target)
    events = _merge(calls, n_of)
    pace = _pace(events)
    marks = _lay_on_clock(events, pace, target, start, trust_clock)
    if not marks:
        return Count(None, (), None, n_of)
    performed = marks[-1].done + _still_to_come(marks)
    silent = _done_in_silence(marks[-1], target, end, pace) if trust_clock else 0
    performed += silent
    reps = _place(marks, performed, start, end, pace or usual_pace)
    called_out = not silent and any(call.kind == "rep" for call in calls)
    oddities = _oddities(events, marks, pace, performed, target)
    return Count(performed, reps, pace, n_of, called_out, oddities)


def _oddities(
    events: Sequence[_Event], marks: Sequence[_Mark], pace: float | None, performed: int, target: int | None
) -> float:
    """Weigh what does not add up in a count; 0 for a clean set."""
    odd = 0.0
    reps = [e for e in events if e.kind == "rep"]
    for a, b in itertools.pairwise(reps):
        step = b.n - a.n
        if step < 0:
            odd += OUT_OF_ORDER
        elif step > 0 and pace is not None:
            share = (b.time - a.time) / step / pace
            odd += OFF_PACE if not 0.62 <= share <= 1.6 else 0.0
    odd += sum(1.0 for e in events if e.kind == "rep" and e.n > 60)
    called = [m for m in marks if m.called]
    for m, n in itertools.pairwise(called):
        odd += 1.0 if (n.event.n - m.event.n) != (n.done - m.done) else 0.0
    lefts = [e for e in events if e.kind == "left"]
    for c, d in itertools.pairwise(lefts):
        odd += OUT_OF_ORDER if d.n > c.n else 0.0
    for e in lefts:
        before = [r.n for r in reps if r.time <= e.time and (pace is None or e.time - r.time < 0.6 * pace)]
        if before and performed - before[-1] != e.n:
            odd += 1.0
    for e in lefts:
        done = sum(1 for m in marks if m.called and m.time <= e.time)
        earlier = [m for m in marks if m.time <= e.time and m.event is not e]
        known = max((m.done for m in earlier), default=0)
        if done and pace is not None and performed - known - e.n < -1:
            odd += 1.0
    if target is not None and performed != target:
        odd += 1.0
    if reps and reps[0].n > FIRST_CALL:
        odd += 0.5
    return odd


#: Weights of oddities that are no finding by themselves, against 1 for one that is.
OUT_OF_ORDER, OFF_PACE = 1.5, 0.6
#: A count that is first called at a higher number than this is odd.
FIRST_CALL = 8


@dataclass(frozen=True, slots=True)
class _Event:
    """A call as a step on the way: ``up`` counts forward for both kinds of call."""

    kind: str
    n: int
    time: float
    index: int
    stutter: bool


@dataclass(frozen=True, slots=True)
class _Mark:
    """``done`` reps were done at ``time``; ``called`` where a rep's own number was spoken then."""

    done: int
    time: float
    called: bool
    event: _Event


def _merge(calls: Sequence[Call], n_of: dict[int, int]) -> list[_Event]:
    events: list[_Event] = []
    for call in sorted(calls, key=lambda one: one.time):
        n = n_of.get(call.index, call.n)
        last = next((e for e in reversed(events) if e.kind == call.kind), None)
        events.append(_Event(call.kind, n, call.time, call.index, last is not None and last.n == n))
    return events


def _pace(events: Sequence[_Event]) -> float | None:
    steps: list[float] = []
    for kind, sign in (("rep", 1), ("left", -1)):
        row = [e for e in events if e.kind == kind]
        for a, b in itertools.pairwise(row):
            change = (b.n - a.n) * sign
            if change >= 1 and b.time > a.time:
                steps += [(b.time - a.time) / change] * min(change, 3)
    return median(steps) if steps else None


def _lay_on_clock(
    events: Sequence[_Event], pace: float | None, target: int | None, start: float, trust_clock: bool
) -> list[_Mark]:
    marks: list[_Mark] = []
    witnesses = _witnesses(events, pace)
    for event in events:
        last = marks[-1] if marks else None
        if event.kind == "rep":
            done = _done_at_rep(event, marks, pace, trust_clock and witnesses >= WITNESSES)
            if done is None:
                continue
            marks.append(_Mark(done, event.time, True, event))
        else:
            done_before = _done_at_left(event, marks, pace if trust_clock or marks else None, target, start)
            if done_before is None:
                continue
            if last is not None and done_before < last.done:
                continue
            marks.append(_Mark(done_before, event.time, False, event))
    return marks


def _witnesses(events: Sequence[_Event], pace: float | None) -> int:
    if pace is None:
        return 0
    row = [e for e in events if e.kind == "rep"]
    return sum(
        1 for a, b in itertools.pairwise(row)
        if b.n > a.n and abs((b.time - a.time) / (b.n - a.n) / pace - 1) <= 2 * JITTER
    )  # fmt: skip


def _done_at_rep(event: _Event, marks: list[_Mark], pace: float | None, trust: bool) -> int | None:
    last = next((m for m in reversed(marks) if m.called), None)
    if last is None:
        return event.n
    step = event.n - last.event.n
    elapsed = event.time - last.time
    if step == 0:
        if pace is None or elapsed < max(STUTTER * pace, 0.9) or not trust:
            return None
        return last.done + (max(1, round(elapsed / pace)) if elapsed < LONGEST_GAP_PACES * pace else 1)
    if step < 0:
        return None
    if trust and pace is not None and step >= 2:
        by_clock = elapsed / pace
        if step - by_clock >= OVERRULE and by_clock <= step * 0.72:
            return last.done + max(1, round(by_clock))
    return last.done + step


#: "N left" that would take a set this many reps past what was announced is a misread number.
FAR_OVER = 2

#: A repeated number later than this many paces is no second rep of that number but a count gone astray.
LONGEST_GAP_PACES = 2.5


def _done_at_left(
    event: _Event, marks: list[_Mark], pace: float | None, target: int | None, start: float
) -> int | None:
    """How many reps were done when "N left" was said."""
    by_target = target - event.n if target is not None and target >= event.n else None
    if not marks:
        return by_target if target is not None else _done_from_start(event, pace, start)
    last = marks[-1]
    if target is not None and last.done + event.n > target + FAR_OVER:
        return None
    if last.event.kind == "left" and not last.called:
        step = last.event.n - event.n
        return last.done + step if step > 0 else None
    elapsed = event.time - last.time
    by_clock = last.done + (int(elapsed / pace + 0.25) if pace else 0)
    if by_target is None:
        return by_clock
    if pace is None:
        return max(by_target, last.done)
    # A call of what is left comes before the rep that it counts from; the clock decides between neighbours.
    return by_target if abs(by_target - by_clock) <= 1 and by_target >= last.done else by_clock


def _done_from_start(event: _Event, pace: float | None, start: float) -> int | None:
    """How many reps a set that is only counted down had before its first call, by the clock and its own pace.

    A call comes a little after its rep. Beyond a few reps, or between two numbers, nobody could tell.
    """
    if pace is None:
        return None
    by_clock = (event.time - start) / pace
    done = int(by_clock + JUST_AFTER)
    return done if done <= MOST_BEFORE and by_clock - done <= 1 - 2 * JUST_AFTER else None


#: A call comes at most this share of a pace before its rep is done; it is unsure just as long before that.
JUST_AFTER = 0.25
#: From the start alone no more reps than this are counted by the clock.
MOST_BEFORE = 3


def _still_to_come(marks: list[_Mark]) -> int:
    """Return the reps that were done after the last call: those it said were left."""
    last = marks[-1]
    return 0 if last.called else last.event.n


#: A set that ends within these many paces of when its target falls due, and this many seconds for its last words,
#: was done to its target though the last reps were not called; one rep alone is within the error of the clock.
DUE_EARLY, DUE_LATE, LAST_WORDS = 0.3, 0.4, 1.5
FEWEST_SILENT = 2


def _done_in_silence(last: _Mark, target: int | None, end: float, pace: float | None) -> int:
    """Return how many reps were done after the last called one, where the clock leaves just what the target asks."""
    if target is None or pace is None or not last.called or target - last.done < FEWEST_SILENT:
        return 0
    missing = target - last.done
    over = end - last.time - missing * pace
    return missing if -DUE_EARLY * pace <= over <= DUE_LATE * pace + LAST_WORDS else 0


def _place(marks: list[_Mark], performed: int, start: float, end: float, pace: float | None) -> tuple[Rep, ...]:
    """Give every rep a time: called ones as called, the rest evenly between their neighbours."""
    known: dict[int, float] = {}
    called: set[int] = set()
    for mark in marks:
        if mark.called and 1 <= mark.done <= performed:
            known[mark.done] = mark.time
            called.add(mark.done)
    for mark in marks:
        if not mark.called and 1 <= mark.done <= performed and mark.done not in known:
            later = [t for n, t in known.items() if n > mark.done]
            earlier = [t for n, t in known.items() if n < mark.done]
            if (not later or mark.time < min(later)) and (not earlier or mark.time > max(earlier)):
                known[mark.done] = mark.time
    anchors = sorted(known.items())
    if not anchors:
        return ()
    _first_n, _first_t = anchors[0]
    step = pace if pace is not None else max(0.5, (end - start) / max(1, performed))
    reps: list[Rep] = []
    for n in range(1, performed + 1):
        if n in known:
            reps.append(Rep(n, round(known[n], 3), n in called, 0.0 if n in called else round(0.3 * step, 3)))
            continue
        before = [(m, t) for m, t in anchors if m < n]
        after = [(m, t) for m, t in anchors if m > n]
        if before and after:
            (m1, t1), (m2, t2) = before[-1], after[0]
            time = t1 + (t2 - t1) * (n - m1) / (m2 - m1)
            spread = 0.15 * (t2 - t1) / (m2 - m1) * min(n - m1, m2 - n) ** 0.5
        elif after:
            m2, t2 = after[0]
            back = min(step, (t2 - start) / m2) if t2 > start else step
            time = t2 - back * (m2 - n)
            spread = 0.2 * step * (m2 - n) ** 0.5
        else:
            m1, t1 = before[-1]
            ahead = step if t1 + step * (performed - m1) <= end + step else max(0.2, (end - t1) / (performed - m1))
            time = t1 + ahead * (n - m1)
            spread = 0.2 * step * (n - m1) ** 0.5
        reps.append(Rep(n, round(time, 3), False, round(spread, 3)))
    return tuple(reps)
