"""Fit the weights of a label chain by maximum likelihood with a quadratic penalty (numpy and scipy)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

#: Features seen fewer times than this in the training classes are dropped: they would be learnt by heart.
RARE = 4
#: Long sequences are cut into pieces of this many items for fitting, so that many are summed at once; only the
#: one step across each cut is not learnt from.
PIECE = 40


@dataclass(frozen=True)
class Example:
    """One labelled sequence. ``weight`` scales how much it counts."""

    items: Sequence[Sequence[str]]
    steps: Sequence[Sequence[str]]
    labels: Sequence[str]
    weight: float = 1.0
    opens: bool = True


def _pieces(one: Example) -> list[Example]:
    return [
        Example(one.items[a : a + PIECE], one.steps[a : a + PIECE], one.labels[a : a + PIECE], one.weight, a == 0)
        for a in range(0, len(one.items), PIECE)
    ]


def fit_chain(
    examples: Sequence[Example],
    labels: Sequence[str],
    penalty: float = 1.0,
    step_penalty: float = 1.0,
    rounds: int = 120,
    rare: int = RARE,
) -> dict[str, Any]:
    """Return a model in the JSON form that ``pipeline.counting.chain.ChainModel`` reads."""
    examples = [piece for one in examples for piece in _pieces(one)]
    counts = Counter(name for one in examples for item in one.items for name in set(item))
    names = sorted(name for name, n in counts.items() if n >= rare)
    step_counts = Counter(name for one in examples for step in one.steps[1:] for name in step)
    opens = np.array([one.opens for one in examples], dtype=float)[:, None]
    step_names = sorted(name for name, n in step_counts.items() if n >= rare)
    column = {name: i for i, name in enumerate(names)}
    step_column = {name: i for i, name in enumerate(step_names)}
    place = {label: i for i, label in enumerate(labels)}
    size, longest = len(labels), max(len(one.items) for one in examples)
    batch = len(examples)

    rows, cols, step_rows, step_cols, gold = [], [], [], [], np.full((batch, longest), -1)
    for b, one in enumerate(examples):
        for t, item in enumerate(one.items):
            gold[b, t] = place[one.labels[t]]
            for name in set(item):
                if name in column:
                    rows.append(b * longest + t)
                    cols.append(column[name])
            if t:
                for name in one.steps[t]:
                    if name in step_column:
                        step_rows.append(b * longest + t)
                        step_cols.append(step_column[name])
    shape = (batch * longest, len(names))
    features = csr_matrix((np.ones(len(rows)), (rows, cols)), shape=shape)
    steps = csr_matrix((np.ones(len(step_rows)), (step_rows, step_cols)), shape=(batch * longest, len(step_names)))
    features_t, steps_t = features.T.tocsr(), steps.T.tocsr()
    mask = gold >= 0
    weight = np.array([one.weight for one in examples])
    one_hot = np.zeros((batch, longest, size))
    b_index, t_index = np.nonzero(mask)
    one_hot[b_index, t_index, gold[mask]] = 1.0
    pair_gold = np.einsum("bti,btj->btij", one_hot[:, :-1], one_hot[:, 1:]) * weight[:, None, None, None]
    n_items, n_steps = len(names) * size, len(step_names) * size * size
    emp_items = features_t @ (one_hot * weight[:, None, None]).reshape(-1, size)
    full_pairs = np.zeros((batch, longest, size, size))
    full_pairs[:, 1:] = pair_gold
    emp_steps = steps_t @ full_pairs.reshape(-1, size * size)
    emp_first = (one_hot[:, 0] * opens * weight[:, None]).sum(axis=0)
    step_mask = mask[:, 1:]

    def unpack(theta: Any) -> tuple[Any, Any, Any]:
        return (
            theta[:n_items].reshape(len(names), size),
            theta[n_items : n_items + n_steps].reshape(len(step_names), size * size),
            theta[n_items + n_steps :],
        )

    def objective(theta: Any) -> tuple[float, Any]:
        w_items, w_steps, w_first = unpack(theta)
        scores = np.asarray(features @ w_items).reshape(batch, longest, size)
        moves = np.asarray(steps @ w_steps).reshape(batch, longest, size, size)
        scores[:, 0] += w_first * opens
        top = scores.max(axis=2, keepdims=True)
        pull = np.exp(scores - top)
        pull[~mask] = 1.0
        push = np.exp(moves)
        push[~mask] = np.eye(size)
        ahead, behind = np.empty_like(scores), np.empty_like(scores)
        norm = np.empty((batch, longest))
        for t in range(longest):
            step = pull[:, t] if t == 0 else (ahead[:, t - 1][:, None, :] @ push[:, t])[:, 0, :] * pull[:, t]
            norm[:, t] = step.sum(axis=1)
            ahead[:, t] = step / norm[:, t][:, None]
        behind[:, -1] = 1.0
        for t in range(longest - 2, -1, -1):
            later = (pull[:, t + 1] * behind[:, t + 1])[:, :, None]
            behind[:, t] = (push[:, t + 1] @ later)[:, :, 0] / norm[:, t + 1][:, None]
        total = np.log(norm).sum(axis=1) + (top[:, :, 0] * mask).sum(axis=1)
        chances = ahead * behind * mask[:, :, None]
        pairs = np.zeros_like(moves)
        pairs[:, 1:] = (
            ahead[:, :-1, :, None]
            * push[:, 1:]
            * (pull[:, 1:] * behind[:, 1:] / norm[:, 1:, None])[:, :, None, :]
            * step_mask[:, :, None, None]
        )
        path = (one_hot * scores).sum(axis=(1, 2)) + (full_gold * moves).sum(axis=(1, 2, 3))
        loss = float((weight * (total - path)).sum())
        g_items = features_t @ (chances * weight[:, None, None]).reshape(-1, size) - emp_items
        g_steps = steps_t @ (pairs * weight[:, None, None, None]).reshape(-1, size * size) - emp_steps
        g_first = (chances[:, 0] * opens * weight[:, None]).sum(axis=0) - emp_first
        loss += 0.5 * penalty * float((w_items**2).sum() + (w_first**2).sum())
        loss += 0.5 * step_penalty * float((w_steps**2).sum())
        grad = np.concatenate(
            [(g_items + penalty * w_items).ravel(), (g_steps + step_penalty * w_steps).ravel(),
             g_first + penalty * w_first]
        )  # fmt: skip
        return loss, grad

    full_gold = np.zeros_like(full_pairs)
    full_gold[:, 1:] = np.einsum("bti,btj->btij", one_hot[:, :-1], one_hot[:, 1:])
    start = np.zeros(n_items + n_steps + size)
    result = minimize(objective, start, jac=True, method="L-BFGS-B", options={"maxiter": rounds, "maxcor": 8})
    w_items, w_steps, w_first = unpack(result.x)
    return {
        "labels": list(labels),
        "first": [round(float(x), 3) for x in w_first],
        "items": {
            name: [round(float(x), 3) for x in w_items[i]]
            for i, name in enumerate(names)
            if np.abs(w_items[i]).max() >= 0.02
        },
        "steps": {name: [round(float(x), 3) for x in w_steps[i]] for i, name in enumerate(step_names)},
    }


def mean_chain(chains: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """Return the chain whose weights are the mean of those of several with the same labels; a missing one is nought."""

    def mean(rows: Sequence[Sequence[float] | None]) -> list[float]:
        known = np.array([row for row in rows if row is not None])
        return [round(float(x), 3) for x in known.sum(axis=0) / len(rows)]

    out: dict[str, Any] = {"labels": chains[0]["labels"], "first": mean([one["first"] for one in chains])}
    for part in ("items", "steps"):
        names = sorted({name for one in chains for name in one[part]})
        out[part] = {name: mean([one[part].get(name) for one in chains]) for name in names}
    return out
