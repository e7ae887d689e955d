"""Which count on the screen is which count that is due: both laid side by side in order, the cheapest way.

A number in its place costs nothing, one that comes early or late a little, a wrong one more, one that is missing
or too many most (a dynamic program, as for the edit distance).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.compare.counts import Count
from pipeline.compare.onscreen import Shown
from pipeline.compare.verdicts import TOLERANCE
from pipeline.publish.counter import CounterState

# Costs in units of one number that is missing, or too many; by judgement, what counts is their order.
SKIPPED = 1.0
"""A number without a partner."""

IN_TIME_SECOND = 0.1
"""Each second of the right number within TOLERANCE, so that of two in time the nearer is taken."""

OFF_TIME, OFF_TIME_SECOND = 0.4, 0.06
"""The right number out of TOLERANCE, and each second of it: at REACH as dear as one number missing."""

WRONG, WRONG_SECOND = 0.9, 0.35
"""A wrong number, and each second of it: cheaper, as far as WRONG_REACH, than one missing and one too many."""

WRONG_TARGET = 0.3
"""The right number of a wrong target, over what its time costs."""

REACH = 10.0
"""Seconds that the right number may be off before it is told as missing here and as too many there."""

WRONG_REACH = 2.0
"""Seconds from a rep within which a wrong number is taken to be meant for it."""

Pair = tuple[int | None, int | None]
"""Indices of a state that is due and of a count that is shown; ``None`` stands for what has no partner."""


@dataclass(frozen=True, slots=True)
class ShownCount:
    """A count on the screen, at its time once a shift of the whole file is undone.

    ``goes_on`` says that the count before it is the same and ends here, so it need not be a count of its own.
    """

    shown: Shown
    count: Count
    time: float
    exercise: str
    goes_on: bool = False


def align(due: Sequence[CounterState], items: Sequence[ShownCount], zero_skipped: float) -> list[Pair]:
    """Return pairs of a state and a count, in order; ``None`` stands for what has no partner.

    ``zero_skipped`` is the cost of a "0" that is missing.
    """
    import numpy as np

    skips = [0.0 if item.goes_on else SKIPPED for item in items]
    steps = np.concatenate([[0.0], np.cumsum(skips)])
    times = np.array([item.time for item in items])
    rows = [steps.copy()]
    for state in due:
        before = rows[-1]
        row = before + (zero_skipped if is_zero(state) else SKIPPED)
        near = np.searchsorted(times, [state.start - REACH, state.start + REACH])
        for j in range(int(near[0]), int(near[1])):
            cost = _cost(state, items[j])
            if cost is not None:
                row[j + 1] = min(row[j + 1], before[j] + cost)
        rows.append(np.minimum.accumulate(row - steps) + steps)
    pairs: list[Pair] = []
    i, j = len(due), len(items)
    while i or j:
        here = rows[i][j]
        cost = _cost(due[i - 1], items[j - 1]) if i and j else None
        if cost is not None and abs(rows[i - 1][j - 1] + cost - here) < 1e-6:
            i, j = i - 1, j - 1
            pairs.append((i, j))
        elif j and abs(rows[i][j - 1] + skips[j - 1] - here) < 1e-6:
            j -= 1
            pairs.append((None, j))
        else:
            i -= 1
            pairs.append((i, None))
    return pairs[::-1]


def rejoin(pairs: Sequence[Pair], due: Sequence[CounterState], items: Sequence[ShownCount]) -> list[Pair]:
    """Join what is missing to the same number that is too many or wrong elsewhere: it has passed its neighbours."""
    free = {j for i, j in pairs if j is not None and (i is None or not is_number(items[j].count, due[i]))}
    joined: dict[int, int] = {}
    for i, j in pairs:
        if i is None or j is not None or is_zero(due[i]):
            continue
        near = [k for k in free if is_number(items[k].count, due[i]) and abs(items[k].time - due[i].start) <= REACH]
        if near:
            joined[i] = min(near, key=lambda k: abs(items[k].time - due[i].start))
            free.remove(joined[i])
    taken = set(joined.values())
    kept = [(i, None if j in taken else j) for i, j in pairs if i not in joined]
    return [*((i, j) for i, j in kept if (i, j) != (None, None)), *joined.items()]


def is_number(count: Count, state: CounterState) -> bool:
    """Return whether a count shows the number of a state, whatever its target."""
    left = _left(state)
    if count.n is not None:
        return count.n == state.n
    if count.left is not None:
        return count.left == left
    return count.plain in (state.n, left)


def has_wrong_target(count: Count, state: CounterState) -> bool:
    """Return whether a count and a state both name a target, and not the same."""
    return None not in (count.target, state.target) and count.target != state.target


def is_zero(state: CounterState) -> bool:
    """Return whether a state is the "0" before a first rep."""
    return state.n == 0


def _left(state: CounterState) -> int | None:
    """Return what is left of the target, or of what was done where no target was said."""
    if state.left is not None:
        return state.left
    if state.work.performed is None or state.n is None:
        return None
    return max(state.work.performed - state.n, 0)


def _cost(state: CounterState, item: ShownCount) -> float | None:
    """Return what it costs to take a count for a state, or ``None`` where that cannot be."""
    off = abs(item.time - state.start)
    if is_number(item.count, state):
        late = OFF_TIME + OFF_TIME_SECOND * off if off > TOLERANCE else IN_TIME_SECOND * off
        return late + WRONG_TARGET * has_wrong_target(item.count, state) if off <= REACH else None
    if off > WRONG_REACH:
        return None
    return WRONG + WRONG_SECOND * off
