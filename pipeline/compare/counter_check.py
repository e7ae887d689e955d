"""A counter that is already made, held against the counts of a class.

What is due is what the project's own counter shows: each rep's number from the rep's time. What is shown is
laid beside it in order, the cheapest way: a number in its place costs nothing, one that comes early or late a
little, a wrong one more, one that is missing or too many most. The "0" before a first rep is no rep: it may come
early, and is missed only in a counter that shows it at other sets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pipeline.compare.counts import Count, plain_words, read_count
from pipeline.compare.exercise_names import ExerciseNames
from pipeline.compare.onscreen import Shown
from pipeline.compare.shift import find_shift
from pipeline.compare.verdicts import NO_FAULTS, ROUNDING, TOLERANCE, Comparison, Shift, Verdict, VerdictKind
from pipeline.model import Record
from pipeline.publish.counter import LAST_REP, CounterState, counter_states
from pipeline.publish.report_words import LOW_CONFIDENCE

# Costs without a unit, by judgement; what counts is their order.
SKIPPED = 1.0
OFF_TIME, OFF_TIME_SECOND = 0.4, 0.06
WRONG, WRONG_SECOND = 0.9, 0.35
WRONG_TARGET = 0.3

REACH = 10.0
"""Seconds that the right number may be off before it is told as missing here and as too many there."""

TOUCHING = 0.05
"""Seconds between two cues that follow each other without a gap to be seen."""

AROUND = 5
"""Steps to each side of a plain number that tell whether it counts up or down."""

COARSE_SPREAD = 3.0
"""Seconds that a time may be off where the transcript is timed coarsely: of 855 called reps of the annotated
classes, read from a time every twenty seconds, 95 per cent are nearer to where they were said."""

ZERO_SHARE = 0.5
"""Share of the sets before whose first rep a counter has to show "0" for it to be missed at the others."""

WRONG_REACH = 2.0
"""Seconds from a rep within which a wrong number is taken to be meant for it."""


@dataclass(frozen=True, slots=True)
class _Item:
    """A count on the screen, at its time once a shift of the whole file is undone.

    ``goes_on`` says that the count before it is the same and ends here, so it need not be a count of its own.
    """

    shown: Shown
    count: Count
    time: float
    exercise: str
    goes_on: bool = False


def check(record: Record, shown: Sequence[Shown]) -> Comparison:
    """Return the verdicts on a counter."""
    due = [state for state in counter_states(record) if state.n is not None]
    names = ExerciseNames(record)
    items = _items(shown, names)
    shift = find_shift([(item.time, [state.start for state in due if _is_number(item.count, state)]) for item in items])
    items = [replace(item, time=shift.undone(item.time)) for item in items]
    pairs = _aligned(due, items, 0.0)
    zeros = [
        j is not None and _is_number(items[j].count, due[i]) for i, j in pairs if i is not None and _is_zero(due[i])
    ]
    shows_zeros = sum(zeros) >= ZERO_SHARE * len(zeros)
    pairs = _rejoined(_aligned(due, items, SKIPPED) if shows_zeros else pairs, due, items)
    if not shows_zeros:
        pairs = [(i, j) for i, j in pairs if i is None or j is not None or not _is_zero(due[i])]
    verdicts = [_verdict(record, due, items, i, j, shift, names) for i, j in pairs]
    told = [one for one in verdicts if one is not None and not _is_untold(record, shift, one)]
    return Comparison("counter", shift, tuple(sorted(told, key=lambda one: one.time)))


def _is_untold(record: Record, shift: Shift, verdict: Verdict) -> bool:
    """Return whether a count that is too many stands in a set whose reps nobody can tell."""
    time = shift.undone(verdict.time)
    untold = [one for one in record.sets if one.unit == "reps" and not one.reps]
    return verdict.kind == "extra" and any(one.start <= time <= one.end + LAST_REP for one in untold)


def _items(shown: Sequence[Shown], names: ExerciseNames) -> list[_Item]:
    """Return the counts; a text without a number beside them is the exercise while it shows."""
    parted = [(one, *names.part_numbered(one.text)) for one in shown]
    counts = [(one, name, read_count(rest)) for one, name, rest in parted]
    labels = [one for one, _, count in counts if count is None and plain_words(one.text)]
    items: list[_Item] = []
    for one, name, count in counts:
        if count is None:
            continue
        label = next((other.text for other in reversed(labels) if other.start <= one.start < other.end), "")
        item = _Item(one, count, one.start, one.exercise or f"{name} {count.words}".strip() or plain_words(label))
        before = items[-1] if items else None
        same = before is not None and (before.count, before.exercise) == (count, item.exercise)
        goes_on = same and before is not None and abs(one.start - before.shown.end) < TOUCHING
        items.append(replace(item, goes_on=goes_on))
    return _directed(items)


def _directed(items: Sequence[_Item]) -> list[_Item]:
    """Return the items, plain numbers told apart as done or left by whether those around them rise or fall."""
    plain = [item.count.plain for item in items]
    steps = [
        0 if before is None or after is None or abs(after - before) != 1 else after - before
        for before, after in pairwise(plain)
    ]
    directed = []
    for k, item in enumerate(items):
        way = sum(steps[max(k - AROUND, 0) : k + AROUND])
        if item.count.plain is not None and way:
            n, left = (item.count.plain, None) if way > 0 else (None, item.count.plain)
            item = replace(item, count=replace(item.count, n=n, left=left, plain=None))
        directed.append(item)
    return directed


def _is_number(count: Count, state: CounterState) -> bool:
    """Return whether a count shows the number of a state, whatever its target."""
    left = _left(state)
    if count.n is not None:
        return count.n == state.n
    if count.left is not None:
        return count.left == left
    return count.plain in (state.n, left)


def _left(state: CounterState) -> int | None:
    """Return what is left of the target, or of what was done where no target was said."""
    if state.left is not None:
        return state.left
    if state.work.performed is None or state.n is None:
        return None
    return max(state.work.performed - state.n, 0)


def _has_wrong_target(count: Count, state: CounterState) -> bool:
    return None not in (count.target, state.target) and count.target != state.target


def _is_zero(state: CounterState) -> bool:
    return state.n == 0


def _cost(state: CounterState, item: _Item) -> float | None:
    """Return what it costs to take a count for a state, or ``None`` where that cannot be."""
    off = abs(item.time - state.start)
    if _is_number(item.count, state):
        late = OFF_TIME + OFF_TIME_SECOND * off if off > TOLERANCE else 0.1 * off
        return late + WRONG_TARGET * _has_wrong_target(item.count, state) if off <= REACH else None
    if off > WRONG_REACH:
        return None
    return WRONG + WRONG_SECOND * off


def _aligned(
    due: Sequence[CounterState], items: Sequence[_Item], zero_skipped: float
) -> list[tuple[int | None, int | None]]:
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
        row = before + (zero_skipped if _is_zero(state) else SKIPPED)
        near = np.searchsorted(times, [state.start - REACH, state.start + REACH])
        for j in range(int(near[0]), int(near[1])):
            cost = _cost(state, items[j])
            if cost is not None:
                row[j + 1] = min(row[j + 1], before[j] + cost)
        rows.append(np.minimum.accumulate(row - steps) + steps)
    pairs: list[tuple[int | None, int | None]] = []
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


def _rejoined(
    pairs: Sequence[tuple[int | None, int | None]], due: Sequence[CounterState], items: Sequence[_Item]
) -> list[tuple[int | None, int | None]]:
    """Join what is missing to the same number that is too many or wrong elsewhere: it has passed its neighbours."""
    free = {j for i, j in pairs if j is not None and (i is None or not _is_number(items[j].count, due[i]))}
    joined: dict[int, int] = {}
    for i, j in pairs:
        if i is None or j is not None or _is_zero(due[i]):
            continue
        near = [k for k in free if _is_number(items[k].count, due[i]) and abs(items[k].time - due[i].start) <= REACH]
        if near:
            joined[i] = min(near, key=lambda k: abs(items[k].time - due[i].start))
            free.remove(joined[i])
    taken = set(joined.values())
    kept = [(i, None if j in taken else j) for i, j in pairs if i not in joined]
    return [*((i, j) for i, j in kept if (i, j) != (None, None)), *joined.items()]


def _verdict(
    record: Record,
    due: Sequence[CounterState],
    items: Sequence[_Item],
    i: int | None,
    j: int | None,
    shift: Shift,
    names: ExerciseNames,
) -> Verdict | None:
    if i is None:
        assert j is not None
        item = items[j]
        if item.goes_on:
            return None
        return Verdict("extra", item.shown.start, item.shown.text, "", place=item.shown.place)
    state = due[i]
    if j is None:
        return Verdict("missing", round(shift.done(state.start), 3), "", state.text, set=state.set)
    item = items[j]
    off = round(item.time - state.start, 3)
    note = names.fault(item.exercise, state)
    spread = _spread(record, state)
    kind = _kind(state, item.count, off, note, spread)
    return Verdict(
        kind,
        item.shown.start,
        item.shown.text,
        state.text,
        off=off,
        set=state.set,
        place=item.shown.place,
        note="" if kind == "agrees" else _note(record, state, kind, note, spread),
    )


def _note(record: Record, state: CounterState, kind: VerdictKind, exercise: str, spread: float) -> str:
    """Return what a person should know who looks into a verdict."""
    by_clock = state.work.unit == "reps" and not state.called and state.n
    known_to = f", known to {spread:.1f} s" if kind in ("within spread", "early", "late") and spread else ""
    placed = f"a rep placed by the clock{known_to}" if by_clock else ""
    coarse = f"a coarse transcript{known_to}" if known_to and record.source.timing == "coarse" else ""
    notes = (
        exercise if kind == "wrong exercise" else "",
        coarse or placed,
        "the record is unsure of this set" if kind not in NO_FAULTS and state.work.confidence < LOW_CONFIDENCE else "",
    )
    return "; ".join(filter(None, notes))


def _kind(state: CounterState, count: Count, off: float, note: str, spread: float) -> VerdictKind:
    if not _is_number(count, state) or _has_wrong_target(count, state):
        return "wrong number"
    if note:
        return "wrong exercise"
    if abs(off) <= TOLERANCE + ROUNDING or (_is_zero(state) and off < 0):
        return "agrees"
    if abs(off) <= spread + ROUNDING:
        return "within spread"
    return "late" if off > 0 else "early"


def _spread(record: Record, state: CounterState) -> float:
    """Return how far off the time of a state may be, in seconds."""
    own = next((rep.spread for rep in state.work.reps if rep.n == state.n), 0.0)
    return max(own, COARSE_SPREAD) if record.source.timing == "coarse" else own
