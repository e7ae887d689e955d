"""Score the tool on generated classes, where everything is known: roles, counts, and the time of every rep.

    python -m tests.bench.generated [--count 200] [--first 5000]

Prints the scorer's figures on classes with a recogniser's usual errors, and how far reps that nobody called are
placed from where they were, as a share of the set's seconds a rep. For that, half of the called numbers are
taken out of a class without mistakes, and the reps that they called are looked up in what is left.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from bisect import bisect_left
from collections import Counter
from pathlib import Path
from statistics import median, quantiles
from typing import Any

from pipeline.analyze import analyze
from pipeline.model import Record
from tests.bench.corpus import GoldClass, bench_module, load_class
from tests.bench.fit import GENERATED
from tests.bench.generate import generate
from tests.bench.generator.noise import Noise

#: The first class scored; far from those that weights are fitted on.
FIRST = 5000
#: The share of called numbers that are taken out to see where the clock places their reps.
TAKEN_OUT = 0.5


def compile_text(text: str) -> GoldClass:
    """Compile a script given as text."""
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "generated.class.txt"
        script.write_text(text, "utf-8")
        return load_class(script)


def score_generated(seeds: range) -> dict[str, Any]:
    """Return the scorer's figures over noisy classes in caption form."""
    scorer = bench_module("score")
    tally: Counter[str] = Counter()
    for seed in seeds:
        one = compile_text(generate(seed, Noise.usual()))
        record = json.loads(analyze(one.forms["captions"]).to_json())
        scorer.score(one.gold, record, tally, [])
        _progress("scored", seed, seeds)
    figures: dict[str, Any] = scorer.figures(tally)
    return figures


def clock_errors(seeds: range) -> list[float]:
    """Return the error of each rep whose call was taken out, as a share of its set's seconds a rep."""
    errors: list[float] = []
    for seed in seeds:
        told = compile_text(generate(seed, clean=True))
        silent = compile_text(generate(seed, Noise(missing_count=TAKEN_OUT), clean=True))
        errors += _errors(told, silent, analyze(silent.forms["captions"]))
        _progress("clocked", seed, seeds)
    return errors


def _errors(told: GoldClass, silent: GoldClass, record: Record) -> list[float]:
    heard = sorted(n["time"] for n in silent.gold["numbers"] if n["role"] == "rep")
    out: list[float] = []
    for gold in told.gold["sets"]:
        found = max(record.sets, key=lambda s: min(s.end, gold["end"]) - max(s.start, gold["start"]), default=None)
        if found is None or found.pace is None or found.performed != gold["performed"] or gold["unit"] != "reps":
            continue
        placed = {rep.n: rep.time for rep in found.reps if not rep.called}
        for number in told.gold["numbers"]:
            time, n = number["time"], number["n"]
            if number["role"] != "rep" or not gold["start"] - 0.01 <= time <= gold["end"] + 0.01:
                continue
            k = bisect_left(heard, time - 0.3)
            still_heard = k < len(heard) and heard[k] <= time + 0.3
            if not still_heard and n in placed:
                out.append(abs(placed[n] - time) / found.pace)
    return out


def _progress(what: str, seed: int, seeds: range) -> None:
    print(f"\r{what} {seed - seeds.start + 1} of {len(seeds)}", end="", file=sys.stderr, flush=True)


def main() -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(description="Score the tool on generated classes.")
    parser.add_argument("--count", type=int, default=200)
    parser.add_argument("--first", type=int, default=FIRST)
    options = parser.parse_args()
    seeds = range(options.first, options.first + options.count)
    if set(seeds) & set(GENERATED):
        parser.error(f"classes {GENERATED.start} to {GENERATED.stop - 1} are fitted on; choose others")
    figures = score_generated(seeds)
    errors = clock_errors(range(options.first, options.first + max(10, options.count // 4)))
    print(file=sys.stderr)
    for name, value in figures.items():
        print(f"{name:16} {value:.3f}")
    print(f"uncalled reps    {len(errors)}")
    if len(errors) > 1:
        print(
            f"clock error      median {median(errors):.3f}, 95th percentile {quantiles(errors, n=20)[-1]:.3f} of a rep"
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
