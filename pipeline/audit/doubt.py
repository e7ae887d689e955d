"""How well a set's count was read: what casts doubt on a finding that rests on it.

A finding is worth a reader's time only where the count was read rightly up to it. A presenter's count keeps its
beat, comes out where it was announced, or misses it by a rep or two; where a reading does none of that, a number
misheard, lost or taken for another is the likelier story, and the finding is held back: its confidence falls
under ``least_confidence``.
"""

from __future__ import annotations

import itertools
from math import sqrt

from pipeline.audit.evidence import Class
from pipeline.audit.settings import Settings
from pipeline.model import Number, WorkSet

#: How sure a finding is of which a misreading is the likelier story: less than the shipped ``least_confidence``.
UNLIKELY = 0.28
#: A miscount by more than this share of what was announced is no miscount, but a small number misread.
FAR = 0.34


def called(one: Class, index: int) -> list[tuple[Number, int]]:
    """Return each called number of a set with the rep that it stands for by the clock."""
    rep_at = {round(rep.time, 3): rep.n for rep in one.sets[index].reps if rep.called}
    return [
        (number, rep_at[round(number.time, 3)])
        for number in one.said_in(index, "rep")
        if round(number.time, 3) in rep_at and number.n is not None
    ]


def doubtful(one: Class, index: int, settings: Settings) -> bool:
    """Tell whether what a set came to was read too badly to be held against anything.

    What came out as announced was read twice, so that nothing else can bring it into doubt.
    """
    work = one.sets[index]
    if work.performed is None or work.performed == work.target:
        return False
    return _far_from_target(work, settings) or counted_down(one, index) or not keeps_beat(one, index, settings)


def _far_from_target(work: WorkSet, settings: Settings) -> bool:
    """People miscount by a rep or two; what is further off was announced of something else, or misread."""
    if work.target is None:
        return False
    return abs((work.performed or 0) - work.target) > min(settings.miscount_reps, max(1.0, FAR * work.target))


def counted_down(one: Class, index: int) -> bool:
    """Tell whether a set was counted mostly by what is left.

    How many reps it had then hangs on the first number alone, which may call a rep or those to come.
    """
    return len(one.said_in(index, "left")) > len(called(one, index))


def keeps_beat(one: Class, index: int, settings: Settings) -> bool:
    """Tell whether the called numbers of a set fall on its beat.

    With coarse stamps nobody can tell, and nothing is held against the set.
    """
    pace = one.sets[index].pace
    if not one.fine or not pace:
        return True
    share = settings.heard_beat_share if one.recognised else settings.beat_share
    return all(on_beat(a, b, pace, share) for a, b in itertools.pairwise(called(one, index)))


def on_beat(a: tuple[Number, int], b: tuple[Number, int], pace: float, share: float) -> bool:
    """Tell whether two calls lie as far apart as their reps; small deviations add up over several reps."""
    reps = b[1] - a[1]
    return abs((b[0].time - a[0].time) / pace - reps) <= share * sqrt(max(1, reps))


def between_steady_calls(one: Class, index: int, place: int, settings: Settings) -> bool:
    """Tell whether the ``place``-th call of a set and its neighbours fall on the beat, and the count goes on from it.

    A number misheard or said of something else stands out: it comes too soon or too late after the one before, the
    next one does not follow from it, or what is jumped over on one side of it is said twice on the other.
    """
    calls, pace = called(one, index), one.sets[index].pace
    around = list(itertools.pairwise(calls[max(0, place - 2) : place + 2]))
    if not pace or len(around) < 2:
        return False
    rises = [int((b.n or 0) - (a.n or 0)) - (rep_b - rep_a) for (a, rep_a), (b, rep_b) in around]
    return sum(rise != 0 for rise in rises) == 1 and all(on_beat(a, b, pace, settings.beat_share) for a, b in around)


def room_after(one: Class, index: int, settings: Settings) -> int:
    """Return how many more reps the set leaves the time for after its last one: they may have been done in silence.

    Where every rep so far was called, silence tells that there was none.
    """
    work = one.sets[index]
    if not one.fine or not work.pace or all(rep.called for rep in work.reps):
        return 0
    return int((work.end - work.reps[-1].time) / work.pace + 1.0 - settings.room_share)


def meant_to_reach_target(one: Class, index: int, work: WorkSet) -> bool:
    """Tell whether what was last said to be left brings the set to what was announced.

    Fewer reps than that were then likelier lost by the reading than by the presenter, who knew how many there were.
    """
    lefts = one.said_in(index, "left")
    if not lefts or work.target is None or (work.performed or 0) >= work.target:
        return False
    done = sum(1 for rep in work.reps if rep.time <= lefts[-1].time + 0.05)
    return done + (lefts[-1].n or 0) == work.target


def said_in_time(one: Class, work: WorkSet, rep: int) -> bool:
    """Tell whether a later rep's number is said as that rep would be done, though it was not read as a call of it."""
    if not work.reps or not work.pace:
        return False
    last = work.reps[-1]
    due = last.time + (rep - last.n + 0.5) * work.pace
    return any(n.value == rep and n.role in {"other", "target"} and last.time < n.time <= due for n in one.numbers)
