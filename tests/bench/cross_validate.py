"""Score every annotated class with weights that have not seen it: the counting's, those of turns and those of sides.

    python -m tests.bench.cross_validate FOLDER [--forms captions,words,stamped] [--misses]

``FOLDER`` holds weights of the counting fitted without some classes, as ``tests.bench --left-out`` leaves them in
``tests/bench/out/left_out``. The weights of turns and of sides are fitted here, six times, each time without a sixth
of the classes, on what those weights of the counting make of the others.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from unittest.mock import patch

from pipeline.analyze import analyze
from tests.bench import fit_sides, fit_turns
from tests.bench.corpus import FORMS, bench_module, load_classes
from tests.bench.left_out import models_in
from tests.bench.table import FIRST, FURTHER, group_of, summarise, table

FOLDS = 6


def choices_without(folder: Path) -> dict[str, tuple[Any, Any]]:
    """Return for each class the weights of turns and those of sides fitted without it and its fold."""
    turns = fit_turns.read(folder)
    with weighted(fit_turns.fit(turns), {}):
        sides = fit_sides.read(folder)
    names = sorted({one.id for one in sides})
    out = {}
    for k in range(FOLDS):
        left = set(names[k::FOLDS])
        fitted = (
            fit_turns.fit([one for one in turns if one.id not in left]),
            fit_sides.fit([one for one in sides if one.id not in left]),
        )
        out.update(dict.fromkeys(left, fitted))
    return out


@contextmanager
def weighted(turns: Mapping[str, Mapping[str, float]], sides: Mapping[str, float]) -> Iterator[None]:
    """Let turns and sides be chosen with these weights instead of the shipped ones."""
    with (
        patch("pipeline.turns.load_weights", lambda: turns),
        patch("pipeline.counting.sides.load_side_weights", lambda: sides),
    ):
        yield


def main() -> int:
    """Score the classes of the folder; return 0."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.cross_validate", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--forms", type=lambda text: text.split(","), default=list(FORMS))
    parser.add_argument("--misses", action="store_true")
    options = parser.parse_args()
    chains, choices = models_in(options.folder), choices_without(options.folder)
    classes = load_classes(list(chains))
    for form in options.forms:
        tallies: dict[str, Counter[str]] = {}
        misses: list[str] = []
        for one in classes:
            with weighted(*choices[one.id]):
                record = analyze(one.forms[form], models=chains[one.id]).to_dict()
            tallies[one.id] = Counter()
            bench_module("score").score(one.gold, record, tallies[one.id], misses)
        if options.misses:
            print("\n".join(f"{form} {miss}" for miss in misses))
        for group in (FIRST, FURTHER):
            members = {name: tally for name, tally in tallies.items() if group_of(name) == group}
            if members:
                print(table(f"{form}, {group}", summarise(members)), end="\n\n", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
