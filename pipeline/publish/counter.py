"""The on-screen counter: what it shows and when; ``counter_webvtt`` and its neighbours write it.

The picture shows the reps done, not the numbers said: each rep's own number from the moment it is done. So a
presenter's slip is never on the picture; what does not add up is flagged beside it, for the editor. A set of
seconds counts its whole seconds. Where nobody can tell the reps, the announced number stands alone. Where a
presenter mostly counts down, the counter says what is left.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from pipeline.model import FindingKind, Record, WorkSet
from pipeline.publish.report_words import which_text

LAST_REP = 1.5
"""Seconds that the last count of a set stays, long enough to be read; by judgement."""


@dataclass(frozen=True, slots=True)
class CounterState:
    """What the counter shows from ``start`` to ``end`` (seconds).

    ``set`` is the place of the set ``work`` in the record, from 0. ``n`` is the rep just done (0 from the
    start of the set to its first rep), or the whole seconds gone by; ``None`` where nobody can tell. ``called``
    tells a spoken number from one placed by the clock (in a set of seconds: a second or time was called in this
    second). ``down`` says that the count shows what is left. ``findings`` are the kinds of what does not add up
    at this count.
    """

    start: float
    end: float
    set: int
    work: WorkSet
    n: int | None
    called: bool
    down: bool
    findings: tuple[FindingKind, ...]

    @property
    def target(self) -> int | None:
        """What was announced for the set, in its unit."""
        return self.work.target

    @property
    def left(self) -> int | None:
        """What is still to do of the target, never below 0."""
        return None if self.target is None or self.n is None else max(self.target - self.n, 0)

    @property
    def text(self) -> str:
        """The count as the picture shows it: ``7 / 12``, ``5 left``, ``12 / 30 s``, ``7``, ``12 reps``."""
        unit = " s" if self.work.unit == "seconds" else ""
        if self.n is None:
            return f"{self.target}{unit or ' reps'}"
        if self.target is None:
            return f"{self.n}{unit}"
        # Past the target nothing is left, and "0 left" would hide the reps done over it.
        if self.down and self.n <= self.target:
            return f"{self.left}{unit} left"
        return f"{self.n} / {self.target}{unit}"

    @property
    def heading(self) -> str:
        """The exercise as a heading."""
        return self.work.exercise_name[:1].upper() + self.work.exercise_name[1:]

    @property
    def details(self) -> str:
        """Side, range and round: ``left, round 2``; empty where the class has none of them."""
        return which_text(self.work)


def counter_states(record: Record) -> tuple[CounterState, ...]:
    """Return what the counter shows in rising order of time, none over another; between sets there is none.

    The shortest stretch is a millisecond, the finest time of the formats; the last count of a set stays for
    ``LAST_REP`` seconds where nothing follows sooner.
    """
    order = sorted(range(len(record.sets)), key=lambda index: record.sets[index].start)
    states: list[CounterState] = []
    for place, index in enumerate(order):
        one = record.sets[index]
        limit = record.sets[order[place + 1]].start if place + 1 < len(order) else float("inf")
        counts = list(_seconds(record, index) if one.unit == "seconds" else _reps(one))
        down = _counts_down(record, index)
        flags = _flags(record, index, [time for time, _, _ in counts])
        for i, (time, n, called) in enumerate(counts):
            end = counts[i + 1][0] if i + 1 < len(counts) else max(one.end, time + LAST_REP)
            start, end = round(time, 3), round(min(end, limit), 3)
            if end > start and (n is not None or one.target is not None):
                states.append(CounterState(start, end, index, one, n, called, down, flags[i]))
    return tuple(_clipped(sorted(states, key=lambda state: state.start)))


def _clipped(states: Sequence[CounterState]) -> Iterator[CounterState]:
    """Yield the states of a rising order, none over another: a first rep may be placed before its set is called."""
    for one, after in zip_longest(states, states[1:]):
        end = min(one.end, after.start) if after else one.end
        if end > one.start:
            yield replace(one, end=end)


def _reps(one: WorkSet) -> Iterator[tuple[float, int | None, bool]]:
    """Yield time, number and whether it was called, of the set's start and of each rep."""
    reps = sorted(one.reps, key=lambda rep: rep.time)
    if not reps:
        yield one.start, None, False
    elif reps[0].time > one.start:
        yield one.start, 0, False
    for rep in reps:
        yield rep.time, rep.n, rep.called


def _seconds(record: Record, index: int) -> Iterator[tuple[float, int | None, bool]]:
    """Yield each whole second of a timed set, from 0; a last part of a second belongs to the one before."""
    one = record.sets[index]
    spoken = {
        int(number.time - one.start)
        for number in record.numbers
        if number.set == index and number.role in {"hold", "clock", "half"} and number.time >= one.start
    }
    length = int(round(one.end - one.start, 3))
    for n in range(max(length, 1)):
        yield one.start + n, n, n in spoken
    if length:
        yield one.start + length, length, length in spoken


def _counts_down(record: Record, index: int) -> bool:
    """Return whether more numbers of a set say what is left than what is done."""
    roles = [number.role for number in record.numbers if number.set == index]
    return roles.count("left") > roles.count("rep")


def _flags(record: Record, index: int, times: list[float]) -> list[tuple[FindingKind, ...]]:
    """Return the kinds of finding of each count of a set: those from its time to the next count's."""
    flags: list[list[FindingKind]] = [[] for _ in times]
    for finding in sorted(record.findings, key=lambda finding: finding.time):
        if finding.set == index:
            place = max((i for i, time in enumerate(times) if time <= finding.time), default=0)
            flags[place].append(finding.kind)
    return [tuple(kinds) for kinds in flags]
