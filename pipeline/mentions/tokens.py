"""Spoken words as tokens that can be compared: small letters, hyphens split, accents off, plurals folded."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

_IRREGULAR = {
    "calves": "calf",
    "halves": "half",
    "plies": "plie",
    "flye": "fly",
    "flyes": "fly",
    "ups": "up",
    "outs": "out",
}
_NO_PLURAL = {
    "abs",
    "was",
    "has",
    "his",
    "its",
    "yes",
    "as",
    "us",
    "is",
    "this",
    "plus",
    "always",
    "does",
    "gas",
}

_PART = re.compile(r"[^\W_]+(?:'[^\W_]+)*")

#: Small figures as words: "1 arm row" and "figure 8" are named as "one-arm row" and "figure eight" are.
FIGURES = {
    "1": "one", "2": "two", "3": "three", "4": "four", "5": "five", "6": "six", "7": "seven", "8": "eight", "9": "nine",
}  # fmt: skip


@dataclass(slots=True)
class Token:
    """A piece of a spoken word. ``text`` is folded to the singular, ``plain`` is as said in lower case.

    ``word`` is the index of the word. ``pause`` is what is written after it: 0 nothing, 1 a comma or its
    like, 2 the end of a sentence.
    """

    text: str
    plain: str
    word: int
    pause: int


def tokens_of(words: Sequence[str]) -> list[Token]:
    """Return the tokens of spoken words, which may carry punctuation and capitals, or none."""
    tokens = []
    for index, word in enumerate(words):
        parts, pause = _split(word)
        last = len(parts) - 1
        for at, (text, plain) in enumerate(parts):
            tokens.append(Token(text, plain, index, pause if at == last else 0))
        if not parts and pause and tokens:
            before = tokens[-1]
            tokens[-1] = Token(before.text, before.plain, before.word, max(pause, before.pause))
    return tokens


@lru_cache(maxsize=65536)
def name_tokens(name: str) -> tuple[Token, ...]:
    """Return the tokens of a written name."""
    return tuple(tokens_of(name.split()))


@lru_cache(maxsize=65536)
def key_of(name: str) -> str:
    """Return a written name as its joined, folded tokens: ``"Push-Ups"`` is ``"pushup"``."""
    return "".join([token.text for token in name_tokens(name)])


def fold(word: str) -> str:
    """Return a lower-case word in the singular: "lunges" is "lunge", "presses" "press", "flies" "fly"."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")) or word in _NO_PLURAL:
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "ches", "shes", "xes")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=65536)
def _split(word: str) -> tuple[tuple[tuple[str, str], ...], int]:
    """Return the (folded, plain) parts of a spoken word, and the pause written after it."""
    bare = word.rstrip("\"'”’)]")
    pause = 2 if bare.endswith((".", "?", "!", "…")) else 1 if bare.endswith((",", ";", ":", "-", "–", "—")) else 0
    letters = word.lower().replace("’", "'")
    if not letters.isascii():
        letters = "".join(one for one in unicodedata.normalize("NFKD", letters) if not unicodedata.combining(one))
    parts = []
    for plain in _PART.findall(letters):
        text = plain.removesuffix("'s").replace("'", "")
        parts.append((FIGURES.get(text) or fold(text), plain))
    return tuple(parts), pause
