"""The presenters' phrases, by act (what is being done by saying them), and their expansion.

A phrase holds choices ``[a|b|]`` (nested, chosen at random) and slots ``<name>``. A slot's value is a text or
a whole number; a number is written out in words, but in digits inside a tag: ``{left <n>}<n> more``.
"""

from __future__ import annotations

import random
import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

FOLDER = Path(__file__).parent / "phrases"
INNERMOST_CHOICE = re.compile(r"\[([^\[\]]*)\]")
SLOT = re.compile(r"<(\w+)>")
SMALL = tuple(
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen".split()
)
TENS = ("zero", "ten", *"twenty thirty forty fifty sixty seventy eighty ninety".split())
Slots = Mapping[str, str | int]


@lru_cache
def phrases() -> dict[str, tuple[str, ...]]:
    """Return every act's phrases, from all files of the folder."""
    acts: dict[str, list[str]] = {}
    for file in sorted(FOLDER.glob("*.txt")):
        act = ""
        for line in file.read_text("utf-8").splitlines():
            if line.startswith("== "):
                act = line[3:].strip()
                acts[act] = []
            elif line.strip() and not line.startswith("#"):
                acts[act].append(line.strip())
    return {act: tuple(lines) for act, lines in acts.items()}


def expand(phrase: str, slots: Slots, rng: random.Random) -> str:
    """Make every choice of a phrase and fill its slots."""
    while match := INNERMOST_CHOICE.search(phrase):
        phrase = phrase[: match.start()] + rng.choice(match[1].split("|")) + phrase[match.end() :]

    def fill(match: re.Match[str]) -> str:
        value = slots[match[1]]
        if isinstance(value, str):
            return value
        inside_tag = phrase.rfind("{", 0, match.start()) > phrase.rfind("}", 0, match.start())
        return str(value) if inside_tag else in_words(value)

    text = SLOT.sub(fill, phrase)
    return re.sub(r"\s+([,.!?])", r"\1", re.sub(r"\s+", " ", text)).strip(" ,")


def in_words(n: int) -> str:
    """Write a whole number from 0 to 199 in words."""
    if n < 20:
        return SMALL[n]
    if n < 100:
        return TENS[n // 10] + (f"-{SMALL[n % 10]}" if n % 10 else "")
    return "hundred" if n == 100 else f"hundred-and-{in_words(n - 100)}"


def tag(role: str, n: int, word: str | None = None) -> str:
    """Return a number tag and the word that it stands before."""
    return f"{{{role} {n}}}{in_words(n) if word is None else word}"
