"""Checks of the count: numbers left out or used twice, targets missed, and what was said to be left."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from pipeline.audit.evidence import Class, count_of, name
from pipeline.audit.settings import Settings
from pipeline.model import Finding, Number, WorkSet

#: How sure a plain miscount is; and one so large (as a share of what was announced, or this many reps more or
#: fewer than were said to be left) that a misread number is the likelier story.
SURE, UNLIKELY = 0.85, 0.28
FAR, FAR_REPS = 0.34, 3


def _called(one: Class, index: int) -> list[tuple[Number, int]]:
    """Return each called number of a set with the rep that it stands for by the clock."""
    rep_at = {round(rep.time, 3): rep.n for rep in one.sets[index].reps if rep.called}
    return [
        (number, rep_at[round(number.time, 3)])
        for number in one.said_in(index, "rep")
        if round(number.time, 3) in rep_at and number.n is not None
    ]


def skipped_count(one: Class, settings: Settings) -> Iterator[Finding]:
    """The called numbers jump over one although the clock leaves time for no rep there.

    A sparse count is no mistake: between two calls the clock has to be short by over half a rep
    (``counting.count.OVERRULE``), and the set's other calls have to agree on the pace.
    """
    if not one.fine:
        return
    for index in range(len(one.sets)):
        calls = _called(one, index)
        for (a, rep_a), (b, rep_b) in itertools.pairwise(calls):
            missing = int((b.n or 0) - (a.n or 0)) - (rep_b - rep_a)
            if missing >= 1:
                said = f"{a.n:.0f}, then {b.n:.0f}"
                yield one.finding(
                    "skipped-count", b.time, index, said, f"{b.n - missing:.0f}" if b.n else "",
                    f"After {a.n:.0f} comes {b.n:.0f}, but the clock leaves no time for a rep between them.",
                    0.9 * min(one.sets[index].confidence, a.confidence, b.confidence), b.words,
                )  # fmt: skip


def repeated_count(one: Class, settings: Settings) -> Iterator[Finding]:
    """One number is called for two different reps: said again a whole rep later, not in a stutter."""
    if not one.fine:
        return
    for index in range(len(one.sets)):
        calls = _called(one, index)
        for (a, rep_a), (b, rep_b) in itertools.pairwise(calls):
            if a.n == b.n and (b.n or 0) > 1 and rep_b > rep_a:  # "one" again starts a count anew
                yield one.finding(
                    "repeated-count", b.time, index, f"{b.n:.0f} twice", f"{(b.n or 0) + 1:.0f}",
                    f"{b.n:.0f} is called for two different reps.",
                    0.9 * min(one.sets[index].confidence, a.confidence, b.confidence), b.words,
                )  # fmt: skip


def over_or_under_target(one: Class, settings: Settings) -> Iterator[Finding]:
    """More or fewer reps were done than announced for the set."""
    for index, work in enumerate(one.sets):
        if work.unit != "reps" or work.target is None or work.performed is None or work.target == work.performed:
            continue
        if not one.fine and not (work.performed > work.target and _counted_out(one, index, work)):
            continue  # coarse stamps may cut a set short, but they add nothing to it
        over = work.performed > work.target
        far = abs(work.performed - work.target) / max(work.target, 1)
        sure = SURE if far <= FAR else UNLIKELY
        last = _last_call(one, index)
        yield one.finding(
            "over-target" if over else "under-target", last.time if last else work.end, index,
            count_of(work.target, "rep"), count_of(work.performed, "rep"),
            f"{count_of(work.performed, 'rep')} done, {work.target} announced ({name(work)}).",
            sure * work.confidence, last.words if last else work.words,
        )  # fmt: skip


def _counted_out(one: Class, index: int, work: WorkSet) -> bool:
    """Tell whether the last number called is what was done, so that no estimated time is needed to know it."""
    calls = one.said_in(index, "rep")
    return bool(calls) and calls[-1].n == work.performed


def _last_call(one: Class, index: int) -> Number | None:
    calls = one.said_in(index, "rep") + one.said_in(index, "left")
    return max(calls, key=lambda number: number.time, default=None)


def remaining_mismatch(one: Class, settings: Settings) -> Iterator[Finding]:
    """ "Two more" or "last one", and then a different number is done, or it contradicts the count.

    What is left counts the coming rep; said shortly before a rep is done (``call_early`` of a rep) it may mean
    the reps after that one.
    """
    for index, work in enumerate(one.sets):
        if work.performed is None or work.unit != "reps" or (not one.fine and work.performed != work.target):
            continue
        lefts = one.said_in(index, "left")
        reported = False
        for k, call in enumerate(lefts):
            if reported or call.n is None or (not one.fine and call.n < 2):
                continue  # with coarse stamps nobody can tell whether "last one" is said before or after its number
            after = _done_after(one, index, work, call, settings)
            later = next((x for x in lefts[k + 1 :] if x.time - call.time > 0.8), None)
            against = later is not None and later.n is not None and later.n > call.n
            if (after is not None and call.n not in after) or against:
                done = max(after) if after else int(later.n or 0) if later else 0
                sure = SURE if done > 0 and abs(done - call.n) <= FAR_REPS else UNLIKELY
                yield one.finding(
                    "remaining-mismatch", call.time, index, f"{call.n:.0f} left", f"{done} left",
                    f'"{call.text.strip(".,;:!?")}" is called with {call.n:.0f} to go, and {done} are done after it.',
                    sure * min(work.confidence, call.confidence), call.words,
                )  # fmt: skip
                reported = True


def _done_after(one: Class, index: int, work: WorkSet, call: Number, settings: Settings) -> set[int] | None:
    """Return how many reps may have been done after a call of what is left; ``None`` where nobody can tell."""
    performed = work.performed or 0
    before = [number for number in one.said_in(index, "rep") if number.time <= call.time and number.n is not None]
    last = before[-1] if before else None
    reps_before = [rep for rep in work.reps if rep.time <= call.time + 0.05]
    if last is not None and last.words[1] >= call.words[0] - 6 and call.time - last.time < 0.75 * (work.pace or 3.0):
        rep = next((r.n for r in work.reps if r.called and abs(r.time - last.time) < 0.01), None)
        if rep is None:
            return None
        return {performed - rep}
    if not one.fine or work.pace is None:
        return None
    done = len(reps_before)
    out = {performed - done}
    coming = next((rep for rep in work.reps if rep.time > call.time + 0.05), None)
    if coming is not None and coming.time - call.time < settings.call_early * work.pace:
        out.add(performed - done - 1)
    if reps_before and call.time - reps_before[-1].time < 0.2 * work.pace and not reps_before[-1].called:
        out.add(performed - done + 1)
    return out
