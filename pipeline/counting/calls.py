"""The calls of a set: the numbers heard in it, counted on over eights, and the pace that they keep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import median

#: A count that starts again at one after a multiple of this many goes on (counting in eights).
EIGHT = 8
#: A bar of eight that is left before this beat was not counted to its end.
LATE_IN_BAR = 4
#: Between two breaths of a count its beats may be off by this share of their number, and by this many beats.
BREATH_SHARE, BREATH_BEATS = 0.4, 0.5
#: A step over several reps tells the pace of each; it weighs no more than this many single steps.
MOST_WEIGHT = 3


@dataclass(frozen=True, slots=True)
class Call:
    """A number heard in a set: ``kind`` is ``"rep"`` or ``"left"``, ``n`` as said, ``time`` in seconds.

    ``index`` is its place in the list of numbers; ``bare`` tells "twelve" from "twelve more".
    """

    kind: str
    n: int
    time: float
    index: int
    bare: bool = False


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
    slack = BREATH_SHARE * beats + BREATH_BEATS
    return seconds <= (beats + slack) * max(steps) and seconds >= (beats - slack) * min(steps)


def counted_on(calls: Sequence[Call], n_of: Mapping[int, int]) -> list[Call]:
    """Return the calls in order of time, each with the number it stands for: ``n_of`` its index, else as said."""
    return [replace(call, n=n_of.get(call.index, call.n)) for call in sorted(calls, key=lambda one: one.time)]


def pace_of(calls: Sequence[Call]) -> float | None:
    """Return the seconds that a rep takes by most calls, counted up or down; ``None`` where no two tell it."""
    steps: list[float] = []
    for kind, way in (("rep", 1), ("left", -1)):
        row = [call for call in calls if call.kind == kind]
        for a, b in pairwise(row):
            change = (b.n - a.n) * way
            if change >= 1 and b.time > a.time:
                steps += [(b.time - a.time) / change] * min(change, MOST_WEIGHT)
    return median(steps) if steps else None


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
