"""Stems: words without their endings, so that "we're pulling the band apart" meets "band pull-apart"."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.mentions.tokens import fold

_WORD = re.compile(r"[a-zà-ÿ]+|\d+")
#: Words that carry no meaning of their own in a name.
_EMPTY_WORDS = """
a an the with on of in to and for at your you our it its is are by from as or that this these those into onto
then so we i be do just them his her their my s were youre
"""
EMPTY = frozenset(_EMPTY_WORDS.split())
_ENDINGS = ("ation", "tion", "ings", "ing", "ers", "er", "ened", "ening", "ens", "en", "ed")
# Words whose endings mislead, and those that keep theirs.
_IRREGULAR_WORDS = """
lying:lie lain:lie sat:sit stood:stand held:hold swung:swing bent:bend backwards:back backward:back
forwards:forward sideways:side hugging:hug feet:foot legged:leg armed:arm handed:hand sided:side one:single
lowering:lower banded:band straightening:straighten straightened:straighten straighten:straighten extension:extend
extensions:extend rotation:rotate rotations:rotate flexion:flex abduction:abduct adduction:adduct
retraction:retract circling:circle breathing:breath breathe:breath opener:open 1:single 2:two 3:three 4:four
5:five 6:six 7:seven 8:eight 9:nine 10:ten
"""
_KEPT_WORDS = "finger lower shoulder corner over under ankle hammer string ring swing spring water together other"
_IRREGULAR = dict(pair.split(":") for pair in _IRREGULAR_WORDS.split()) | {w: w for w in _KEPT_WORDS.split()}
# "Push-up", "sit up": verb and direction are one word of a name.
_WITH_UP = frozenset({"push", "press", "pull", "chin", "sit", "step", "roll", "get", "muscle"})


@lru_cache(maxsize=16384)
def stem(word: str) -> str:
    """Return a lower-case word without its ending: "pulling" is "pull", "raises" and "raised" are "rais"."""
    plain = _IRREGULAR.get(word) or _IRREGULAR.get(fold(word)) or fold(word)
    if plain not in _IRREGULAR.values():
        for ending in _ENDINGS:
            if plain.endswith(ending) and len(plain) - len(ending) >= 3:
                plain = plain[: -len(ending)]
                if len(plain) > 3 and plain[-1] == plain[-2] and plain[-1] not in "lsz":
                    plain = plain[:-1]
                break
    return plain[:-1] if len(plain) > 3 and plain.endswith("e") else plain


@lru_cache(maxsize=16384)
def stems_of(text: str) -> tuple[str, ...]:
    """Return the stems of the words of a text that mean something, in order; "push up" is one."""
    words = _WORD.findall(text.lower().replace("'", "").replace("’", ""))
    stems: list[str] = []
    for word in words:
        if word in {"up", "ups"} and stems and stems[-1] in _WITH_UP:
            stems[-1] += "up"
        elif word not in EMPTY:
            stems.append(stem(word))
    return tuple(stems)
