"""Fit the weights with which the working side of each set is chosen, and say how well they do on classes left out.

    python -m tests.bench.fit_sides FOLDER            write pipeline/counting/side_weights.json
    python -m tests.bench.fit_sides FOLDER --check    fit on five sixths of the classes, score the last sixth, six times

``FOLDER`` holds weights of the counting chains fitted without some classes, as ``tests.bench.left_out`` keeps them, so
that sets are cut as they are in a class never seen. The weights are those of a conditional random field (Lafferty,
McCallum and Pereira, 2001): they make the annotated sides of a class likely among all paths of sides, with a penalty.
Same weights, same classes, same result.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import minimize
from scipy.special import logsumexp

import pipeline.counting.sides as room
from lexicon import load
from pipeline import chapters
from pipeline.analyze import listener
from pipeline.assemble import assemble, side_sets
from pipeline.chapter_names import name_chapters
from pipeline.counting.chain import ChainModel
from pipeline.counting.decode import decode
from pipeline.counting.sets import draft_sets
from pipeline.counting.side_words import SideSet
from pipeline.counting.sides import CHOICES, NOTHING, State, Step, decide_sides, steps_of
from pipeline.mentions.hear import Mentions
from tests.bench.corpus import GoldClass, bench_module, load_classes
from tests.bench.fit import FITTED_FORMS
from tests.bench.fit_command import run
from tests.bench.left_out import models_in

PENALTY = 4.0
"""The quadratic penalty, chosen by the sides of classes left out."""
ROUNDS = 80
FOLDS = 6
OVERLAP = 0.5
"""Annotated and found sets are paired where they share this much of their time (as the scorer does)."""
WEIGHTS = Path(room.__file__).with_name("side_weights.json")
UNKNOWN = "unknown"
"""The side of a set that no annotated one is paired with: any will do."""
STATES: tuple[State, ...] = (NOTHING, ("left", False), ("left", True), ("right", False), ("right", True))


@dataclass(frozen=True)
class Lesson:
    """The sets of a class as found, and the annotated side of each."""

    id: str
    mentions: Mentions
    sets: Sequence[SideSet]
    sides: Sequence[str | None]


@dataclass(frozen=True)
class Table:
    """A lesson in numbers: features (sets, states, choices, features), the states then, and the choices allowed."""

    features: np.ndarray
    then: np.ndarray
    allowed: np.ndarray


def lesson_of(one: GoldClass, form: str, models: dict[str, ChainModel]) -> Lesson:
    """Read a class with weights that have not seen it, and pair its sets with the annotated ones."""
    scorer = bench_module("score")
    mentions = listener().hear(one.forms[form])
    decoded = decode(mentions, models)
    openings = chapters.open_chapters(decoded, mentions)
    drafts, decoded = draft_sets(decoded, mentions, [opening.first for opening in openings])
    namings = name_chapters(openings, mentions, drafts, load())
    record = assemble(mentions, decoded, openings, namings, drafts, load(), None).to_dict()
    pairs = scorer.pair_up(one.gold["sets"], record["sets"], lambda a, b: 1 - scorer.overlap(a, b), OVERLAP)
    sides: list[str | None] = [UNKNOWN] * len(drafts)
    for gold, found in pairs:
        sides[found] = one.gold["sets"][gold]["side"]
    return Lesson(one.id, mentions, side_sets(namings, drafts, load()), sides)


def fit(lessons: Sequence[Lesson]) -> dict[str, float]:
    """Return the weight of each feature."""
    steps = [list(steps_of(one.mentions, one.sets)) for one in lessons]
    rows = [_rows(one, their) for one, their in zip(lessons, steps, strict=True)]
    names = sorted({name for row in rows for step in row for choices in step for f, _ in choices for name in f})
    tables = [_table(one, row, names) for one, row in zip(lessons, rows, strict=True) if row]

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        total, slope = PENALTY / 2 * float(weights @ weights), PENALTY * weights
        for table in tables:
            scores = table.features @ weights
            free, chances = _read(scores, table.then)
            given, wanted = _read(np.where(table.allowed[:, None, :], scores, -np.inf), table.then)
            total += free - given
            slope = slope + np.tensordot(chances - wanted, table.features, axes=3)
        return total, slope

    found = minimize(loss, np.zeros(len(names)), jac=True, method="L-BFGS-B", options={"maxiter": ROUNDS}).x
    return {name: round(float(weight), 2) for name, weight in zip(names, found, strict=True) if abs(weight) >= 0.005}


def _rows(lesson: Lesson, steps: Sequence[Step]) -> list[list[list[tuple[dict[str, float], State]]]]:
    """Return features and the state then, for each step, state and choice; a round's order by its annotated sides."""
    out = []
    for step in steps:
        side = lesson.sides[step.model] if step.model is not None else None
        earlier = next((one for one in CHOICES if one is not None and one == side), None)
        out.append([[step.features(state, choice, earlier) for choice in CHOICES] for state in STATES])
    return out


def _table(lesson: Lesson, rows: list[list[list[tuple[dict[str, float], State]]]], names: Sequence[str]) -> Table:
    column = {name: i for i, name in enumerate(names)}
    features = np.zeros((len(rows), len(STATES), len(CHOICES), len(names)))
    then = np.zeros(features.shape[:3], dtype=int)
    for at, step in enumerate(rows):
        for i, choices in enumerate(step):
            for j, (row, state) in enumerate(choices):
                then[at, i, j] = STATES.index(state)
                for name, value in row.items():
                    features[at, i, j, column[name]] = value
    allowed = np.array([[side in {UNKNOWN, choice} for choice in CHOICES] for side in lesson.sides])
    return Table(features, then, allowed)


def _read(scores: np.ndarray, then: np.ndarray) -> tuple[float, np.ndarray]:
    """Return the logarithm of the sum over all paths, and the chance of every step (forward and backward)."""
    count = len(scores)
    forward = np.full((count + 1, len(STATES)), -np.inf)
    backward = np.zeros((count + 1, len(STATES)))
    forward[0, STATES.index(NOTHING)] = 0.0
    with np.errstate(divide="ignore"):
        for at in range(count):
            reached = forward[at][:, None] + scores[at]
            forward[at + 1] = [logsumexp(np.where(then[at] == state, reached, -np.inf)) for state in range(len(STATES))]
        for at in reversed(range(count)):
            backward[at] = logsumexp(scores[at] + backward[at + 1][then[at]], axis=1)
    total = float(logsumexp(forward[-1]))
    chances = [np.exp(forward[at][:, None] + scores[at] + backward[at + 1][then[at]] - total) for at in range(count)]
    return total, np.array(chances)


def check(lessons: Sequence[Lesson]) -> str:
    """Return how many sides of classes left out are right, and how the others are wrong."""
    ids = sorted({one.id for one in lessons})
    found: Counter[str] = Counter()
    for k in range(FOLDS):
        out = set(ids[k::FOLDS])
        weights = fit([one for one in lessons if one.id not in out])
        for one in (one for one in lessons if one.id in out):
            for gold, side in zip(one.sides, decide_sides(one.mentions, one.sets, weights), strict=True):
                if gold != UNKNOWN:
                    kind = "right" if side == gold else "missed" if side is None else "swapped" if gold else "invented"
                    found[kind] += 1
    return f"of {found.total()} sets: " + ", ".join(
        f"{found[k]} {k}" for k in ("right", "missed", "swapped", "invented")
    )


def read(folder: Path) -> list[Lesson]:
    """Read every class that a fold of the folder leaves out, with that fold's weights."""
    models = models_in(folder)
    return [lesson_of(one, form, models[one.id]) for one in load_classes(list(models)) for form in FITTED_FORMS]


if __name__ == "__main__":
    run(__doc__, read, fit, check, WEIGHTS)
