"""Runs of numbers that step evenly in time: "one … two … four" up, "five, four, three" down.

Before anything is known about what numbers mean, a run is strong evidence: a number with a partner one higher,
one step of the set's pace later, is counted aloud. A run may leave numbers out (sparse calls) as long as the
clock leaves them their time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.mentions.numbers import NumberMention

#: A step of a run takes this many seconds a count: below, it is a list read out; above, two separate things.
FASTEST, SLOWEST = 0.25, 9.5
#: Two steps of one run may differ in pace by this factor (timed words or captions; coarse stamps).
STEADY, COARSE_STEADY = 1.75, 4.0
#: A run is not carried over a silence of numbers longer than this many seconds.
LONGEST_GAP = 40.0
#: A called number may leave out at most this many in a row.
MOST_LEFT_OUT = 7
#: How many mentions back a partner is looked for.
REACH = 14


@dataclass(frozen=True, slots=True)
class Run:
    """The best run through a number, looking one way in time.

    ``length`` counts the numbers including this one, ``pace`` is seconds a count (0 for a run of one), ``far``
    the value at the far end, ``far_index`` its place in the list of numbers.
    """

    length: int
    pace: float
    far: float
    far_index: int


def find_runs(numbers: Sequence[NumberMention], step: int, coarse: bool) -> tuple[list[Run], list[Run]]:
    """Find for every number the longest run that ends there and the longest that starts there.

    ``step`` is +1 for runs that count up, -1 for down. Returns (runs before, runs after), one each a number.
    """
    return _sweep(numbers, step, coarse), _sweep_after(numbers, step, coarse)


def _sweep(numbers: Sequence[NumberMention], step: int, coarse: bool) -> list[Run]:
    steady = COARSE_STEADY if coarse else STEADY
    countable = [_countable(one) for one in numbers]
    best: list[Run] = []
    for i, one in enumerate(numbers):
        chosen = Run(1, 0.0, one.value, i)
        if countable[i]:
            for j in range(i - 1, max(-1, i - 1 - REACH), -1):
                other = numbers[j]
                elapsed = one.time - other.time
                if elapsed > LONGEST_GAP:
                    break
                if not countable[j] or best[j].length < chosen.length:
                    continue  # joined to it, no run gets longer
                chosen = _join(best[j], (one.value - other.value) * step, elapsed, steady) or chosen
        best.append(chosen)
    return best


def _sweep_after(numbers: Sequence[NumberMention], step: int, coarse: bool) -> list[Run]:
    steady = COARSE_STEADY if coarse else STEADY
    count = len(numbers)
    countable = [_countable(one) for one in numbers]
    best = [Run(1, 0.0, one.value, i) for i, one in enumerate(numbers)]
    for i in range(count - 1, -1, -1):
        one = numbers[i]
        if not countable[i]:
            continue
        for j in range(i + 1, min(count, i + 1 + REACH)):
            other = numbers[j]
            elapsed = other.time - one.time
            if elapsed > LONGEST_GAP:
                break
            if not countable[j] or best[j].length < best[i].length:
                continue
            best[i] = _join(best[j], (other.value - one.value) * step, elapsed, steady) or best[i]
    return best


def _join(run: Run, steps: float, elapsed: float, steady: float) -> Run | None:
    if not 1 <= steps <= MOST_LEFT_OUT:
        return None
    pace = elapsed / steps
    if not FASTEST <= pace <= SLOWEST:
        return None
    if run.length > 1:
        if not run.pace / steady <= pace <= run.pace * steady:
            return None
        pace = (run.pace * (run.length - 1) + pace) / run.length
    return Run(run.length + 1, pace, run.far, run.far_index)


def _countable(one: NumberMention) -> bool:
    return one.form in {"word", "figure", "soundalike", "last", "more"} and one.value == int(one.value)
