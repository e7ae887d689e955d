"""Sides: which side works in each set of a chapter, as said ("on the right") or switched ("other side").

All sets of a chapter are decided together: sides are given only where both get their turn, or where one is
said beyond doubt. A side that only holds, carries or steadies is not the working one.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from pipeline.mentions.hear import Mentions
from pipeline.model import Side

#: How much a mention of a side weighs by the word after it; a foot or a knee often belongs to the other side.
_PARTS = {
    "arm": 1.6, "leg": 1.6, "side": 1.8, "hand": 0.9, "hip": 1.1, "foot": 0.6, "knee": 0.6, "shoulder": 0.7, "elbow": 0.9,
    "arm's": 0.4, "ankle": 0.9, "heel": 0.6, "glute": 1.0, "calf": 1.0, "thigh": 0.5,
}  # fmt: skip
_PLAIN = 0.5
#: "Ten on the right": the number says that this side is the one that is counted.
_COUNTED = 1.2
_WORKS = frozenset({"first", "works", "working", "starts", "leads", "goes", "now", "lifts", "floats", "pulls", "presses", "moves"})
_STILL = frozenset({"stays", "holds", "hold", "is", "planted", "stands", "down", "steady", "shelf", "rests", "supports", "bent"})
_ONTO = frozenset({"on", "to"})
_PLACES = frozenset({"your", "the", "our", "that"})
_OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left"}
#: What it takes to believe in sides at all, a set; and what agreeing or disagreeing with "swap" weighs.
DOUBT, SWAP, NO_SWAP, LONELY = 0.9, 2.2, 1.6, 1.7


def decide_sides(
    mentions: Mentions, spans: Sequence[tuple[int, int]], gaps: Sequence[tuple[int, int]], prior: float
) -> list[Side | None]:
    """Return the working side of each set of one chapter.

    ``spans`` and ``gaps`` are ranges of utterances: the sets, and the talk before each. ``prior`` is how likely
    the exercise is done side by side (positive for yes, negative for no).
    """
    count = len(spans)
    if count == 0 or count > 8:
        return [None] * count
    evidence = [_evidence(mentions, gap, span) for gap, span in zip(gaps, spans, strict=True)]
    swaps = [_swap_said(mentions, gap, span) for gap, span in zip(gaps, spans, strict=True)]
    best_score, best = 0.0, None
    for choice in product(("left", "right"), repeat=count):
        score = sum(e[c] - e[_OPPOSITE[c]] - DOUBT for e, c in zip(evidence, choice, strict=True))
        for i in range(1, count):
            changed = choice[i] != choice[i - 1]
            said = swaps[i]
            score += SWAP if changed and said else (-NO_SWAP if changed else (-SWAP if said else 0.3))
        if len(set(choice)) == 1:
            score -= LONELY
        score += prior * count
        if score > best_score:
            best_score, best = score, choice
    return list(best) if best is not None else [None] * count  # type: ignore[arg-type]


def _evidence(mentions: Mentions, gap: tuple[int, int], span: tuple[int, int]) -> dict[Side, float]:
    totals: dict[Side, float] = {"left": 0.0, "right": 0.0}
    tokens = mentions.tokens
    last_utterance = min(span[0] + 1, span[1])
    first = mentions.utterances[gap[0]].first if gap[1] > gap[0] else mentions.utterances[span[0]].first
    stop = mentions.utterances[last_utterance - 1].stop
    begins = mentions.utterances[span[0]].first
    counted = {n.words[0] for n in mentions.numbers if n.form in {"word", "figure"}}
    found: list[tuple[int, Side, float]] = []
    for k in range(first, stop):
        side = tokens[k]
        if side not in _OPPOSITE:
            continue
        after = tokens[k + 1] if k + 1 < len(tokens) else ""
        later = tokens[k + 2] if k + 2 < len(tokens) else ""
        before = tokens[k - 1] if k else ""
        onto = tokens[k - 2] if k > 1 else ""
        weight = _PARTS.get(after, _PLAIN)
        if before in _PLACES and onto in _ONTO and after not in _PARTS:
            weight = 1.8
        if before in _PLACES and onto in _ONTO and counted & set(range(k - 5, k - 1)):
            weight += _COUNTED
        if later in _WORKS or after in _WORKS:
            weight += 0.8
        if later in _STILL or after in _STILL:
            weight *= 0.35
        if after == "side" and later in {"down", "up"}:
            weight = 0.2
        if before in {"sorry", "no", "wait", "yes"} or onto in {"sorry", "no"}:
            found = [f for f in found if k - f[0] > 6]
            weight += 0.5
        if k >= begins:
            weight *= 0.8
        found.append((k, side, weight))  # type: ignore[arg-type]
    for k, side, weight in found:
        near = any(other[1] != side and abs(other[0] - k) <= 3 for other in found)
        totals[side] += weight * (0.4 if near else 1.0)
    for side in totals:
        totals[side] = min(totals[side], 3.0)
    return totals


def _swap_said(mentions: Mentions, gap: tuple[int, int], span: tuple[int, int]) -> bool:
    first = mentions.utterances[gap[0]].first if gap[1] > gap[0] else mentions.utterances[span[0]].first
    stop = mentions.utterances[span[0]].stop
    return any("switch" in mentions.signs_at[k] for k in range(first, stop))
