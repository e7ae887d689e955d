"""Stems: words without their endings, so that "we're pulling the band apart" meets "band pull-apart"."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.mentions.tokens import fold

_WORD = re.compile(r"[a-zà-ÿ]+|\d+")
#: Words that carry no meaning of their own in a name.
EMPTY = frozenset(
    """a an the with on of in to and for at your you our it its is are by from as or that this into onto then so
    we i be do just them his her their my s""".split()
)
_ENDINGS = ("ations", "ation", "tions", "tion", "sions", "sion", "ings", "ing", "ers", "er", "ened", "ens", "en", "ed")
_IRREGULAR = {
    "lying": "lie", "lain": "lie", "sat": "sit", "stood": "stand", "held": "hold", "swung": "swing", "bent": "bend",
    "reverse": "revers", "backwards": "back", "backward": "back", "forwards": "forward", "towards": "toward",
    "sideways": "side", "abducted": "abduct", "thrown": "throw", "hugging": "hug", "pulse": "puls", "feet": "foot",
    "legged": "leg", "armed": "arm", "handed": "hand", "sided": "side", "one": "single", "teeth": "tooth",
    "fingers": "finger", "finger": "finger", "lower": "lower", "lowering": "lower", "shoulder": "shoulder",
    "corner": "corner", "over": "over", "under": "under", "open": "open", "opener": "open", "opening": "open",
    "seven": "seven", "winding": "wind", "ankle": "ankle", "hammer": "hammer", "banded": "band", "string": "string",
    "ring": "ring", "swing": "swing", "wing": "wing", "spring": "spring", "bring": "bring", "king": "king",
}  # fmt: skip


@lru_cache(maxsize=16384)
def stem(word: str) -> str:
    """Return a lower-case word without its ending: "pulling" is "pull", "raises" and "raised" are "rais"."""
    known = _IRREGULAR.get(word)
    if known is not None:
        return known
    folded = fold(word)
    known = _IRREGULAR.get(folded)
    if known is not None:
        return known
    for ending in _ENDINGS:
        if folded.endswith(ending) and len(folded) - len(ending) >= 3:
            folded = folded[: -len(ending)]
            if len(folded) > 3 and folded[-1] == folded[-2] and folded[-1] not in "lsz":
                folded = folded[:-1]
            break
    return folded[:-1] if len(folded) > 3 and folded.endswith("e") else folded


@lru_cache(maxsize=16384)
def stems_of(text: str) -> tuple[str, ...]:
    """Return the stems of the words of a text that mean something, in order."""
    words = _WORD.findall(text.lower().replace("'", ""))
    return tuple(stem(word) for word in words if word not in EMPTY)
