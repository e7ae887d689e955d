"""The label chain reads what trying every path reads, and its weights are fitted right and repeatably.

Brute force scores every path of a tiny chain one by one. That the fitted weights sit at the top of the
likelihood is checked by numbers alone: the slope of the penalised likelihood, summed over all paths and
measured by small steps of each weight, is nought there (Lafferty, McCallum and Pereira, "Conditional Random
Fields", ICML 2001).
"""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Sequence
from itertools import pairwise, product
from typing import Any

import numpy as np
import pytest
from scipy.optimize import check_grad, minimize

from pipeline.analyze import listener
from pipeline.counting.chain import ChainModel, read_chain
from tests.bench import chain_fit
from tests.bench.chain_fit import Example, fit_chain, mean_chain
from tests.bench.corpus import load_classes
from tests.bench.fit import fit, make_lesson

LABELS = ("rep", "left", "other")
FEATURES = ("after a start", "same again", "near the end", "one up")
STEPS = ("quick", "slow")
Rows = list[list[str]]


def random_weights(rng: random.Random) -> dict[str, Any]:
    size = len(LABELS)
    return {
        "labels": list(LABELS),
        "first": [rng.gauss(0, 1) for _ in LABELS],
        "items": {name: [rng.gauss(0, 1.5) for _ in range(size)] for name in FEATURES},
        "steps": {name: [rng.gauss(0, 1.5) for _ in range(size * size)] for name in STEPS},
    }


def random_rows(rng: random.Random, length: int) -> tuple[Rows, Rows]:
    items = [[name for name in FEATURES if rng.random() < 0.5] for _ in range(length)]
    steps = [[rng.choice(STEPS)] for _ in range(length)]
    return items, steps


def path_score(weights: dict[str, Any], items: Rows, steps: Rows, path: Sequence[int]) -> float:
    """Score one path feature by feature, as the definition has it."""
    total = float(weights["first"][path[0]])
    for features, label in zip(items, path, strict=True):
        total += sum(weights["items"][name][label] for name in features if name in weights["items"])
    for features, (before, label) in zip(steps[1:], pairwise(path), strict=True):
        at = before * len(LABELS) + label
        total += sum(weights["steps"][name][at] for name in features if name in weights["steps"])
    return total


def all_paths(length: int) -> list[tuple[int, ...]]:
    return list(product(range(len(LABELS)), repeat=length))


@pytest.mark.parametrize("seed", range(20))
def test_the_best_path_is_the_best_of_all_paths(seed: int) -> None:
    rng = random.Random(seed)
    weights, (items, steps) = random_weights(rng), random_rows(rng, rng.randint(1, 6))
    best = max(all_paths(len(items)), key=lambda path: path_score(weights, items, steps, path))
    reading = read_chain(ChainModel.from_dict(weights), items, steps)
    assert reading.labels == tuple(LABELS[i] for i in best)


@pytest.mark.parametrize("seed", range(20))
def test_a_labels_chance_is_the_share_of_all_paths_that_bear_it(seed: int) -> None:
    rng = random.Random(seed)
    weights, (items, steps) = random_weights(rng), random_rows(rng, rng.randint(1, 6))
    chances = np.zeros((len(items), len(LABELS)))
    for path in all_paths(len(items)):
        weight = np.exp(path_score(weights, items, steps, path))
        for t, label in enumerate(path):
            chances[t, label] += weight
    chances /= chances.sum(axis=1, keepdims=True)
    assert read_chain(ChainModel.from_dict(weights), items, steps).chances == pytest.approx(chances, abs=1e-9)


def test_features_that_no_weight_knows_change_nothing() -> None:
    rng = random.Random(1)
    model = ChainModel.from_dict(random_weights(rng))
    items, steps = random_rows(rng, 5)
    with_more = read_chain(model, [[*row, "unheard of"] for row in items], [[*row, "unknown"] for row in steps])
    assert with_more.labels == read_chain(model, items, steps).labels


def test_no_items_have_no_reading() -> None:
    reading = read_chain(ChainModel.from_dict(random_weights(random.Random(0))), [], [])
    assert reading.labels == ()
    assert reading.chances.shape == (0, len(LABELS))


def lessons(seed: int, weights: Sequence[float] = (1.0, 1.0, 1.0, 1.0)) -> list[Example]:
    rng = random.Random(seed)
    return [
        Example(*random_rows(rng, length), [rng.choice(LABELS) for _ in range(length)], weight)
        for length, weight in zip((4, 3, 5, 1), weights, strict=True)
    ]


def penalised_loss(weights: dict[str, Any], examples: list[Example], penalty: float, step_penalty: float) -> float:
    loss: float = 0.5 * penalty * sum(x * x for row in [weights["first"], *weights["items"].values()] for x in row)
    loss += 0.5 * step_penalty * sum(x * x for row in weights["steps"].values() for x in row)
    for one in examples:
        items, steps = [list(row) for row in one.items], [list(row) for row in one.steps]
        scores = [path_score(weights, items, steps, path) for path in all_paths(len(items))]
        gold = path_score(weights, items, steps, [LABELS.index(label) for label in one.labels])
        loss += one.weight * (float(np.logaddexp.reduce(scores)) - gold)
    return loss


def slopes(weights: dict[str, Any], loss: Callable[[dict[str, Any]], float]) -> list[float]:
    """Measure the slope of a loss along every weight by a small step to either side."""
    step, out = 1e-4, []
    rows = [weights["first"], *weights["items"].values(), *weights["steps"].values()]
    for row in rows:
        for i, value in enumerate(row):
            row[i] = value + step
            above = loss(weights)
            row[i] = value - step
            below = loss(weights)
            row[i] = value
            out.append((above - below) / (2 * step))
    return out


@pytest.mark.parametrize("sizes", [(1.0, 1.0, 1.0, 1.0), (0.3, 1.0, 2.0, 1.0)])
def test_fitted_weights_sit_at_the_top_of_the_likelihood(sizes: tuple[float, ...]) -> None:
    """Weights are kept to three decimals, so the slope is nought to a few thousandths, not exactly."""
    examples, penalty, step_penalty = lessons(3, sizes), 0.7, 1.3
    fitted = fit_chain(examples, LABELS, penalty, step_penalty, rounds=500, rare=1)
    assert set(fitted["items"]) == set(FEATURES)
    measured = slopes(fitted, lambda weights: penalised_loss(weights, examples, penalty, step_penalty))
    assert np.abs(measured).max() < 0.01
    unfitted = {**fitted, "first": [0.0] * len(LABELS)}
    unfitted["items"] = {name: [0.0] * len(LABELS) for name in fitted["items"]}
    unfitted["steps"] = {name: [0.0] * len(LABELS) ** 2 for name in fitted["steps"]}
    assert np.abs(slopes(unfitted, lambda w: penalised_loss(w, examples, penalty, step_penalty))).max() > 0.5


@pytest.mark.parametrize("length", [5, 95])
def test_the_gradient_that_fitting_follows_is_the_slope_of_its_loss(
    length: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    caught: list[Callable[[Any], tuple[float, Any]]] = []

    def catch(objective: Callable[[Any], tuple[float, Any]], start: Any, **options: Any) -> Any:
        caught.append(objective)
        return minimize(objective, start, **options)

    monkeypatch.setattr(chain_fit, "minimize", catch)
    rng = random.Random(9)
    one = Example(*random_rows(rng, length), [rng.choice(LABELS) for _ in range(length)], 0.8)
    fitted = fit_chain([*lessons(9, (0.5, 1.0, 2.0, 1.0)), one], LABELS, 0.7, 1.3, rounds=2, rare=1)
    size = len(LABELS) * (len(fitted["items"]) + len(LABELS) * len(fitted["steps"]) + 1)
    place = np.random.default_rng(9).normal(size=size)
    wrong = check_grad(lambda x: caught[0](x)[0], lambda x: caught[0](x)[1], place)
    assert wrong < 1e-5 * np.abs(caught[0](place)[1]).max()


def test_the_same_lessons_give_the_same_weights_to_the_byte() -> None:
    once, again = (json.dumps(fit_chain(lessons(5), LABELS, rounds=50, rare=1)) for _ in range(2))
    assert once == again


def test_the_same_classes_give_the_same_weights_file_to_the_byte() -> None:
    heard = [make_lesson(one, "captions", listener()) for one in load_classes(["d01", "d02"])]
    once, again = (json.dumps(fit(heard, rounds=2)) for _ in range(2))
    assert once == again


def test_a_weighty_lesson_counts_as_if_it_were_there_twice() -> None:
    examples = lessons(7)
    twice = fit_chain([*examples, examples[0]], LABELS, rounds=500, rare=1)
    weighty = fit_chain(lessons(7, (2.0, 1.0, 1.0, 1.0)), LABELS, rounds=500, rare=1)
    for part in ("items", "steps"):
        for name, row in twice[part].items():
            assert weighty[part][name] == pytest.approx(row, abs=0.005)


def test_what_is_shown_often_is_learnt() -> None:
    example = Example([["one up"], ["near the end"]] * 3, [["quick"]] * 6, ["rep", "left"] * 3)
    model = ChainModel.from_dict(fit_chain([example] * 4, LABELS))
    assert read_chain(model, [["one up"], ["near the end"]], [[], ["quick"]]).labels == ("rep", "left")


def test_a_feature_met_too_seldom_is_not_learnt_by_heart() -> None:
    example = Example([["one up"], ["seen once"], ["one up"]], [["quick"]] * 3, ["rep", "left", "rep"])
    assert set(fit_chain([example] * 2, LABELS, rare=3)["items"]) == {"one up"}


def test_the_mean_of_two_chains_has_the_mean_of_their_weights() -> None:
    one = {"labels": ["a", "b"], "first": [1.0, 0.0], "items": {"x": [2.0, 0.0], "y": [1.0, 1.0]}, "steps": {}}
    two = {"labels": ["a", "b"], "first": [0.0, 0.0], "items": {"x": [0.0, 1.0]}, "steps": {"s": [1.0] * 4}}
    both = mean_chain([one, two])
    assert both["first"] == [0.5, 0.0]
    assert both["items"] == {"x": [1.0, 0.5], "y": [0.5, 0.5]}
    assert both["steps"] == {"s": [0.5] * 4}
