"""Checks of the count: numbers left out or used twice, and targets missed."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from pipeline.audit.doubt import (
    UNLIKELY,
    between_steady_calls,
    called,
    doubtful,
    meant_to_reach_target,
    room_after,
    said_in_time,
)
from pipeline.audit.evidence import Class, Mismatch, Place, count_of, name
from pipeline.audit.settings import Settings
from pipeline.model import Finding, Number, WorkSet

#: How sure a plain miscount is.
SURE = 0.85


def skipped_count(one: Class, settings: Settings) -> Iterator[Finding]:
    """The called numbers jump over one although the clock leaves time for no rep there.

    A sparse count is no mistake: between two calls the clock has to be short by over half a rep
    (``counting.marks.OVERRULE``), and the calls around them have to keep the beat.
    """
    if not one.fine:
        return
    for index in range(len(one.sets)):
        calls = called(one, index)
        for place, ((a, rep_a), (b, rep_b)) in enumerate(itertools.pairwise(calls), 1):
            missing = int((b.n or 0) - (a.n or 0)) - (rep_b - rep_a)
            if missing >= 1:
                said = f"{a.n:.0f}, then {b.n:.0f}"
                sure = 0.9 if between_steady_calls(one, index, place, settings) else UNLIKELY
                yield one.finding(
                    "skipped-count",
                    Place(b.time, index, b.words),
                    Mismatch(
                        said,
                        f"{b.n - missing:.0f}" if b.n else "",
                        f"After {a.n:.0f} comes {b.n:.0f}, but the clock leaves no time for a rep between them.",
                    ),
                    sure * min(one.count_confidence(index), a.confidence, b.confidence),
                )


def repeated_count(one: Class, settings: Settings) -> Iterator[Finding]:
    """One number is called for two different reps: said again a whole rep later, not in a stutter.

    The calls around it have to keep the beat; two calls of one number half a minute apart begin a count anew.
    """
    if not one.fine:
        return
    for index in range(len(one.sets)):
        calls = called(one, index)
        for place, ((a, rep_a), (b, rep_b)) in enumerate(itertools.pairwise(calls), 1):
            if a.n == b.n and (b.n or 0) > 1 and rep_b > rep_a:  # "one" again starts a count anew
                sure = 0.9 if between_steady_calls(one, index, place, settings) else UNLIKELY
                yield one.finding(
                    "repeated-count",
                    Place(b.time, index, b.words),
                    Mismatch(
                        f"{b.n:.0f} twice",
                        f"{(b.n or 0) + 1:.0f}",
                        f"{b.n:.0f} is called for two different reps.",
                    ),
                    sure * min(one.count_confidence(index), a.confidence, b.confidence),
                )


def over_or_under_target(one: Class, settings: Settings) -> Iterator[Finding]:
    """More or fewer reps were done than announced for the set.

    The count has to keep its beat, to miss the number by a rep or two at most (``miscount_reps``), and to leave no
    time for the missing ones at its end (``room_share``).
    """
    for index, work in enumerate(one.sets):
        if work.unit != "reps" or work.target is None or work.performed is None or work.target == work.performed:
            continue
        if not one.fine and not (work.performed > work.target and _counted_out(one, index, work)):
            continue  # coarse stamps may cut a set short, but they add nothing to it
        over = work.performed > work.target
        may_be_done = not over and (
            work.target - work.performed <= room_after(one, index, settings)
            or meant_to_reach_target(one, index, work)
            or said_in_time(one, work, work.target)
        )
        meant = _meant_all_of_it(one, index, work)
        sure = UNLIKELY if may_be_done or meant or doubtful(one, index, settings) else SURE
        last = _last_call(one, index)
        yield one.finding(
            "over-target" if over else "under-target",
            Place(last.time if last else work.end, index, last.words if last else work.words),
            Mismatch(
                count_of(work.target, "rep"),
                count_of(work.performed, "rep"),
                f"{count_of(work.performed, 'rep')} done, {work.target} announced ({name(work)}).",
            ),
            sure * one.count_confidence(index),
        )


def _meant_all_of_it(one: Class, index: int, work: WorkSet) -> bool:
    """Tell whether what was said to be left came to what was done, more than once, before as many were announced.

    Who says "two left" after eight and "last one" after nine means ten: the nine was announced of something else.
    """
    lefts = one.said_in(index, "left")
    done = [sum(1 for rep in work.reps if rep.time <= left.time + 0.05) for left in lefts]
    agree = [k for k, left in zip(done, lefts, strict=True) if k + (left.n or 0) == work.performed]
    return len(agree) >= 2 and agree[0] < (work.target or 0) < (work.performed or 0)


def _counted_out(one: Class, index: int, work: WorkSet) -> bool:
    """Tell whether the last number called is what was done, so that no estimated time is needed to know it."""
    calls = one.said_in(index, "rep")
    return bool(calls) and calls[-1].n == work.performed


def _last_call(one: Class, index: int) -> Number | None:
    calls = one.said_in(index, "rep") + one.said_in(index, "left")
    return max(calls, key=lambda number: number.time, default=None)
