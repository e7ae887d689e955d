"""What "left" and "right", said before a set or as it begins, show of the side that works in it.

Every such word has features: the part of the body it belongs to, what that part does, the words around, its place.
What each is worth is fitted from annotated classes (``tests/bench/fit_sides.py``), since a part named may work, hold,
carry, steady itself on a bench or only be passed over on the way to the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pipeline.mentions.hear import Mentions
from pipeline.model import Side

Limb = Literal["arm", "leg", ""]

SIDES: dict[str, Side] = {"left": "left", "right": "right"}
_OPPOSITE: dict[Side, Side] = {"left": "right", "right": "left"}
_PARTS = {
    "arm": "arm", "arms": "arm", "elbow": "arm", "hand": "hand", "hands": "hand", "wrist": "hand", "leg": "leg",
    "legs": "leg", "calf": "leg", "thigh": "leg", "foot": "foot", "toe": "foot", "toes": "foot", "heel": "foot",
    "knee": "knee", "ankle": "ankle", "shin": "ankle", "hip": "hip", "glute": "hip", "cheek": "hip", "side": "side",
    "shoulder": "shoulder", "ear": "ear",
}  # fmt: skip
_LEG_PARTS, _ARM_PARTS = frozenset({"leg", "foot", "knee", "ankle"}), frozenset({"hand", "arm"})
_WORKS = frozenset("first works working starts leads goes now lifts pulls presses moves then".split())
_STILL = frozenset(
    "stays holds hold is planted stands down steady shelf rests supports bent forward front back out in".split()
)
#: Where one leg stands and works, the other one does this.
_FREE = frozenset(
    "floats float lifts lift hovers hover lifted floating free off up away leaves back behind swings".split()
)
_STANDS = frozenset("stands stand planted down rooted roots grounded standing stays front forward leads ahead".split())
_MOVES = frozenset("lift raise pull bring press push kick extend reach float".split())
_WAYS = frozenset("in out up down back forward forwards front behind".split())
_ACROSS = frozenset("over across to onto on against into".split())
_IN_TURN = frozenset("first now next again only".split())
_LYING = frozenset("flip roll rolls rolling lie lies lying turn over".split())
_SURFACES = frozenset("bench floor mat wall chair seat bar thigh step bed sofa".split())
_ON, _TOWARDS = frozenset({"on", "onto", "with", "for"}), frozenset({"to", "towards", "over"})
_WITH = frozenset({"with", "into", "in"})
_ALONE = "side alone"
_PLACES = frozenset({"your", "the", "our", "that"})
_OPENS = frozenset("okay and now then so the your last other swap change".split())
_CORRECTS = frozenset({"sorry", "no", "wait", "mean"})
#: Words that a part's doing is read from, after it; and sentences before the set that are near, and far.
AFTER, NEAR, FAR = 3, 1, 4


@dataclass(frozen=True, slots=True)
class SideSet:
    """A set as the sides see it: utterance ranges of the set and of the talk before it, and its exercise.

    ``sided`` is what the lexicon says: the exercise is done side by side ("yes"), in turn ("alternating"), with both
    at once ("no"), or "" where it is not known. ``one_legged`` says that it is the leg stood on which works (a squat
    or hinge on one leg), not the one in the air, ``side_lying`` that one lies on the side that does not work, and
    ``limb`` whether arms or legs work.
    """

    span: tuple[int, int]
    gap: tuple[int, int]
    exercise: str
    chapter: int
    sided: str
    one_legged: bool = False
    side_lying: bool = False
    limb: Limb = ""


@dataclass(frozen=True, slots=True)
class SideWord:
    """The word at ``at``, the side that it speaks for, and what it shows.

    That is the side named, but the other one where it is lain on while the upper works, or lifted while the one
    stood on does.
    """

    at: int
    side: Side
    features: tuple[str, ...]


def words_before(mentions: Mentions, one: SideSet) -> range:
    """Return the words that may name the side of a set: the talk before it and its first sentence."""
    first = one.gap[0] if one.gap[1] > one.gap[0] else one.span[0]
    return range(mentions.utterances[first].first, mentions.utterances[one.span[0]].stop)


def side_words(mentions: Mentions, one: SideSet) -> list[SideWord]:
    """Return the words before a set, and in its first sentence, that name a side, in order."""
    said = words_before(mentions, one)
    places = [k for k in said if mentions.tokens[k] in SIDES]
    counted = {n.words[0] for n in mentions.numbers if n.form in {"word", "figure"}}
    return [_side_word(mentions, one, k, places, counted) for k in places]


def _side_word(mentions: Mentions, one: SideSet, k: int, places: list[int], counted: set[int]) -> SideWord:
    tokens = mentions.tokens
    side = SIDES[tokens[k]]
    if one.side_lying and _lain_on(tokens, k):
        side, doing = _OPPOSITE[side], ["the other is lain on"]
    elif one.one_legged and _stood_on(tokens, k) is False:
        side, doing = _OPPOSITE[side], ["the other is in the air"]
    elif not one.one_legged and one.limb != "arm" and _stood_on(tokens, k):
        side, doing = _OPPOSITE[side], ["the other is stood on"]
    else:
        doing = _part_and_doing(mentions, one, k)
    begins = mentions.utterances[one.span[0]].first
    return SideWord(k, side, (*doing, *_around(mentions, k, counted), *_place(mentions, k, places, begins)))


def _part(tokens: tuple[str, ...], k: int) -> str:
    """Return the kind of part that the side at word ``k`` is said of: "foot" for "left heel"; "" for none."""
    return "".join(_PARTS.get(word.removesuffix("'s"), "") for word in tokens[k + 1 : k + 2])


def _limb(part: str) -> Limb:
    return "leg" if part in _LEG_PARTS else "arm" if part in _ARM_PARTS else ""


def _part_and_doing(mentions: Mentions, one: SideSet, k: int) -> list[str]:
    """Return which part is named, how it fits the exercise, and what it does."""
    tokens = mentions.tokens
    stop = mentions.utterances[mentions.utterance_of[k]].stop
    part = _part(tokens, k)
    begin = k + 2 if part else k + 1
    after = tokens[begin : min(begin + AFTER, max(stop, begin))]
    limb = _limb(part)
    of = limb or part or _ALONE
    out = ["said", part or _ALONE]
    if part:
        out.append(f"{of}, {one.limb or 'other'} work")
    if one.one_legged:
        out.append(f"{of}, on one leg")
        if limb == "leg":
            out.append("stood on" if _stood_on(tokens, k) else "not said to be stood on")
    if _lain_on(tokens, k):
        out.append("lain on")
    if _STANDS & set(after):
        out.append(f"{of} stands")
    if _FREE & set(after):
        out.append(f"{of} is free")
    if _WORKS & set(after[:2]):
        out.append("works")
    if _STILL & set(after[:2]):
        out.append(f"{of} is still")
    if _SURFACES & set(after):
        out.append("on a surface")
    if after and after[0] in _ACROSS:
        out.append(f"then {after[0]}")
    if after and after[0] in _WAYS:
        out.append(f"{of} {after[0]}")
    if after and after[0] in _IN_TURN:
        out.append("its turn")
    if not after:
        out.append("ends sentence")
    return out


def _around(mentions: Mentions, k: int, counted: set[int]) -> list[str]:
    """Return what the words before the one at ``k``, and numbers near it, show."""
    tokens = mentions.tokens
    part = _part(tokens, k) or _ALONE
    before, onto = tokens[k - 1] if k else "", tokens[k - 2] if k > 1 else ""
    preposition = onto if before in _PLACES else before
    out = []
    if before in _PLACES and onto in _ON:
        out.append(f"on the {part}")
        if counted & set(range(k - 5, k - 1)):
            out.append("counted on")
    if preposition in _TOWARDS:
        out.append(f"to the {part}")
    if preposition in _WITH:
        out.append(f"with the {part}")
    if preposition in _MOVES:
        out.append("moved")
    if before in {"other", "opposite", "bottom", "top"}:
        out.append(f"the {before} one")
    if counted & set(range(k - 3, k + 4)):
        out.append("number near")
    if before in _CORRECTS or onto in {"sorry", "no"}:
        out.append("correction")
    return out


def _place(mentions: Mentions, k: int, places: list[int], begins: int) -> list[str]:
    """Return where the word at ``k`` stands: in its sentence, among the other words that name sides, before the set."""
    tokens = mentions.tokens
    utterance = mentions.utterance_of[k]
    first = mentions.utterances[utterance].first
    part = _part(tokens, k) or _ALONE
    others = [o for o in places if tokens[o] != tokens[k]]
    beside = [o for o in others if mentions.utterance_of[o] == utterance]
    out = []
    if k == first or (k == first + 1 and tokens[first] in _OPENS):
        out.append(f"opens sentence, {part}")
    if any(o < k for o in beside):
        out.append("second of two")
    if any(o > k for o in beside):
        out.append("first of two")
    if any(abs(o - k) <= 2 for o in others):
        out.append("close to the other")
    if "then" in tokens[first:k]:
        out.append("after then")
    if k > places[0]:
        out.append("not first")
    if k == places[-1]:
        out.append("last")
    if k >= begins:
        out.append(f"in the set, {part}")
    far = mentions.utterance_of[begins] - utterance
    if far == NEAR:
        out.append("just before")
    elif far >= FAR:
        out.append("long before")
    return out


def _lain_on(tokens: tuple[str, ...], k: int) -> bool:
    """Tell whether the side at word ``k`` is the one lain on: "roll onto your right side", "left side down"."""
    if tokens[k + 1 : k + 2] != ("side",):
        return False
    return tokens[k + 2 : k + 3] == ("down",) or bool(_LYING & set(tokens[max(0, k - 4) : k]))


def _stood_on(tokens: tuple[str, ...], k: int) -> bool | None:
    """Tell whether the leg at word ``k`` is stood on (or in the air); ``None`` where neither is said."""
    after = set(tokens[k + 2 : k + 2 + AFTER])
    before = tokens[max(0, k - 2) : k]
    if _STANDS & after:
        return True
    if _FREE & after or (before[:1] and before[0] in {"lift", "float"} and before[-1] in _PLACES):
        return False
    on = len(before) == 2 and before[0] in {"on", "to", "onto"} and before[1] in _PLACES
    return True if on else None
