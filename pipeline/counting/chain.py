"""A linear chain of labels over named features: score whole readings and take the best.

A *model* gives every label a weight for each feature of an item (a number, an utterance), and every pair of
neighbouring labels a weight for each feature of the step between two items. The best path over all items
(Viterbi) is the reading; the forward-backward sums give each label's probability. See Lafferty, McCallum and
Pereira, "Conditional Random Fields" (ICML 2001). Fitting lives with the benchmark; this module only decodes.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Matrix = NDArray[np.float64]

WEIGHTS = Path(__file__).with_name("weights.json")


@dataclass(frozen=True)
class ChainModel:
    """Weights of one chain: ``items[feature]`` has one weight a label, ``steps[feature]`` one a pair.

    ``first`` has one weight a label for the first item of a sequence.
    """

    labels: tuple[str, ...]
    items: dict[str, Matrix]
    steps: dict[str, Matrix]
    first: Matrix

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> ChainModel:
        """Build a model from its JSON form."""
        import numpy as np

        labels = tuple(data["labels"])
        size = len(labels)
        items = {name: np.asarray(row, dtype=np.float64) for name, row in data["items"].items()}
        steps = {name: np.asarray(row, dtype=np.float64).reshape(size, size) for name, row in data["steps"].items()}
        return cls(labels, items, steps, np.asarray(data["first"], dtype=np.float64))


@dataclass(frozen=True)
class Reading:
    """The best path: a label an item, and ``chances`` (items by labels) with every label's probability."""

    labels: tuple[str, ...]
    chances: Matrix


@lru_cache
def load_models(path: Path = WEIGHTS) -> dict[str, ChainModel]:
    """Load every chain of a weights file, by name."""
    data = json.loads(path.read_text("utf-8"))
    return {name: ChainModel.from_dict(one) for name, one in data["chains"].items()}


def read_chain(model: ChainModel, items: Sequence[Sequence[str]], steps: Sequence[Sequence[str]]) -> Reading:
    """Find the best labels of a sequence.

    ``items`` holds the feature names of every item; ``steps`` those of the step *into* every item (the
    first is not used). Unknown features count nothing. Returns labels and probabilities; empty for no items.
    """
    import numpy as np

    size = len(model.labels)
    count = len(items)
    if count == 0:
        return Reading((), np.zeros((0, size)))
    scores = np.zeros((count, size))
    known = model.items
    for t, features in enumerate(items):
        rows = [known[name] for name in features if name in known]
        if rows:
            scores[t] = np.sum(rows, axis=0)
    scores[0] += model.first
    moves = np.zeros((count, size, size))
    for t in range(1, count):
        for name in steps[t]:
            if name in model.steps:
                moves[t] += model.steps[name]
    return Reading(*_decode(model.labels, scores, moves))


def _decode(labels: tuple[str, ...], scores: Matrix, moves: Matrix) -> tuple[tuple[str, ...], Matrix]:
    import numpy as np

    count, size = scores.shape
    best = scores[0]
    back = np.zeros((count, size), dtype=np.int64)
    ahead = np.empty_like(scores)
    ahead[0] = scores[0]
    for t in range(1, count):
        trial = best[:, None] + moves[t]
        back[t] = trial.argmax(axis=0)
        best = trial.max(axis=0) + scores[t]
        ahead[t] = _log_sum(ahead[t - 1][:, None] + moves[t], axis=0) + scores[t]
    path = [int(best.argmax())]
    for t in range(count - 1, 0, -1):
        path.append(int(back[t, path[-1]]))
    path.reverse()
    behind = np.zeros_like(scores)
    for t in range(count - 2, -1, -1):
        behind[t] = _log_sum(moves[t + 1] + (scores[t + 1] + behind[t + 1])[None, :], axis=1)
    joint = ahead + behind
    chances = np.exp(joint - _log_sum(joint, axis=1)[:, None])
    return tuple(labels[i] for i in path), chances


def _log_sum(values: Matrix, axis: int) -> Matrix:
    import numpy as np

    top = values.max(axis=axis)
    result: Matrix = top + np.log(np.exp(values - np.expand_dims(top, axis)).sum(axis=axis))
    return result
