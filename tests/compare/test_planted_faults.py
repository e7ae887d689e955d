"""200 faults planted in counters of the annotated classes are all found, and next to nothing else is.

Every fault stands in a stretch of right counts, at least four counts from the next fault. The seed is fixed.
"""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.compare import compare
from pipeline.compare.verdicts import Verdict
from pipeline.model import Record
from tests.compare.onscreen_files import FORMS, Row, rows_of
from tests.publish.example import example_record

CLASSES = ["d01", "d03", "d04", "d06", "d07", "d08", "d09", "d12", "e04", "f03"]
FAULTS_A_CLASS = 20
KINDS = ("wrong number", "shifted", "missing", "extra", "wrong exercise")
LEAST_APART = 4

Fault = tuple[str, float, str]
"""Kind, time in the file, and the text there (of a missing count: what should be there)."""


def planted(rows: list[Row], record: Record, chance: random.Random) -> tuple[list[Row], list[Fault]]:
    """Return rows with faults, and the faults."""
    made: list[Row] = list(rows)
    faults: list[Fault] = []
    steps = len(rows) // FAULTS_A_CLASS
    assert steps >= LEAST_APART
    names = sorted({row.exercise for row in rows})
    spreads = {round(rep.time, 3): rep.spread for one in record.sets for rep in one.reps}
    for number in range(FAULTS_A_CLASS):
        at = number * steps + chance.randrange(steps - LEAST_APART + 1)
        row, kind = rows[at], KINDS[number % len(KINDS)]
        if kind == "wrong number":
            text = row.text.replace(row.text.split()[0], str(int(row.text.split()[0]) + chance.choice((1, 2, 7))), 1)
            made[at] = replace(row, text=text)
            faults.append((kind, row.start, text))
        elif kind == "shifted":
            # What the clock placed may be off by its spread, and nobody can tell.
            by = max(0.6, spreads.get(row.start, 0) + 0.1) + chance.random() * 2
            by = by if chance.random() < 0.5 or row.start < 10 else -by
            made[at] = replace(row, start=round(row.start + by, 3), end=round(row.end + by, 3))
            faults.append(("late" if by > 0 else "early", made[at].start, row.text))
        elif kind == "missing":
            made[at] = replace(row, text="")
            faults.append((kind, row.start, row.text))
        elif kind == "extra":
            start = round(row.start + (row.end - row.start) * 0.5, 3)
            made.append(replace(row, start=start, text="77 / 99"))
            faults.append((kind, start, "77 / 99"))
        else:
            other = chance.choice([name for name in names if not set(name.split()) & set(row.exercise.split())])
            made[at] = replace(row, exercise=other)
            faults.append((kind, row.start, row.text))
    return sorted((row for row in made if row.text), key=lambda row: row.start), faults


def is_told(fault: Fault, verdict: Verdict) -> bool:
    kind, time, text = fault
    seen = verdict.due if kind == "missing" else verdict.shown
    return verdict.kind == kind and abs(verdict.time - time) < 0.02 and text in seen


@pytest.mark.parametrize("name", CLASSES)
def test_all_planted_faults_are_found_and_hardly_anything_else(name: str, tmp_path: Path) -> None:
    record = example_record(name)
    form = sorted(FORMS)[CLASSES.index(name) % len(FORMS)]
    rows, faults = planted(rows_of(record), record, random.Random(name))
    path = tmp_path / f"counter.{form}"
    path.write_text(FORMS[form](rows), "utf-8")
    told = compare(record, path)
    assert told.kind == "counter"
    assert told.shift.is_none
    missed = [fault for fault in faults if not any(is_told(fault, one) for one in told.faults)]
    assert missed == []
    false = [one for one in told.faults if not any(is_told(fault, one) for fault in faults)]
    assert len(false) <= 1, false


def test_the_faults_are_200() -> None:
    assert len(CLASSES) * FAULTS_A_CLASS == 200
