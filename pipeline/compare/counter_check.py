"""A counter that is already made, held against the counts of a class.

What is due is what the project's own counter shows: each rep's number from the rep's time. What is shown is
laid beside it (``counter_matching``), and each pair gets a verdict. The "0" before a first rep is no rep: it may
come early, and is missed only in a counter that shows it at other sets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.compare.counter_matching import (
    SKIPPED,
    ShownCount,
    align,
    has_wrong_target,
    is_number,
    is_zero,
    rejoin,
)
from pipeline.compare.counts import Count, plain_words, read_count
from pipeline.compare.exercise_names import ExerciseNames
from pipeline.compare.onscreen import Shown
from pipeline.compare.shift import find_shift
from pipeline.compare.verdicts import NO_FAULTS, ROUNDING, TOLERANCE, Comparison, Shift, Verdict, VerdictKind
from pipeline.model import Record
from pipeline.publish.counter import LAST_REP, CounterState, counter_states
from pipeline.publish.report_words import LOW_CONFIDENCE

TOUCHING = 0.05
"""Seconds between two cues that follow each other without a gap to be seen."""

AROUND = 5
"""Steps to each side of a plain number that tell whether it counts up or down."""

COARSE_SPREAD = 3.0
"""Seconds that a time may be off where the transcript is timed coarsely: of 855 called reps of the annotated
classes, read from a time every twenty seconds, 95 per cent are nearer to where they were said."""

ZERO_SHARE = 0.5
"""Share of the sets before whose first rep a counter has to show "0" for it to be missed at the others."""


def check(record: Record, shown: Sequence[Shown]) -> Comparison:
    """Return the verdicts on a counter."""
    due = [state for state in counter_states(record) if state.n is not None]
    names = ExerciseNames(record)
    items = _items(shown, names)
    shift = find_shift([(item.time, [state.start for state in due if is_number(item.count, state)]) for item in items])
    items = [replace(item, time=shift.undone(item.time)) for item in items]
    pairs = align(due, items, 0.0)
    zeros = [j is not None and is_number(items[j].count, due[i]) for i, j in pairs if i is not None and is_zero(due[i])]
    shows_zeros = sum(zeros) >= ZERO_SHARE * len(zeros)
    pairs = rejoin(align(due, items, SKIPPED) if shows_zeros else pairs, due, items)
    if not shows_zeros:
        pairs = [(i, j) for i, j in pairs if i is None or j is not None or not is_zero(due[i])]
    verdicts = [_verdict(record, due, items, i, j, shift, names) for i, j in pairs]
    told = [one for one in verdicts if one is not None and not _is_untold(record, shift, one)]
    return Comparison("counter", shift, tuple(sorted(told, key=lambda one: one.time)))


def _is_untold(record: Record, shift: Shift, verdict: Verdict) -> bool:
    """Return whether a count that is too many stands in a set whose reps nobody can tell."""
    time = shift.undone(verdict.time)
    untold = [one for one in record.sets if one.unit == "reps" and not one.reps]
    return verdict.kind == "extra" and any(one.start <= time <= one.end + LAST_REP for one in untold)


def _items(shown: Sequence[Shown], names: ExerciseNames) -> list[ShownCount]:
    """Return the counts; a text without a number beside them is the exercise while it shows."""
    parted = [(one, *names.part_numbered(one.text)) for one in shown]
    counts = [(one, name, read_count(rest)) for one, name, rest in parted]
    labels = [one for one, _, count in counts if count is None and plain_words(one.text)]
    items: list[ShownCount] = []
    for one, name, count in counts:
        if count is None:
            continue
        label = next((other.text for other in reversed(labels) if other.start <= one.start < other.end), "")
        item = ShownCount(one, count, one.start, one.exercise or f"{name} {count.words}".strip() or plain_words(label))
        before = items[-1] if items else None
        same = before is not None and (before.count, before.exercise) == (count, item.exercise)
        goes_on = same and before is not None and abs(one.start - before.shown.end) < TOUCHING
        items.append(replace(item, goes_on=goes_on))
    return _directed(items)


def _directed(items: Sequence[ShownCount]) -> list[ShownCount]:
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


def _verdict(
    record: Record,
    due: Sequence[CounterState],
    items: Sequence[ShownCount],
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
    if not is_number(count, state) or has_wrong_target(count, state):
        return "wrong number"
    if note:
        return "wrong exercise"
    if abs(off) <= TOLERANCE + ROUNDING or (is_zero(state) and off < 0):
        return "agrees"
    if abs(off) <= spread + ROUNDING:
        return "within spread"
    return "late" if off > 0 else "early"


def _spread(record: Record, state: CounterState) -> float:
    """Return how far off the time of a state may be, in seconds."""
    own = next((rep.spread for rep in state.work.reps if rep.n == state.n), 0.0)
    return max(own, COARSE_SPREAD) if record.source.timing == "coarse" else own
