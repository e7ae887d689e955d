"""Score the tool on the annotated classes.

    python -m tests.bench [--forms captions,words,stamped] [--classes d01,d02] [--left-out] [--misses]
                          [--held-back] [--json FILE] [--no-speed]

Prints the scorer's figures for each class and for all, the figures of two simple ways to find chapters, and
speed and memory. The weights are those shipped, which have seen the classes; with ``--left-out`` every class
is read with weights of the counting fitted on the others. ``--held-back`` scores other classes, which
nothing was fitted on.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pipeline.analyze import analyze
from tests.bench.baselines import BASELINES, baseline_starts, chapter_figures
from tests.bench.corpus import CLASSES, FORMS, HELD_BACK, GoldClass, bench_module, load_classes
from tests.bench.segments import boundaries
from tests.bench.table import summarise, table

if TYPE_CHECKING:
    from pipeline.counting.chain import ChainModel

Models = Mapping[str, "ChainModel"] | None


def main() -> int:
    """Score the classes and forms asked for; return 0."""
    options = _options()
    everything = load_classes(folder=HELD_BACK if options.held_back else CLASSES)
    classes = [one for one in everything if options.classes is None or one.id in options.classes]
    models: dict[str, Models] = {one.id: None for one in classes}
    if options.left_out:
        from tests.bench.left_out import folds_of, models_without

        names = [one.id for one in classes]
        folds = [fold for fold in folds_of(names, options.folds) if set(fold) & set(models)]
        models.update(models_without(folds, everything))
    report: dict[str, Any] = {"weights": "left out" if options.left_out else "shipped", "forms": {}}
    for form in options.forms:
        figures, chapters, misses = score_form(classes, form, models)
        report["forms"][form] = {"figures": figures, "chapters": chapters, "misses": misses}
        if options.misses:
            print("\n".join(f"{form} {miss}" for miss in misses))
        print(table(form, figures), end="\n\n")
        print(table(f"chapters in {form}", chapters), end="\n\n")
    if options.speed:
        from tests.bench.speed import measure_speed, peak_memory

        longest = max(classes, key=lambda one: one.gold["duration"])
        speed = measure_speed([one.forms["captions"] for one in classes], models[longest.id])
        if not options.left_out:
            speed["peak memory, MB"] = peak_memory(longest.id)
        report["speed"] = speed
        print("\n".join(f"{name:45} {value:10.1f}" for name, value in speed.items()))
    if options.json:
        options.json.write_text(json.dumps(report, indent=1) + "\n", "utf-8")
    return 0


def score_form(
    classes: list[GoldClass], form: str, models: Mapping[str, Models]
) -> tuple[dict[str, dict[str, Any]], dict[str, dict[str, float]], list[str]]:
    """Score one form of classes: figures by class and group, chapter figures with baselines, misses."""
    scorer = bench_module("score")
    tallies: dict[str, Counter[str]] = {}
    misses: list[str] = []
    found: dict[str, list[float]] = {}
    for one in classes:
        record = analyze(one.forms[form], models=models[one.id]).to_dict()
        tallies[one.id] = Counter()
        scorer.score(one.gold, record, tallies[one.id], misses)
        found[one.id] = boundaries(record["chapters"])
    chapters = {"this tool": chapter_figures(classes, form, found)}
    for name in BASELINES:
        starts = {one.id: baseline_starts(name, one, form) for one in classes}
        chapters[name] = chapter_figures(classes, form, starts)
    return summarise(tallies), chapters, misses


def _options() -> argparse.Namespace:
    def names(text: str) -> list[str]:
        return [name.strip() for name in text.split(",") if name.strip()]

    parser = argparse.ArgumentParser(prog="python -m tests.bench", description="Score the annotated classes.")
    parser.add_argument("--forms", type=names, default=list(FORMS), help="captions,words,stamped")
    parser.add_argument("--classes", type=names, help="ids of the classes to score; all without it")
    parser.add_argument("--held-back", action="store_true", help="score the classes that nothing is fitted on")
    parser.add_argument("--left-out", action="store_true", help="fit without the class that is scored")
    parser.add_argument("--folds", type=int, help="leave classes out in so many folds, not one by one")
    parser.add_argument("--misses", action="store_true", help="print every miss as well")
    parser.add_argument("--json", type=Path, help="write the figures and misses to a file")
    parser.add_argument("--no-speed", dest="speed", action="store_false", help="measure no speed or memory")
    options = parser.parse_args()
    if options.held_back and options.left_out:
        parser.error("--held-back classes are left out as it is")
    options.speed = options.speed and not options.held_back
    known = {path.name.split(".")[0] for path in (HELD_BACK if options.held_back else CLASSES).glob("*.class.txt")}
    for what, asked, there in (("form", options.forms, set(FORMS)), ("class", options.classes or [], known)):
        for name in asked:
            if name not in there:
                parser.error(f"no {what} {name!r}; there are {', '.join(sorted(there))}")
    if options.folds is not None and options.folds < 2:
        parser.error("--folds takes 2 or more")
    return options


if __name__ == "__main__":
    sys.exit(main())
