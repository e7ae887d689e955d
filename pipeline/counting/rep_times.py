"""When each rep of a set was done: called ones as called, the others by the clock between them."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.counting.marks import Mark
from pipeline.model import Rep

#: How far off a rep's time may be, as a share of a rep: one that "N left" tells of; one between two known ones and
#: one before or after all of them, both times the square root of how many reps it is from the next known one.
TOLD, BETWEEN, BEYOND = 0.3, 0.15, 0.2
#: Seconds a rep, at the least, where nothing but the set's length tells; and where what is left of it is too short.
SHORTEST_REP, SHORTEST_LAST_REP = 0.5, 0.2


def place_reps(marks: Sequence[Mark], performed: int, start: float, end: float, pace: float | None) -> tuple[Rep, ...]:
    """Give every rep a time: called ones as called, the rest evenly between their neighbours.

    ``start`` and ``end`` are the set's bounds in seconds, ``pace`` its seconds a rep. No rep where no mark is one.
    """
    called = {mark.done: mark.time for mark in marks if mark.called and 1 <= mark.done <= performed}
    known = dict(called)
    for mark in marks:
        if not mark.called and 1 <= mark.done <= performed and mark.done not in known:
            later = [time for n, time in known.items() if n > mark.done]
            earlier = [time for n, time in known.items() if n < mark.done]
            if (not later or mark.time < min(later)) and (not earlier or mark.time > max(earlier)):
                known[mark.done] = mark.time
    if not known:
        return ()
    step = pace if pace is not None else max(SHORTEST_REP, (end - start) / max(1, performed))
    reps: list[Rep] = []
    for n in range(1, performed + 1):
        if n in known:
            time, spread = known[n], 0.0 if n in called else TOLD * step
        else:
            time, spread = _by_clock(n, sorted(known.items()), performed, start, end, step)
        reps.append(Rep(n, round(time, 3), n in called, round(spread, 3)))
    return tuple(reps)


def _by_clock(
    n: int, known: Sequence[tuple[int, float]], performed: int, start: float, end: float, step: float
) -> tuple[float, float]:
    """Return the time of rep ``n``, and how far off it may be, from the reps whose times are known."""
    before = [(m, time) for m, time in known if m < n]
    after = [(m, time) for m, time in known if m > n]
    if before and after:
        (m1, t1), (m2, t2) = before[-1], after[0]
        spread = BETWEEN * (t2 - t1) / (m2 - m1) * min(n - m1, m2 - n) ** 0.5
        return t1 + (t2 - t1) * (n - m1) / (m2 - m1), spread
    if after:
        m2, t2 = after[0]
        back = min(step, (t2 - start) / m2) if t2 > start else step
        return t2 - back * (m2 - n), BEYOND * step * (m2 - n) ** 0.5
    m1, t1 = before[-1]
    fits = t1 + step * (performed - m1) <= end + step
    ahead = step if fits else max(SHORTEST_LAST_REP, (end - t1) / (performed - m1))
    return t1 + ahead * (n - m1), BEYOND * step * (n - m1) ** 0.5
