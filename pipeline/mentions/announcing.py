"""Names that no list holds, but that a presenter plainly announces: "Next up, the wood-chopper twist."

Only taken where an announcing phrase stands before it, a word of movement ("twist", "reach") ends it, and
nothing between the two makes it plain speech.
"""

from __future__ import annotations

import re
from collections.abc import Container, Sequence

from pipeline.mentions.tokens import Token

LONGEST_NAME = 4
"""An announced name has at most so many tokens; a longer one is a sentence."""

_FRAMES = (
    r"next up|first up|last up|up next|(?:next|first|last|final) (?:one|exercise|move)(?: is| up is|'s)?",
    r"(?:this|next) one(?:'s| is)(?: called)?|(?:it's|it is|this is) called|we call (?:it|this)",
    r"called|i call (?:it|this)|moving on to|move on to|on to|this is|it's|now for|here comes?|here's|time for",
    r"let's do|we've got|we have",
)
_FRAME = re.compile(rf"\b(?:{'|'.join(_FRAMES)})(?: ,)? (?:the|a|an|our|some|my) $")
_ARTICLES = frozenset({"the", "a", "an", "our", "some", "my"})
# What a name that no list holds may end with, beside the nouns of listed names.
_FURTHER_MOVEMENTS = frozenset(
    {"tilt", "sweep", "sway", "toss", "stir", "flick", "shuffle", "rake", "dig", "punch", "chop"}
)
# Nouns of the trade that end a name even where no pause is written after it.
_FIRM = frozenset({"row", "press", "raise", "fly", "plank", "bridge", "crunch", "extension", "curl", "deadlift"})
_NO_PART_WORDS = """
the a an and or of to in on at with for from by is are was it you we i they he she this that these those
my your our their his her its one two three four five six seven eight nine ten next last first second
third more other same new big little good nice bit lot whole left right each every another it's that's
final only very usual old free
"""
_NO_PART = frozenset(_NO_PART_WORDS.split())


def find_names(
    tokens: Sequence[Token], movements: Container[str], taken: Sequence[tuple[int, int]]
) -> list[tuple[int, int]]:
    """Return the ranges of tokens that are announced names, and go on after the names at the ranges ``taken``.

    ``movements`` holds the folded words that may end such a name. A listed name with one more movement to it, and
    nothing else, is a name of its own ("wood chopper" + "twist").
    """
    found, at = list[tuple[int, int]](), 1
    while at < len(tokens):
        stop = _name_at(tokens, at, movements) if tokens[at - 1].plain in _ARTICLES else None
        if stop is not None:
            inside = [(one, end) for one, end in taken if one < stop and at < end]
            if not inside or inside == [(at, stop - 1)]:
                found.append((at, stop))
                at = stop
        at += 1
    return found


def _name_at(tokens: Sequence[Token], at: int, movements: Container[str]) -> int | None:
    words = (f"{token.plain} ," if token.pause == 1 else token.plain for token in tokens[max(0, at - 7) : at])
    if not _FRAME.search("".join(f"{word} " for word in words)):
        return None
    for stop in range(at + 1, min(at + LONGEST_NAME, len(tokens)) + 1):
        token = tokens[stop - 1]
        if token.plain in _NO_PART or token.plain.isdigit():
            return None
        ends = stop == len(tokens) or token.pause or (token.text in _FIRM and stop - at == 2)
        if stop - at > 1 and (token.text in movements or token.text in _FURTHER_MOVEMENTS) and ends:
            return stop
        if token.pause:
            return None
    return None
