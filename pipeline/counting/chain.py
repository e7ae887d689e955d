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
from itertools import accumulate, chain
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Matrix = NDArray[np.float64]

WEIGHTS = Path(__file__).with_name("weights.json")


@dataclass(frozen=True)
class Table:
    """The weights of features, a row each; ``row_of`` names the rows. Row 0 is all noughts: every sum starts there."""

    row_of: dict[str, int]
    rows: Matrix

    @classmethod
    def of(cls, weights: dict[str, list[float]], *shape: int) -> Table:
        """Stack the weights of all features, each of ``shape``."""
        import numpy as np

        rows = np.zeros((len(weights) + 1, *shape))
        for row, values in enumerate(weights.values(), 1):
            rows[row] = np.reshape(values, shape)
        return cls({name: row for row, name in enumerate(weights, 1)}, rows)

    def sums(self, features: Sequence[Sequence[str]]) -> Matrix:
        """Return for each list of features the sum of their weights; unknown ones count nothing."""
        import numpy as np

        row_of = self.row_of
        known = [[0, *[row_of[name] for name in names if name in row_of]] for names in features]
        starts = [0, *accumulate(map(len, known))][:-1]
        sums: Matrix = np.add.reduceat(self.rows[list(chain.from_iterable(known))], starts, axis=0)
        return sums


@dataclass(frozen=True)
class ChainModel:
    """Weights of one chain: an item's feature has one weight a label, a step's one a pair (before, after).

    ``first`` has one weight a label for the first item of a sequence.
    """

    labels: tuple[str, ...]
    items: Table
    steps: Table
    first: Matrix

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> ChainModel:
        """Build a model from its JSON form."""
        import numpy as np

        labels = tuple(data["labels"])
        size = len(labels)
        items, steps = Table.of(data["items"], size), Table.of(data["steps"], size, size)
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
    scores = model.items.sums(items)
    scores[0] += model.first
    moves = model.steps.sums(steps)
    return Reading(*_decode(model.labels, scores, moves))


def _decode(labels: tuple[str, ...], scores: Matrix, moves: Matrix) -> tuple[tuple[str, ...], Matrix]:
    return tuple(labels[i] for i in _best_path(scores, moves)), _chances(scores, moves)


def _best_path(scores: Matrix, moves: Matrix) -> list[int]:
    import numpy as np

    into = np.ascontiguousarray(moves.transpose(0, 2, 1))
    best, back = scores[0], []
    for t in range(1, len(scores)):
        trial = into[t] + best
        back.append(trial.argmax(axis=1))
        best = trial.max(axis=1) + scores[t]
    path = [int(best.argmax())]
    for before in reversed(back):
        path.append(int(before[path[-1]]))
    path.reverse()
    return path


def _chances(scores: Matrix, moves: Matrix) -> Matrix:
    """Sum over all paths, forward and backward; each step is scaled to its largest part, so that none overflows."""
    import numpy as np

    count = len(scores)
    own = np.exp(scores - scores.max(axis=1, keepdims=True))
    step = np.exp(moves - moves.max(axis=(1, 2), keepdims=True))
    ahead, behind = np.empty_like(own), np.ones_like(own)
    ahead[0] = own[0]
    for t in range(1, count):
        row = (ahead[t - 1] @ step[t]) * own[t]
        ahead[t] = row / row.sum()
    for t in range(count - 2, -1, -1):
        row = step[t + 1] @ (own[t + 1] * behind[t + 1])
        behind[t] = row / row.sum()
    joint = ahead * behind
    chances: Matrix = joint / joint.sum(axis=1, keepdims=True)
    return chances
