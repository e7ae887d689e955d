"""Fit the weights of the counting chains from annotated classes.

    python -m tests.bench.fit                write pipeline/counting/weights.json

Roles and phases are fitted in the order in which they are read. What an earlier reading gives to a later one
is, in fitting too, the reading of a model that has not seen the class (two-fold), or the later one would
trust it too much. The last roles are the mean of the models of all classes and of each half, which err less
alike. Same classes, same weights, to the byte.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.counting.chain import WEIGHTS, ChainModel, Reading, read_chain
from pipeline.counting.decode import hindsight
from pipeline.counting.hindsight import FirstReading, look_again
from pipeline.counting.phases import PHASES, UtteranceView
from pipeline.counting.roles import ROLES, NumberView
from pipeline.mentions.hear import Listener, Mentions
from tests.bench.chain_fit import Example, fit_chain, mean_chain
from tests.bench.corpus import GoldClass, load_class, load_classes
from tests.bench.generate import generate
from tests.bench.generator.noise import Noise

FOLDS = 2
#: The quadratic penalty of each chain, chosen by the scores of classes left out.
ROLE_PENALTY, PHASE_PENALTY = 1.0, 2.0
ROUNDS = 40
FITTED_FORMS = ("captions", "stamped")
#: Generated classes are endless but plain: they teach the arithmetic of counting, and count for little each,
#: the less for roles, whose words are richer than theirs.
GENERATED = range(1000, 1120)
ROLE_WEIGHT, PHASE_WEIGHT = 0.1, 0.15


@dataclass(frozen=True)
class Lesson:
    """One form of one class, heard, with the gold role of every number and phase of every utterance."""

    id: str
    form: str
    mentions: Mentions
    roles: list[str]
    phases: list[str]
    generated: bool = False


def make_lesson(one: GoldClass, form: str, listener: Listener, generated: bool = False) -> Lesson:
    """Hear one form of a class and line its gold up with what was heard."""
    mentions = listener.hear(one.forms[form])
    roles = []
    for number in mentions.numbers:
        word = one.words[number.words[0]]
        role = word.role
        if role is None:
            role = "other" if mentions.tokens[number.words[0]] == "one" else "none"
        roles.append(role)
    return Lesson(one.id, form, mentions, roles, gold_phases(one, mentions), generated)


def generated_lessons(listener: Listener) -> list[Lesson]:
    """Generate, compile and hear the generated classes that are fitted on: a third stamped, half of them noisy."""
    lessons = []
    with tempfile.TemporaryDirectory() as folder:
        for seed in GENERATED:
            script = Path(folder) / f"generated-{seed}.class.txt"
            noise = Noise.usual() if seed % 2 else Noise()
            script.write_text(generate(seed, noise), "utf-8")
            form = "stamped" if seed % 3 == 0 else "captions"
            lessons.append(make_lesson(load_class(script), form, listener, generated=True))
    return lessons


def gold_phases(one: GoldClass, mentions: Mentions) -> list[str]:
    """Return the gold phase of every utterance: that of its first word."""
    gold = one.gold
    out: list[str] = []
    begun_sets: set[int] = set()
    begun_chapters: set[int] = set()
    for utterance in mentions.utterances:
        time = one.words[utterance.first].start
        chapter = max((i for i, c in enumerate(gold["chapters"]) if c["start"] <= time + 0.011), default=0)
        kind = gold["chapters"][chapter]["kind"] if gold["chapters"] else "intro"
        inside = next((i for i, s in enumerate(gold["sets"]) if s["start"] - 0.011 <= time < s["end"] - 0.011), None)
        if inside is not None:
            out.append("work" if inside in begun_sets else "begin")
            begun_sets.add(inside)
        elif kind == "intro":
            out.append("intro")
        elif kind in {"rest", "outro"}:
            first = chapter not in begun_chapters
            names = ("rest", "resting") if kind == "rest" else ("close", "closing")
            out.append(names[0] if first else names[1])
        elif chapter not in begun_chapters:
            out.append("turn")
        else:
            done = any(s["chapter"] == chapter and s["end"] <= time + 0.011 for s in gold["sets"])
            out.append("after" if done else "setup")
        begun_chapters.add(chapter)
    return out


def fit(lessons: Sequence[Lesson], rounds: int = ROUNDS) -> dict[str, Any]:
    """Fit all four chains; return them in the JSON form of the weights file."""
    views = [NumberView(one.mentions) for one in lessons]
    items = [view.items() for view in views]
    steps = [view.steps() for view in views]
    gold_roles = [one.roles for one in lessons]
    gold_phases_ = [one.phases for one in lessons]
    role_data = list(zip(items, steps, gold_roles, strict=True))
    roles = _fit(lessons, role_data, ROLES, ROLE_PENALTY, rounds)
    unseen_roles, _ = _unseen(lessons, role_data, ROLES, ROLE_PENALTY, rounds)
    phase_data = [
        (*_phase_rows(one, view, reading.labels), gold)
        for one, view, reading, gold in zip(lessons, views, unseen_roles, gold_phases_, strict=True)
    ]
    phases = _fit(lessons, phase_data, PHASES, PHASE_PENALTY, rounds)
    unseen_phases, _ = _unseen(lessons, phase_data, PHASES, PHASE_PENALTY, rounds)
    firsts: list[FirstReading] = [
        hindsight(one.mentions, a, b) for one, a, b in zip(lessons, unseen_roles, unseen_phases, strict=True)
    ]
    again_data = [
        (look_again(view, first), step, gold)
        for view, first, step, gold in zip(views, firsts, steps, gold_roles, strict=True)
    ]
    unseen_again, folds = _unseen(lessons, again_data, ROLES, ROLE_PENALTY, rounds)
    roles_again = mean_chain([_fit(lessons, again_data, ROLES, ROLE_PENALTY, rounds), *folds])
    phase_again_data = [
        (*_phase_rows(one, view, reading.labels), gold)
        for one, view, reading, gold in zip(lessons, views, unseen_again, gold_phases_, strict=True)
    ]
    phases_again = _fit(lessons, phase_again_data, PHASES, PHASE_PENALTY, rounds)
    return {
        "chains": {
            "roles": roles, "phases": phases, "roles again": roles_again, "phases again": phases_again,
        }
    }  # fmt: skip


Rows = tuple[list[list[str]], list[list[str]]]


def _phase_rows(one: Lesson, view: NumberView, roles: Sequence[str]) -> Rows:
    utterances = UtteranceView(one.mentions, view, roles)
    return utterances.items(), utterances.steps()


def _fit(
    lessons: Sequence[Lesson],
    data: Sequence[tuple[Any, Any, list[str]]],
    labels: Sequence[str],
    penalty: float,
    rounds: int,
) -> dict[str, Any]:
    weight = ROLE_WEIGHT if labels is ROLES else PHASE_WEIGHT
    examples = [
        Example(items, steps, gold, weight if one.generated else 1.0)
        for one, (items, steps, gold) in zip(lessons, data, strict=True)
    ]
    return fit_chain(examples, labels, penalty, penalty, rounds)


def _unseen(
    lessons: Sequence[Lesson],
    data: Sequence[tuple[Any, Any, list[str]]],
    labels: Sequence[str],
    penalty: float,
    rounds: int,
) -> tuple[list[Reading], list[dict[str, Any]]]:
    """Read every lesson with a model fitted on the other folds' classes; return the readings, and the models."""
    ids = sorted({one.id for one in lessons})
    fold_of = {name: i % FOLDS for i, name in enumerate(ids)}
    readings: list[Reading | None] = [None] * len(lessons)
    models: list[dict[str, Any]] = []
    for fold in range(FOLDS):
        seen = [i for i, one in enumerate(lessons) if fold_of[one.id] != fold]
        if not seen:
            continue
        models.append(_fit([lessons[i] for i in seen], [data[i] for i in seen], labels, penalty, rounds))
        model = ChainModel.from_dict(models[-1])
        for i, one in enumerate(lessons):
            if fold_of[one.id] == fold:
                readings[i] = read_chain(model, data[i][0], data[i][1])
    return [reading for reading in readings if reading is not None], models


def write_weights(weights: dict[str, Any]) -> None:
    """Write the weights file, a feature a line, sorted."""
    lines = ["{", '"chains": {']
    chains = weights["chains"]
    for c, (name, chain) in enumerate(chains.items()):
        lines.append(f"{json.dumps(name)}: {{")
        lines.append(f'"labels": {json.dumps(chain["labels"])},')
        lines.append(f'"first": {json.dumps(chain["first"])},')
        for part in ("steps", "items"):
            lines.append(f'"{part}": {{')
            rows = [f"{json.dumps(k, ensure_ascii=False)}: {json.dumps(v)}" for k, v in sorted(chain[part].items())]
            lines.append(",\n".join(rows))
            lines.append("}" + ("," if part == "steps" else ""))
        lines.append("}" + ("," if c + 1 < len(chains) else ""))
    lines += ["}", "}", ""]
    partial = WEIGHTS.with_suffix(".partial")
    partial.write_text("\n".join(lines), "utf-8")
    partial.replace(WEIGHTS)


def main() -> int:
    """Fit on all annotated classes and write the weights."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--rounds", type=int, default=ROUNDS, help="most steps of the optimiser")
    options = parser.parse_args()
    import lexicon

    listener = Listener(lexicon.load())
    lessons = [make_lesson(c, form, listener) for c in load_classes() for form in FITTED_FORMS]
    lessons += generated_lessons(listener)
    print(f"fitting on {len(lessons)} transcripts", file=sys.stderr)
    write_weights(fit(lessons, options.rounds))
    return 0


if __name__ == "__main__":
    sys.exit(main())
