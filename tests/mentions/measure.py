"""Measures the exercise matcher on coach sentences: ``python -m tests.mentions.measure``.

``sentences.csv`` holds sentences written by hand before the matcher was tuned, half of them traps.
``expected`` is the id of the exercise that is being done (several that are as right with ``|``, two in one
sentence with ``;``), ``*`` an exercise that no list holds, empty where nothing is done.
"""

from __future__ import annotations

import csv
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from time import process_time

import lexicon
from pipeline.mentions.exercises import ExerciseMatcher

SENTENCES = Path(__file__).with_name("sentences.csv")


@dataclass(frozen=True)
class Figures:
    """What the matcher got right: shares from 0 to 1, and the sentences that it got wrong."""

    precision: float
    recall: float
    by_kind: dict[str, tuple[int, int]]
    misses: tuple[str, ...]


def measure(matcher: ExerciseMatcher, file: Path = SENTENCES) -> Figures:
    """Score the mentions that count as done (``doing`` of 0.5 or more) against the sentences of a file."""
    right = found = wanted = 0
    good, total, misses = Counter[str](), Counter[str](), list[str]()
    with file.open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            expected = [set(one.split("|")) for one in row["expected"].split(";") if one]
            mentions = [one for one in matcher.find(row["sentence"].split()) if one.doing >= 0.5]
            done = {one.exercise or "*" for one in mentions}
            hits = sum(1 for one in expected if one & done)
            surplus = sum(1 for one in done if not any(one in right_ones for right_ones in expected))
            right, found, wanted = right + hits, found + hits + surplus, wanted + len(expected)
            total[row["kind"]] += 1
            if hits == len(expected) and not surplus:
                good[row["kind"]] += 1
            else:
                misses.append(f"{row['kind']}: {row['sentence']} | {row['expected'] or '-'} | {done or '-'}")
    kinds = {kind: (good[kind], total[kind]) for kind in total}
    return Figures(right / max(found, 1), right / max(wanted, 1), kinds, tuple(misses))


def main() -> int:
    """Print the sentences missed, the figures, and what building and finding cost in processor time."""
    start = process_time()
    matcher = ExerciseMatcher(lexicon.load())
    built = process_time() - start
    figures = measure(matcher)
    for miss in figures.misses:
        print(miss)
    for kind, (good, total) in figures.by_kind.items():
        print(f"{kind:12} {good:3} of {total:3}")
    with SENTENCES.open(encoding="utf-8", newline="") as rows:
        words = [word for row in csv.DictReader(rows) for word in row["sentence"].split()]
    start = process_time()
    matcher.find(words)
    per_thousand = (process_time() - start) / len(words) * 1e6
    print(f"precision {figures.precision:.3f}  recall {figures.recall:.3f}")
    print(f"lexicon and matcher {built:.2f} s; 1,000 words {per_thousand:.1f} ms (all about exercise)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
