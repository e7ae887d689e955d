"""The check of what is said to be left: "two more", "last one", and then another number is done."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from math import sqrt

from pipeline.audit.doubt import UNLIKELY, called, keeps_beat, meant_to_reach_target, on_beat, said_in_time
from pipeline.audit.evidence import Class, Mismatch, Place, plain
from pipeline.audit.settings import Settings
from pipeline.model import Finding, Number, WorkSet

#: How sure the check is at best.
SURE = 0.85
#: Where more or fewer reps than this were done after what was said to be left, a number was misread.
FAR_REPS = 3
#: Words that sound like a number, or mean one by the way; where such a one contradicts the count, it was none.
HARDLY_A_NUMBER = frozenset({"for", "to", "too", "both"})
#: Two numbers said within this share of a rep are one call and its correction.
CORRECTED = 0.5
#: Beside a number these say that it is what is left.
SPELT_OUT = frozenset({"last", "final", "more", "left", "remaining", "only", "just"})
#: Seconds counted aloud inside a rep follow each other this closely (s).
CHANTED = 1.2
#: A rep that nobody called may not be done yet, this share of a rep after the clock has it.
JUST_DONE = 0.2


def remaining_mismatch(one: Class, settings: Settings) -> Iterator[Finding]:
    """ "Two more" or "last one", and then a different number is done, or it contradicts the count.

    What is left counts the coming rep; said shortly before a rep is done (``call_early`` of a rep) it may mean
    the reps after that one. Calls that count down to the end in step agree with each other: there the reps were
    misread, not the presenter wrong.
    """
    for index, work in enumerate(one.sets):
        if work.performed is None or work.unit != "reps" or (not one.fine and work.performed != work.target):
            continue
        lefts = one.said_in(index, "left")
        for k, call in enumerate(lefts):
            if call.n is None or (not one.fine and call.n < 2):
                continue  # with coarse stamps nobody can tell whether "last one" is said before or after its number
            if _slipped(one, lefts, k, work) or _chanted(one, call) or _stray(one, lefts, k, work, settings):
                continue
            if any(_counts_on(one, call, later, work, settings) for later in lefts[k + 1 : k + 3]):
                continue
            after = _done_after(one, index, work, call, settings)
            later = next((x for x in lefts[k + 1 :] if x.n is not None and call.n < x.n <= call.n + FAR_REPS), None)
            if later is None and (after is None or call.n in after):
                continue
            done = max(after) if after else int((later.n if later else None) or 0)
            sure = _remaining_sure(one, index, call, done, settings)
            yield one.finding(
                "remaining-mismatch",
                Place(call.time, index, call.words),
                Mismatch(
                    f"{call.n:.0f} left",
                    f"{done} left",
                    f'"{call.text.strip(".,;:!?")}" is called with {call.n:.0f} to go, and {done} are done after it.',
                ),
                sure * min(one.count_confidence(index), call.confidence),
            )
            break


def _remaining_sure(one: Class, index: int, call: Number, done: int, settings: Settings) -> float:
    work = one.sets[index]
    a_number = plain(call.text) not in HARDLY_A_NUMBER
    near = done > 0 and abs(done - (call.n or 0)) <= FAR_REPS
    steady = keeps_beat(one, index, settings)
    as_announced = work.target is None or abs(work.target - (work.performed or 0)) <= settings.miscount_reps
    meant = (work.performed or 0) - done + int(call.n or 0)
    cut_short = done < (call.n or 0) and (meant_to_reach_target(one, index, work) or said_in_time(one, work, meant))
    return SURE if a_number and near and steady and as_announced and not cut_short else UNLIKELY


def _slipped(one: Class, lefts: Sequence[Number], k: int, work: WorkSet) -> bool:
    """Tell whether a bare number is said in one breath with another one: one of the two was a slip of the tongue."""
    call, breath = lefts[k], CORRECTED * (work.pace or 0.0)
    if _spelt_out(one, call):
        return False
    return any(
        abs(other.time - call.time) < breath and other.n != call.n
        for other in (*lefts[max(0, k - 1) : k], *lefts[k + 1 : k + 2])
    )


def _spelt_out(one: Class, call: Number) -> bool:
    """Tell "last two" and "two more" from a bare "two"."""
    first, stop = max(0, call.words[0] - 1), call.words[1] + 1
    return not SPELT_OUT.isdisjoint(plain(word.text) for word in one.transcript.words[first:stop])


def _counts_on(one: Class, call: Number, later: Number, work: WorkSet, settings: Settings) -> bool:
    """Tell whether a later call of what is left comes as many reps later as it says fewer."""
    fewer = int((call.n or 0) - (later.n or 0))
    if fewer < 1:
        return False
    if not one.fine or not work.pace:
        return True
    return abs((later.time - call.time) / work.pace - fewer) <= settings.beat_share * sqrt(fewer)


def _stray(one: Class, lefts: Sequence[Number], k: int, work: WorkSet, settings: Settings) -> bool:
    """Tell whether a bare number stands in a countdown that goes on over it: it was said of something else."""
    if not 0 < k < len(lefts) - 1 or _spelt_out(one, lefts[k]):
        return False
    return _counts_on(one, lefts[k - 1], lefts[k + 1], work, settings)


def _chanted(one: Class, call: Number) -> bool:
    """Tell whether a bare number stands in a chant of seconds: one of its neighbours, a second away, is one."""
    return call.value is not None and any(
        other.set == call.set and other.role in {"hold", "tempo"} and 0.0 < abs(other.time - call.time) <= CHANTED
        for other in one.numbers
    )


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
    between = _done_by_beat(one, index, work.pace, call.time, settings)
    if between is not None:
        return {performed - done for done in between}
    done = len(reps_before)
    out = {performed - done}
    coming = next((rep for rep in work.reps if rep.time > call.time + 0.05), None)
    if coming is not None and coming.time - call.time < settings.call_early * work.pace:
        out.add(performed - done - 1)
    if reps_before and call.time - reps_before[-1].time < JUST_DONE * work.pace and not reps_before[-1].called:
        out.add(performed - done + 1)
    return out


def _done_by_beat(one: Class, index: int, pace: float, time: float, settings: Settings) -> set[int] | None:
    """Return how many reps may be done at a moment between two called ones, or ``None``.

    Reps that nobody called are laid on the clock by what is said to be left as well, and so cannot contradict it:
    only the beat that all called ones keep can.
    """
    calls = called(one, index)
    before = [(number, rep) for number, rep in calls if number.time <= time]
    after = [(number, rep) for number, rep in calls if number.time > time]
    steady = all(on_beat(a, b, pace, settings.beat_share) for a, b in itertools.pairwise(calls))
    if not before or not after or not steady:
        return None
    (first, rep), (second, later) = before[-1], after[0]
    done = rep + (time - first.time) / (second.time - first.time) * (later - rep)
    whole = int(done)
    out = {whole}
    if done - whole > 1 - settings.call_early:
        out.add(whole + 1)
    if done - whole < JUST_DONE and whole > rep:
        out.add(whole - 1)
    return out
