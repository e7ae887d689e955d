"""What a text of a counter says: a count, and the words beside it."""

from __future__ import annotations

import re
from dataclasses import dataclass

_SECONDS = r"(?:s|secs?|seconds)"
_ROUND = re.compile(r"\b(?:round|set)\s*\d+(?:\s*(?:/|of)\s*\d+)?\b", re.IGNORECASE)
_BODY_SIDE = r"(?!\s*(?:side|leg|arm|hand|foot|knee|hip)\b)"
_OF = re.compile(rf"(\d+)\s*(?:/|of|out of)\s*(\d+)(?:\s*{_SECONDS}\b)?", re.IGNORECASE)
_LEFT = re.compile(
    rf"(\d+)\s*{_SECONDS}?\s*(?:more\s+)?(?:left\b{_BODY_SIDE}|to go\b|remaining\b|more\b)", re.IGNORECASE
)
_CLOCK = re.compile(r"\b(\d+):(\d\d)\b")
_PLAIN = re.compile(rf"\b(\d+)(?:\s*(?:{_SECONDS}|reps?)\b|\b)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Count:
    """A count as shown: ``n`` done or ``left`` to do, of ``target``; ``plain`` where nothing says which.

    ``words`` is the rest of the text.
    """

    n: int | None = None
    left: int | None = None
    target: int | None = None
    plain: int | None = None
    words: str = ""


def read_count(text: str) -> Count | None:
    """Return the count that a text shows, or ``None`` where it shows none."""
    bare = _ROUND.sub(" ", text)
    if found := _OF.search(bare):
        return Count(n=int(found[1]), target=int(found[2]), words=_rest(bare, found))
    if found := _LEFT.search(bare):
        return Count(left=int(found[1]), words=_rest(bare, found))
    if found := _CLOCK.search(bare):
        return Count(plain=60 * int(found[1]) + int(found[2]), words=_rest(bare, found))
    if found := _PLAIN.search(bare):
        return Count(plain=int(found[1]), words=_rest(bare, found))
    return None


def plain_words(text: str) -> str:
    """Return a text without its round and the signs between its words."""
    return " ".join(re.findall(r"[\w'’-]+", _ROUND.sub(" ", text)))


def _rest(text: str, found: re.Match[str]) -> str:
    return plain_words(text[: found.start()] + " " + text[found.end() :])
