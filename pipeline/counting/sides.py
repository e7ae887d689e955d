"""Sides: which side works in each set, as said ("on the right") or switched ("other side").

The sets of a class are decided together, as the best path over "none", left and right: sets of one exercise
usually give both sides their turn, "swap" changes sides, "same leg" does not. What each thing said and each step is
worth lies in ``side_weights.json``; ``tests/bench/fit_sides.py`` fits it from annotated classes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from pathlib import Path

from pipeline.counting.side_words import SIDES, SideSet, SideWord, side_words, words_before
from pipeline.mentions.hear import Mentions
from pipeline.model import Side

__all__ = ["SideSet", "Step", "decide_sides", "load_side_weights", "steps_of"]

Weights = Mapping[str, float]
#: The side of a set, and whether its exercise has had both sides so far.
State = tuple[Side | None, bool]

CHOICES: tuple[Side | None, ...] = (None, "left", "right")
NOTHING: State = (None, True)
_SAME_WORDS = """
same leg, same arm, same side, same hand, same foot, this side, this leg, this arm, this hand, this foot, that side,
stay here, stay up, stay there, hold it, keep it
"""
_SAME = frozenset(tuple(words.split()) for words in _SAME_WORDS.split(","))
_OTHER = frozenset("other opposite swap switch change second".split())
_EACH = frozenset("each alternating alternate alternates per both".split())
#: What is left of the evidence where both sides are named during the set: it probably alternates.
BOTH_WAYS = 0.35


@dataclass(frozen=True)
class Step:
    """One set on the path: what speaks for the left (negative for the right), for any side, and for a step to it.

    ``goes_on`` says that it is of the exercise or chapter of the set before, ``model`` which set had its place the
    last time its exercise was done.
    """

    words: Mapping[str, float]
    any_side: tuple[str, ...]
    goes_on: bool
    swaps: tuple[str, ...]
    model: int | None

    def features(self, state: State, side: Side | None, earlier: Side | None) -> tuple[dict[str, float], State]:
        """Return what speaks for ``side`` after ``state``, and the state then; ``earlier`` is the model set's side."""
        last, whole = state
        out: dict[str, float] = {}
        if side is not None:
            sign = 1.0 if side == "left" else -1.0
            out.update({name: sign * value for name, value in self.words.items()})
            out.update(dict.fromkeys(self.any_side, 1.0))
            if earlier is not None:
                out["order: as before" if earlier == side else "order: the other way round"] = 1.0
        if not self.goes_on:
            if not whole:
                out["path: only one side had"] = 1.0
            if side is not None and last is not None:
                out[f"path: next exercise, {'same' if side == last else 'other'} side"] = 1.0
            return out, (side, side is None)
        if (side is None) != (last is None):
            out["path: a side in only some sets"] = 1.0
        elif side is not None:
            step = "kept" if side == last else "changed"
            out[f"path: {step}"] = 1.0
            out.update({f"path: {step}, {said}": 1.0 for said in self.swaps})
            if step == "changed" and whole:
                out["path: changed again"] = 1.0
            if step == "kept" and not whole:
                out["path: kept, the other due"] = 1.0
        return out, (side, side is None or (last is not None and (whole or last != side)))


@lru_cache(maxsize=1)
def load_side_weights() -> Weights:
    """Load the shipped weights, one a feature."""
    weights: Weights = json.loads(Path(__file__).with_name("side_weights.json").read_text("utf-8"))
    return weights


def decide_sides(mentions: Mentions, sets: Sequence[SideSet], weights: Weights | None = None) -> list[Side | None]:
    """Return the working side of each set of a class, ``None`` where it has none; weights default to the shipped."""
    worth = load_side_weights() if weights is None else weights
    paths: dict[State, tuple[float, tuple[Side | None, ...]]] = {NOTHING: (0.0, ())}
    for step in steps_of(mentions, sets):
        longer: dict[State, tuple[float, tuple[Side | None, ...]]] = {}
        for state, (score, path) in paths.items():
            earlier = None if step.model is None else path[step.model]
            for side in CHOICES:
                features, then = step.features(state, side, earlier)
                total = score + sum(worth.get(name, 0.0) * value for name, value in features.items())
                if then not in longer or total > longer[then][0]:
                    longer[then] = (total, (*path, side))
        paths = longer
    return list(max(paths.values(), key=lambda pair: pair[0])[1])


def steps_of(mentions: Mentions, sets: Sequence[SideSet]) -> Iterator[Step]:
    """Yield the step of each set of a class, in order."""
    orders: dict[str, list[int]] = {}
    earlier: list[int] = []
    for k, one in enumerate(sets):
        goes_on = k > 0 and (sets[k - 1].exercise == one.exercise or sets[k - 1].chapter == one.chapter)
        if not goes_on:
            earlier = orders.get(one.exercise, [])
            orders[one.exercise] = []
        orders.setdefault(one.exercise, []).append(k)
        place = len(orders[one.exercise]) - 1
        words = side_words(mentions, one)
        said = words_before(mentions, one)
        tokens = mentions.tokens[said.start : said.stop]
        both = _both_named(mentions, one.span)
        swaps = {
            "a switch said": any("switch" in mentions.signs_at[k] for k in said),
            "the other said": not _OTHER.isdisjoint(tokens),
            "the same said": _same_said(tokens),
            "no side said": not words,
            "another exercise": k == 0 or sets[k - 1].exercise != one.exercise,
        }
        yield Step(
            _speaking_for_left(words, BOTH_WAYS if both else 1.0),
            _for_any_side(one, tokens, both),
            goes_on,
            tuple(name for name, there in swaps.items() if there),
            earlier[place] if place < len(earlier) else None,
        )


def _speaking_for_left(words: Sequence[SideWord], share: float) -> dict[str, float]:
    """Return what all words show, counted for the left and against the right, of which ``share`` is left."""
    out: dict[str, float] = {}
    for word in words:
        for name in word.features:
            out[f"word: {name}"] = out.get(f"word: {name}", 0.0) + (share if word.side == "left" else -share)
    return out


def _for_any_side(one: SideSet, tokens: Sequence[str], both: bool) -> tuple[str, ...]:
    """Return what speaks for a set having a side at all; ``tokens`` are said before it."""
    named = len(SIDES.keys() & set(tokens))
    found = {
        "any": True,
        f"exercise done by sides: {one.sided or 'unknown'}": True,
        "one side said": named == 1,
        "both sides said": named == len(SIDES),
        "both sides said in the set": both,
        "on one leg": one.one_legged,
        "side-lying": one.side_lying,
        "each side said": not _EACH.isdisjoint(tokens),
        "other side said": not _OTHER.isdisjoint(tokens),
        "same side said": _same_said(tokens),
    }
    return tuple(f"set: {name}" for name, there in found.items() if there)


def _same_said(tokens: Sequence[str]) -> bool:
    return any(pair in _SAME for pair in pairwise(tokens))


def _both_named(mentions: Mentions, span: tuple[int, int]) -> bool:
    """Tell whether both sides are named while a set goes on: then it alternates."""
    said = set(mentions.tokens[mentions.utterances[span[0]].first : mentions.utterances[span[1] - 1].stop])
    return SIDES.keys() <= said
