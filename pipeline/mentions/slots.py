"""Where a name is bound to stand ("next up, the …"), told by what stands before it.

A recogniser may write anything for a name that it does not know. Where a presenter plainly announces one, the
nearest name by sound may be taken from much farther off than in running talk (``name_sounds.py``); how far is up to
the caller.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.mentions.plain_speech import NUMBERS, PLAIN_SPEECH, SOUNDS_LIKE_A_LETTER
from pipeline.mentions.tokens import Token

LONGEST = 5
"""How many words a misheard name may be spread over."""
REACH = 6
"""How many words of a frame are looked at."""
BEFORE_COMMA = 2
"""A comma after so few words may stand inside a misheard name ("tricep, skip back holds")."""
ANNOUNCED, LOOSELY = 2.0, -3.0
"""Log odds, judgement: that what stands before the place announces a name plainly ("next up, the", "now it's a"); that
it may as well announce anything ("that's the", "for")."""

_FRAME = re.compile(
    r"\b(?:next up|next|first up|last up|up next|it's|its|it is|this is|that's|called|time for|ready for|now|now for"
    r"|back to|on to|onto|into|moving on to|straight into|here comes?|here's|we've got|we have|let's do|we'll do|doing"
    r"|next (?:one|move|exercise)?(?: is| it's| are)|(?:move|exercise|number|station|rung|block) \S+|for|are)"
    r"(?: ,)?(?: (?:the|a|an|our|some|those|these|my|your|more|into|it's))* $"
)
#: These announce a name and little else.
_PLAINLY = re.compile(
    r"\b(?:(?:next up|first up|last up|up next|back to|called|moving on to|straight into|here comes?|time for|now"
    r"|now for|next(?: is| are| it's)|(?:next|first|last|this) (?:one|move|exercise)(?: is| it's)?"
    r"|(?:move|exercise|number|station|rung|block) \S+)(?: ,)?(?: (?:it's|its|is|the|a|an|our|some|my|your))*"
    r"|(?:it's|its|this is) (?:the|a|an|our))(?: ,)? $"
)
#: After these even plain speech may be a misheard name ("next up, and rotations" for "band rotations").
_STRONG_FRAME = re.compile(r"\b(?:next up|first up|last up|up next|it's|back to|this is|called|moving on to)(?: ,)? $")
_ARTICLES = frozenset({"the", "a", "an", "our", "some", "those", "these", "my", "your"})
_NAMING = frozenset({"the", "a", "an"})
_COUNTABLE = frozenset({"move", "exercise", "number", "station", "rung", "block"})
_FRAME_ENDS_WORDS = """
next up it's its is that's called for now to onto into come comes here's got have do doing one are more
"""
_FRAME_ENDS = _ARTICLES | _COUNTABLE | frozenset(_FRAME_ENDS_WORDS.split())
_NO_START = PLAIN_SPEECH - SOUNDS_LIKE_A_LETTER | _ARTICLES
_FIRM = frozenset({"up", "called", "to", "move", "exercise", "try", "do"})


def find_slots(tokens: Sequence[Token], first: int, stop: int) -> list[tuple[int, int]]:
    """Return the ranges of tokens in which an announced name starts at the first one, as long as one may be."""
    found = []
    for at in range(first, stop):
        if at == first or not _may_end_a_frame(tokens, at) or _is_count(tokens, at):
            continue
        lead = _lead(tokens, first, at)
        plain = tokens[at].plain
        weak = plain in _NO_START and tokens[at - 1].plain not in _NAMING
        if plain in _ARTICLES or not (_STRONG_FRAME if weak else _FRAME).search(lead):
            continue
        end = at
        while end < min(at + LONGEST, stop):
            end += 1
            if tokens[end - 1].pause or (end < stop and is_amount(tokens[end])):
                break
        found.append((at, end))
    return found


def expectation(tokens: Sequence[Token], at: int) -> float:
    """Return how much likelier a name is at token ``at`` than in any talk (log odds), by what stands before it."""
    plainly = tokens[at - 1].pause < 2 and _PLAINLY.search(_lead(tokens, 0, at))
    return ANNOUNCED if plainly else LOOSELY


def is_firm(tokens: Sequence[Token], at: int) -> bool:
    """Return whether an article, or a frame that announces nothing but names, stands right before token ``at``."""
    return at > 0 and (tokens[at - 1].plain in _ARTICLES or tokens[at - 1].plain in _FIRM)


def reach_of(tokens: Sequence[Token], first: int, stop: int) -> int:
    """Return how far a name may go that stops early at a comma, which a recogniser may have put inside it."""
    reach = stop
    if tokens[stop - 1].pause == 1 and stop - first <= BEFORE_COMMA:
        while reach < min(first + LONGEST, len(tokens)) and not is_amount(tokens[reach]):
            reach += 1
            if tokens[reach - 1].pause:
                break
    return reach


def is_amount(token: Token) -> bool:
    """Return whether a number says how many, not "one-arm" or "two-hand"."""
    number = token.plain.isdigit() or token.plain in NUMBERS
    return number and token.plain not in {"1", "2", "one", "two"}


def _lead(tokens: Sequence[Token], first: int, at: int) -> str:
    return "".join(
        f"{token.plain} ," + " " if token.pause == 1 else f"{token.plain} "
        for token in tokens[max(first, at - REACH) : at]
    )


def _is_count(tokens: Sequence[Token], at: int) -> bool:
    """Return whether a number counts something, and so starts no name: "ten of them", not "the 10-boom arc"."""
    token = tokens[at]
    if not (token.plain.isdigit() or token.plain in NUMBERS):
        return False
    after = tokens[at + 1] if at + 1 < len(tokens) and not token.pause else None
    return after is None or (after.word != token.word and after.plain not in {"to"})


def _may_end_a_frame(tokens: Sequence[Token], at: int) -> bool:
    """Return whether token ``at`` can stand after a frame, told by the words before it: a quick look."""
    before = tokens[at - 1]
    return before.pause == 1 or before.plain in _FRAME_ENDS or (at > 1 and tokens[at - 2].plain in _COUNTABLE)
