"""Measures the comparison on all development classes and samples: ``python -m tests.compare.measure``.

Each record, as the pipeline makes it of every form and as the gold has it, is held against its own files, against
counters with planted faults, against captions with planted faults, and against files that are shifted as a whole.
The seeds are fixed.
"""

from __future__ import annotations

import random
import re
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations
from pathlib import Path

import pysubs2

from pipeline.compare import compare
from pipeline.compare.shift import RATES
from pipeline.compare.verdicts import Comparison
from pipeline.model import Record
from pipeline.publish import export
from tests.compare.onscreen_files import FORMS, as_subrip, rows_of
from tests.compare.planting import LEAST_APART, planted
from tests.publish.records import NAMES, record_of

OWN_FILES = (
    "counter.vtt", "counter.csv", "counter-16x9.ass", "counter-9x16.ass", "captions.vtt", "captions.srt",
)  # fmt: skip
FAULTS = 20
OFFSETS = (2.0, -1.5, 63.0)


def main() -> None:
    """Print what is found, missed and made up."""
    total = Counter[str]()
    for name in NAMES:
        record = record_of(name)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, "onscreen")
            for told in (*_own(record, path), *_planted(name, record, path), *_captions(name, record, path)):
                total.update(told)
                if any(key.endswith(("false", "missed")) for key in told):
                    print(name, told)
            told = Counter(_shifts(record, path, rates=not name.endswith(("captions", "words"))))
            total.update(told)
            if told["shift missed"] or told["shift false"]:
                print(name, dict(told))
    for key in sorted(total):
        print(f"{key}: {total[key]}")


def _own(record: Record, path: Path) -> Iterator[Counter[str]]:
    for form in OWN_FILES:
        path.write_text(export(record, form), "utf-8", newline="")
        told = compare(record, path)
        yield Counter({"own files": 1, **_false(f"own {form}", len(told.faults) + (not told.shift.is_none))})


def _planted(name: str, record: Record, path: Path) -> Iterator[Counter[str]]:
    for form in FORMS:
        for zeros in (False, True):
            rows = rows_of(record, zeros)
            number = min(FAULTS, len(rows) // (LEAST_APART + 1))
            made, faults = planted(rows, record, random.Random(f"{name} {form} {zeros}"), number)
            path.write_text(FORMS[form](made), "utf-8", newline="")
            told = compare(record, path)
            missed = [fault for fault in faults if not fault.is_told(told.faults)]
            false = [one for one in told.faults if not any(fault.is_told_by(one) for fault in faults)]
            for one in (*missed, *false):
                print(name, form, "zeros" if zeros else "", one)
            result = Counter({"counter faults": len(faults), "counters with faults": 1})
            result.update({"counter faults missed": len(missed)} if missed else {})
            result.update(_false("counter", len(false)))
            if len(false) > 1:
                result["counters with more than one false"] = 1
            yield result


def _captions(name: str, record: Record, path: Path) -> Iterator[Counter[str]]:
    """Plant figures that differ, are missing or are too many, one in a caption with figures of its own."""
    chance = random.Random(name)
    file = pysubs2.SSAFile.from_string(export(record, "captions.srt"))
    numbered = [event for event in file.events if re.search(r"\b\d+\b", event.plaintext)][::3]
    planted_at = set()
    for place, event in enumerate(numbered):
        text = event.plaintext
        if place % 3 == 0:
            text = re.sub(r"\b\d+\b", lambda found: str(int(found[0]) + chance.choice((1, 3, 20))), text, count=1)
        elif place % 3 == 1:
            text = re.sub(r"\b\d+\b[.,]?", "", text, count=1)
        else:
            text = f"{text} 88"
        event.plaintext = text
        planted_at.add(place)
    events = {id(event): place for place, event in enumerate(numbered)}
    path.write_text(file.to_string("srt"), "utf-8")
    told = compare(record, path)
    found, false = set(), []
    for one in told.faults:
        cue = next(
            (e for e in file.events if e.start / 1000 - 0.9 <= one.time < e.end / 1000 and id(e) in events), None
        )
        if cue is None:
            false.append(one)
        else:
            found.add(events[id(cue)])
    missed = planted_at - found
    for place in missed:
        print(name, "captions missed", numbered[place].plaintext)
    for one in false:
        print(name, "captions false", one)
    result = Counter({"caption faults": len(planted_at)})
    result.update({"caption faults missed": len(missed)} if missed else {})
    result.update(_false("captions", len(false)))
    yield result


def _shifts(record: Record, path: Path, rates: bool) -> Iterator[str]:
    rows = rows_of(record)
    for late in OFFSETS:
        moved = [replace(row, start=row.start + late, end=row.end + late) for row in rows if row.start + late >= 0]
        path.write_text(as_subrip(moved), "utf-8")
        told = compare(record, path)
        yield from _judged(told, told.shift.rates is None and abs(told.shift.offset - late) < 0.05)
    for (made, made_rate), (needed, needed_rate) in permutations(RATES, 2) if rates else ():
        file = pysubs2.SSAFile.from_string(as_subrip(rows))
        file.transform_framerate(needed_rate, made_rate)
        path.write_text(file.to_string("srt"), "utf-8")
        told = compare(record, path)
        factor = needed_rate / made_rate
        yield from _judged(told, abs(told.shift.factor - factor) < 1e-6 and abs(told.shift.offset) < 0.1, made, needed)


def _judged(told: Comparison, recognised: bool, *rates: str) -> Iterator[str]:
    yield "shifts"
    if not recognised:
        print("shift", rates, told.shift, len(told.faults))
        yield "shift missed"
    if [one for one in told.faults if one.kind != "missing"]:
        yield "shift false"


def _false(what: str, number: int) -> dict[str, int]:
    return {f"{what} false": number} if number else {}


if __name__ == "__main__":
    main()
