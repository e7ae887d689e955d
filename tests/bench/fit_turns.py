"""Fit the weights with which turns to another exercise are chosen, and say how well they do on classes left out.

    python -m tests.bench.fit_turns FOLDER            write pipeline/turns/weights.json
    python -m tests.bench.fit_turns FOLDER --check    fit on five sixths of the classes, score the last sixth, six times

``FOLDER`` holds weights of the counting chains fitted without some classes, as ``tests.bench.left_out`` keeps them: the
chances that the choice starts from have to be those of a class never seen. Same weights, same classes, same result.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.optimize import minimize

import pipeline.turns as turns
from pipeline.analyze import listener
from pipeline.counting.decode import decode
from pipeline.turns.happening import of_gap
from pipeline.turns.place import of_sentence
from pipeline.turns.scene import Gap, Scene
from tests.bench.corpus import GoldClass, load_classes
from tests.bench.fit_command import run
from tests.bench.left_out import models_in

PENALTY = 4.0
"""The quadratic penalty, chosen by the chapters and names of classes left out."""
FOLDS = 6
NEAR = 0.6
"""Seconds before the first sentence of a gap at which a gold start still is one of its."""
WEIGHTS = Path(turns.__file__).with_name("weights.json")

Rows = list[dict[str, float]]


@dataclass(frozen=True)
class Lesson:
    """A gap of a class: the sentence at which its gold turn is, ``None`` where it has none."""

    id: str
    scene: Scene
    gap: Gap
    turn: int | None


def lessons_of(one: GoldClass, scene: Scene) -> list[Lesson]:
    """Line the gaps of a class up with its gold chapters."""
    starts = [chapter["start"] for chapter in one.gold["chapters"][1:] if chapter["kind"] == "exercise"]
    out = []
    for gap in scene.gaps:
        sentences = [scene.utterances[at] for at in gap.places]
        inside = [start for start in starts if sentences[0].start - NEAR <= start <= sentences[-1].end]
        turn = None
        if inside:
            turn = max((at for at in gap.places if scene.utterances[at].start <= inside[-1] + 0.05), default=gap.first)
            turn = max(turn, gap.places.start)
        out.append(Lesson(one.id, scene, gap, turn))
    return out


def fit(lessons: Sequence[Lesson]) -> dict[str, dict[str, float]]:
    """Return the weights of both choices."""
    happening: list[tuple[Rows, int]] = [([of_gap(one.scene, one.gap), {}], one.turn is None) for one in lessons]
    place: list[tuple[Rows, int]] = [
        ([of_sentence(one.scene, one.gap, at) for at in one.gap.places], one.gap.places.index(one.turn))
        for one in lessons
        if one.turn is not None
    ]
    return {"happening": fit_choice(happening), "place": fit_choice(place)}


def fit_choice(choices: Sequence[tuple[Rows, int]]) -> dict[str, float]:
    """Fit the weights of a choice among rows of features: the likelihood of the right row, with a penalty."""
    names = sorted({name for rows, _ in choices for row in rows for name in row})
    column = {name: i for i, name in enumerate(names)}
    starts = np.cumsum([0, *(len(rows) for rows, _ in choices)])
    matrix = np.zeros((starts[-1], len(names)))
    for at, row in enumerate(row for rows, _ in choices for row in rows):
        for name, value in row.items():
            matrix[at, column[name]] = value
    right = starts[:-1] + np.array([index for _, index in choices])
    choice_of = np.repeat(np.arange(len(choices)), np.diff(starts))
    gold = np.zeros(starts[-1])
    gold[right] = 1.0

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        scores = matrix @ weights
        scores -= np.maximum.reduceat(scores, starts[:-1])[choice_of]
        chances = np.exp(scores)
        sums = np.add.reduceat(chances, starts[:-1])
        chances /= sums[choice_of]
        value = float(np.log(sums).sum() - scores[right].sum() + PENALTY / 2 * weights @ weights)
        return value, matrix.T @ (chances - gold) + PENALTY * weights

    found = minimize(loss, np.zeros(len(names)), jac=True, method="L-BFGS-B").x
    return {name: round(float(weight), 3) for name, weight in zip(names, found, strict=True)}


def check(lessons: Sequence[Lesson]) -> str:
    """Return how well classes left out are read: gaps rightly taken to turn or not, and turns at the right sentence."""
    ids = sorted({one.id for one in lessons})
    told, gaps, placed, turned = 0, 0, 0, 0
    for k in range(FOLDS):
        out = set(ids[k::FOLDS])
        weights = fit([one for one in lessons if one.id not in out])
        for one in (one for one in lessons if one.id in out):
            gaps += 1
            told += (turns.chance_of_turn(one.scene, one.gap, weights) >= turns.LIKELY) == (one.turn is not None)
            if one.turn is not None:
                turned += 1
                placed += turns.likeliest_place(one.scene, one.gap, weights) == one.turn
    return f"turn or not: {told} of {gaps} gaps; the right sentence: {placed} of {turned} turns"


def read(folder: Path) -> list[Lesson]:
    """Read every class that a fold of the folder leaves out, in captions, with that fold's weights."""
    models = models_in(folder)
    lessons: list[Lesson] = []
    for one in load_classes(list(models)):
        mentions = listener().hear(one.forms["captions"])
        lessons += lessons_of(one, Scene(decode(mentions, models[one.id]), mentions))
    return lessons


if __name__ == "__main__":
    run(__doc__, read, fit, check, WEIGHTS)
