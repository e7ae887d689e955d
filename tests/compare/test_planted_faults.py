"""200 faults planted in counters of the annotated classes are all found, and next to nothing else is.

The seed is fixed. ``python -m tests.compare.measure`` plants far more, in every form of every class.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from pipeline.compare import compare
from tests.compare.onscreen_files import FORMS, rows_of
from tests.compare.planting import planted
from tests.publish.records import record_of

CLASSES = ["d01", "d03", "d04", "d06", "d07", "d08", "d09", "d12", "e04", "f03"]
FAULTS_A_CLASS = 20


@pytest.mark.parametrize("zeros", [False, True])
@pytest.mark.parametrize("name", CLASSES)
def test_all_planted_faults_are_found_and_hardly_anything_else(name: str, zeros: bool, tmp_path: Path) -> None:
    record = record_of(f"{name} gold")
    form = sorted(FORMS)[CLASSES.index(name) % len(FORMS)]
    rows, faults = planted(rows_of(record, zeros), record, random.Random(name), FAULTS_A_CLASS)
    path = tmp_path / f"counter.{form}"
    path.write_text(FORMS[form](rows), "utf-8")
    told = compare(record, path)
    assert told.kind == "counter"
    assert told.shift.is_none
    assert [fault for fault in faults if not fault.is_told(told.faults)] == []
    false = [one for one in told.faults if not any(fault.is_told_by(one) for fault in faults)]
    assert len(false) <= 1, false


def test_the_faults_are_200() -> None:
    assert len(CLASSES) * FAULTS_A_CLASS == 200
