"""Faults planted in a counter that is right: where, of which kind, and whether a comparison tells them.

Every fault stands in a stretch of right counts, at least four counts from the next fault.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.compare.counter_check import COARSE_SPREAD
from pipeline.compare.exercise_names import NAMELESS
from pipeline.compare.verdicts import Verdict
from pipeline.model import Record
from pipeline.publish.counter import counter_states
from tests.compare.onscreen_files import Row

KINDS = ("wrong number", "shifted", "missing", "extra", "wrong exercise")
LEAST_APART = 4


@dataclass(frozen=True)
class Fault:
    """A fault at a time of the file (seconds); ``text`` is what stands there, or should where it is missing."""

    kind: str
    time: float
    text: str

    def is_told(self, verdicts: Sequence[Verdict]) -> bool:
        return any(self.is_told_by(one) for one in verdicts)

    def is_told_by(self, verdict: Verdict) -> bool:
        seen = verdict.due if self.kind == "missing" else verdict.shown
        return verdict.kind == self.kind and abs(verdict.time - self.time) < 0.02 and self.text in seen


def planted(rows: Sequence[Row], record: Record, chance: random.Random, number: int) -> tuple[list[Row], list[Fault]]:
    """Return rows with so many faults, and the faults."""
    made: list[Row] = list(rows)
    faults: list[Fault] = []
    steps = len(rows) // number
    assert steps >= LEAST_APART
    zeros = {one.start for one in counter_states(record) if one.n == 0}
    names = sorted({row.exercise for row in rows})
    for place in range(number):
        at = place * steps + chance.randrange(steps - LEAST_APART + 1)
        row, kind = rows[at], KINDS[place % len(KINDS)]
        others = [name for name in names if not set(name.split()) & set(row.exercise.split())]
        if kind == "shifted" and row.start in zeros:
            # A "0" may come early, and how late it is the first rep bounds.
            kind = "missing"
        if kind == "wrong exercise" and (not others or row.exercise.lower() in NAMELESS):
            # Where the class itself gives no name, nobody can tell that another is wrong.
            kind = "wrong number"
        if kind == "wrong number":
            said = row.text.split()[0]
            text = row.text.replace(said, str(int(said) + chance.choice((1, 2, 7))), 1)
            made[at] = replace(row, text=text)
            faults.append(Fault(kind, row.start, text))
        elif kind == "shifted":
            # What is not known better than its spread may be off by that, and nobody can tell.
            by = max(0.6, spread_at(record, row.start) + 0.1) + chance.random() * 2
            by = by if chance.random() < 0.5 or row.start < 10 else -by
            made[at] = replace(row, start=round(row.start + by, 3), end=round(row.end + by, 3))
            faults.append(Fault("late" if by > 0 else "early", made[at].start, row.text))
        elif kind == "missing":
            made[at] = replace(row, text="")
            faults.append(Fault(kind, row.start, row.text))
        elif kind == "extra":
            start = round(row.start + (row.end - row.start) * 0.5, 3)
            made.append(replace(row, start=start, text="77 / 99"))
            faults.append(Fault(kind, start, "77 / 99"))
        else:
            made[at] = replace(row, exercise=chance.choice(others))
            faults.append(Fault(kind, row.start, row.text))
    return sorted((row for row in made if row.text), key=lambda row: row.start), faults


def spread_at(record: Record, time: float) -> float:
    own = max((rep.spread for one in record.sets for rep in one.reps if abs(rep.time - time) < 0.002), default=0.0)
    return max(own, COARSE_SPREAD) if record.source.timing == "coarse" else own
