"""Sides: which side works in each set, as said ("on the right") or switched ("other side").

The sets of a class are decided together, as the best path over "none", left and right: sets of one exercise
usually give both sides their turn, "swap" changes sides, and a later round keeps the order of the first. A
side that only holds, carries or steadies is not the working one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from pipeline.mentions.hear import Mentions
from pipeline.model import Side

#: How much a mention of a side weighs by the word after it; a foot or a knee often belongs to the other side.
_PARTS = {
    "arm": 1.6, "leg": 1.6, "side": 1.8, "hand": 0.9, "hip": 1.1, "foot": 0.6, "knee": 0.7, "shoulder": 0.7,
    "elbow": 0.9, "arm's": 0.4, "ankle": 0.9, "heel": 0.9, "glute": 1.0, "calf": 1.0, "thigh": 0.5, "arms": 0.4,
    "legs": 0.4,
}  # fmt: skip
_PLAIN = 0.5
#: "Ten on the right": the number says that this side is the one that is counted.
_COUNTED = 1.6
#: No side is believed more than this, however often it is said.
_MOST = 4.2
_WORKS = frozenset("first works working starts leads goes now lifts pulls presses moves then".split())
_STILL = frozenset(
    "stays holds hold is planted stands down steady shelf rests supports bent forward front back out in".split()
)
#: Where one leg stands and works, the other one does this.
_FREE = frozenset(
    "floats float lifts lift hovers hover lifted floating free off up away leaves back behind swings".split()
)
_STANDS = frozenset("stands stand planted down rooted roots grounded standing stays front forward leads ahead".split())
#: "Lift your" before "left leg" frees it; "on the" makes it the one that is stood on.
_RAISED = frozenset(product(("lift", "float"), ("your", "the")))
_STOOD_ON = frozenset(product(("on", "to", "onto"), ("your", "the")))
_LYING = frozenset("flip roll rolls rolling lie lies lying turn over".split())
_HANDS = (("hand",), ("arm",))
#: A hand says little of which leg works.
HOLDING = 0.3
_LEGS = frozenset({"leg", "foot", "heel", "knee", "toes"})
#: What it says of the other side that one lies on a side; and what of a leg that it stands, or is free.
ON_TOP, STANDING = 1.6, 1.2
_SURFACES = frozenset("bench floor mat wall chair seat bar thigh step bed sofa".split())
_ONTO = frozenset({"on", "to", "onto", "with", "for"})
_PLACES = frozenset({"your", "the", "our", "that"})
_CHOICES: tuple[Side | None, ...] = (None, "left", "right")
_SIDES: dict[str, Side] = {"left": "left", "right": "right"}
_OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left"}
#: What it takes to believe in a side; what agreeing or disagreeing with "swap" weighs; what it costs that an
#: exercise gets only one side, or a side in only some of its sets; what it is worth to keep a round's order.
DOUBT, SWAP, NO_SWAP, CARRY_ON, LONELY, PATCHY, SAME_ORDER = 0.8, 2.2, 1.6, 0.5, 1.5, 1.6, 1.0
#: What is left of the evidence where both sides are named during the set: it probably alternates.
BOTH_WAYS = 0.35


@dataclass(frozen=True, slots=True)
class SideSet:
    """A set as the sides see it: utterance ranges of the set and of the talk before it, and its exercise.

    ``prior`` says how likely the exercise is done side by side: positive for yes, negative for no; ``one_legged``
    that it is the leg stood on which works (a squat or hinge on one leg), not the one in the air, and
    ``side_lying`` that one lies on the side that does not work.
    """

    span: tuple[int, int]
    gap: tuple[int, int]
    exercise: str
    chapter: int
    prior: float
    one_legged: bool = False
    side_lying: bool = False


def decide_sides(mentions: Mentions, sets: Sequence[SideSet]) -> list[Side | None]:
    """Return the working side of each set of a class, ``None`` where it has none."""
    paths: dict[tuple[Side | None, bool], tuple[float, tuple[Side | None, ...]]] = {(None, True): (0.0, ())}
    orders: dict[str, list[int]] = {}
    for k, one in enumerate(sets):
        goes_on = k > 0 and (sets[k - 1].exercise == one.exercise or sets[k - 1].chapter == one.chapter)
        if not goes_on:
            earlier = orders.get(one.exercise, [])
            orders[one.exercise] = []
        orders.setdefault(one.exercise, []).append(k)
        place = len(orders[one.exercise]) - 1
        model = earlier[place] if place < len(earlier) else None
        evidence = _evidence(mentions, one)
        if _both_ways(mentions, one.span):
            evidence = {side: BOTH_WAYS * weight for side, weight in evidence.items()}
        swap = _swap_said(mentions, one.gap, one.span)
        paths = _advance(paths, one, goes_on, evidence, swap, model)
    finals = [(score - (0.0 if whole else LONELY), path) for (_, whole), (score, path) in paths.items()]
    return list(max(finals, key=lambda pair: pair[0])[1])


def _advance(
    paths: dict[tuple[Side | None, bool], tuple[float, tuple[Side | None, ...]]],
    one: SideSet,
    goes_on: bool,
    evidence: dict[Side, float],
    swap: bool,
    model: int | None,
) -> dict[tuple[Side | None, bool], tuple[float, tuple[Side | None, ...]]]:
    out: dict[tuple[Side | None, bool], tuple[float, tuple[Side | None, ...]]] = {}
    for (last, whole), (score, path) in paths.items():
        for side in _CHOICES:
            gain = 0.0
            now_whole = True
            if side is not None:
                gain += evidence[side] - evidence[_OPPOSITE[side]] - DOUBT + one.prior
                now_whole = goes_on and last is not None and (whole or last != side)
                if model is not None:
                    gain += SAME_ORDER if path[model] == side else (-SAME_ORDER if path[model] is not None else 0.0)
            if goes_on:
                if (side is None) != (last is None):
                    gain -= PATCHY
                elif side is not None:
                    changed = side != last
                    gain += SWAP if changed and swap else (-NO_SWAP if changed else (-SWAP if swap else CARRY_ON))
            elif not whole:
                gain -= LONELY
            state = (side, now_whole)
            total = score + gain
            if state not in out or total > out[state][0]:
                out[state] = (total, (*path, side))
    return out


def _evidence(mentions: Mentions, one: SideSet) -> dict[Side, float]:
    gap, span = one.gap, one.span
    totals: dict[Side, float] = {"left": 0.0, "right": 0.0}
    tokens = mentions.tokens
    first = mentions.utterances[gap[0]].first if gap[1] > gap[0] else mentions.utterances[span[0]].first
    stop = mentions.utterances[min(span[0] + 1, span[1]) - 1].stop
    begins = mentions.utterances[span[0]].first
    counted = {n.words[0] for n in mentions.numbers if n.form in {"word", "figure"}}
    found: list[tuple[int, Side, float]] = []
    for k in range(first, stop):
        side = _SIDES.get(tokens[k])
        if side is None:
            continue
        weight = _weight(tokens, k, counted)
        if one.side_lying and _lain_on(tokens, k):
            side, weight = _OPPOSITE[side], ON_TOP
        elif one.one_legged and (stood := _stood_on(tokens, k)) is not None:
            side, weight = (side if stood else _OPPOSITE[side]), STANDING
        elif one.one_legged and tokens[k + 1 : k + 2] in _HANDS:
            weight *= HOLDING
        before, onto = tokens[k - 1] if k else "", tokens[k - 2] if k > 1 else ""
        if before in {"sorry", "no", "wait", "mean"} or onto in {"sorry", "no"}:
            found = [f for f in found if k - f[0] > 6]
            weight += 0.5
        at = mentions.utterances[mentions.utterance_of[k]]
        if "then" in tokens[at.first : k] and any(f[0] >= at.first for f in found):
            weight *= 0.35
        if k >= begins:
            weight *= 0.8
        found.append((k, side, weight))
    for k, side, weight in found:
        paired = any(
            other[1] != side and abs(other[0] - k) <= 2 and tokens[k + 1 : k + 2] != ("arm",) for other in found
        )
        totals[side] += weight * (0.4 if paired and tokens[min(k + 1, len(tokens) - 1)] not in _PARTS else 1.0)
    return {"left": min(totals["left"], _MOST), "right": min(totals["right"], _MOST)}


def _lain_on(tokens: tuple[str, ...], k: int) -> bool:
    """Tell whether the side at word ``k`` is the one lain on: "roll onto your right side", "left side down"."""
    if tokens[k + 1 : k + 2] != ("side",):
        return False
    return tokens[k + 2 : k + 3] == ("down",) or bool(_LYING & set(tokens[max(0, k - 4) : k]))


def _stood_on(tokens: tuple[str, ...], k: int) -> bool | None:
    """Tell whether the leg at word ``k`` is stood on (or in the air); ``None`` where neither is said."""
    if not _LEGS & set(tokens[k + 1 : k + 2]):
        return None
    after = set(tokens[k + 2 : k + 5])
    before = tokens[max(0, k - 2) : k]
    if _STANDS & after:
        return True
    if _FREE & after or before in _RAISED:
        return False
    return True if before in _STOOD_ON else None


def _weight(tokens: tuple[str, ...], k: int, counted: set[int]) -> float:
    after = tokens[k + 1] if k + 1 < len(tokens) else ""
    if after not in _PARTS and after.endswith("'s"):
        after = after[:-2]
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
    if _SURFACES & set(tokens[k + 1 : k + 7]) and after in _PARTS:
        weight *= 0.4
    return weight


def _both_ways(mentions: Mentions, span: tuple[int, int]) -> bool:
    """Tell whether both sides are named while a set goes on: then it alternates."""
    said = set(mentions.tokens[mentions.utterances[span[0]].first : mentions.utterances[span[1] - 1].stop])
    return {"left", "right"} <= said


def _swap_said(mentions: Mentions, gap: tuple[int, int], span: tuple[int, int]) -> bool:
    first = mentions.utterances[gap[0]].first if gap[1] > gap[0] else mentions.utterances[span[0]].first
    stop = mentions.utterances[span[0]].stop
    return any("switch" in mentions.signs_at[k] for k in range(first, stop))
