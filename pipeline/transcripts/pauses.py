"""How long words take to say, and how long a coach pauses before each.

The pauses were measured on the annotated classes (half of them; see ``tests/transcripts/test_clock.py`` for
what they come to on the others). They are about what parts the words, not about which words they are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from pipeline.transcripts.counts import CLAUSE_ENDS, LEAD_INS, SENTENCE_ENDS, is_punctuated, lowered

WORDS_A_SECOND = 2.6
"""Pace of speech in a class, pauses left out; the annotated classes are laid out at it too."""

SYLLABLES_A_WORD = 1.3
"""Mean of the annotated classes."""

SYLLABLES_OF_A_BREAK = 0.7
"""What parts two words, in syllables: a word of two syllables does not take twice as long as one of one."""


class Pause(NamedTuple):
    """Seconds: how long a pause is expected to be, and the variance of that (in square seconds)."""

    expected: float
    variance: float


WITHIN_A_CLAUSE = Pause(0.002, 0.02)
AFTER_A_COMMA = Pause(0.2, 0.05)
AFTER_A_SENTENCE = Pause(1.0, 1.2)
AFTER_A_CALLED_NUMBER = Pause(0.6, 0.7)
"""At the end of a sentence: the coach says the number as the rep is done, and goes on at once."""
NUMBER_AFTER_A_COMMA = Pause(1.5, 1.0)
NUMBER_AFTER_A_SENTENCE = Pause(2.0, 2.8)

UNPUNCTUATED = Pause(0.15, 0.15)
"""Before any word of rough captions: one in nine begins a sentence, and none shows it."""
UNPUNCTUATED_OPENER = Pause(0.4, 0.5)
UNPUNCTUATED_NUMBER = Pause(1.2, 2.0)
NUMBER_AFTER_A_NUMBER = Pause(1.0, 3.0)

OPENERS = re.compile(
    r"and|so|now|right|ok|okay|then|let's|don't|keep|come|you|this|these|that's|it's|there's|"
    r"he's|she's|i'm|i've|we're|last|half|halfway|round|good|nice|lovely"
)
"""Words that begin a sentence more often than they stand inside one."""


def speaking_seconds(text: str) -> float:
    """Return how long a word takes at the usual pace, by its syllables."""
    weight = _syllables(text) + SYLLABLES_OF_A_BREAK
    return weight / (SYLLABLES_A_WORD + SYLLABLES_OF_A_BREAK) / WORDS_A_SECOND


def expected_pauses(texts: Sequence[str], counted: Sequence[int | None]) -> list[Pause]:
    """Return the pause before every word; ``counted`` holds the values of numbers counted aloud."""
    choose = _punctuated_pause if is_punctuated(texts) else _unpunctuated_pause
    return [choose(texts, counted, i) if i else AFTER_A_SENTENCE for i in range(len(texts))]


def _punctuated_pause(texts: Sequence[str], counted: Sequence[int | None], i: int) -> Pause:
    calls = counted[i] is not None or _leads_in(texts, counted, i)
    if texts[i - 1][-1] in SENTENCE_ENDS:
        after_number = AFTER_A_CALLED_NUMBER if counted[i - 1] is not None else AFTER_A_SENTENCE
        return NUMBER_AFTER_A_SENTENCE if calls else after_number
    if texts[i - 1][-1] in CLAUSE_ENDS:
        return NUMBER_AFTER_A_COMMA if calls else AFTER_A_COMMA
    return WITHIN_A_CLAUSE


def _unpunctuated_pause(texts: Sequence[str], counted: Sequence[int | None], i: int) -> Pause:
    if counted[i] is not None and counted[i - 1] is not None:
        return NUMBER_AFTER_A_NUMBER
    if _leads_in(texts, counted, i) or (counted[i] is not None and not _leads_in(texts, counted, i - 1)):
        return UNPUNCTUATED_NUMBER
    return UNPUNCTUATED_OPENER if OPENERS.fullmatch(lowered(texts[i])) else UNPUNCTUATED


def _leads_in(texts: Sequence[str], counted: Sequence[int | None], i: int) -> bool:
    return i + 1 < len(texts) and counted[i + 1] is not None and lowered(texts[i]) in LEAD_INS


def _syllables(text: str) -> int:
    """Count the groups of vowels, a silent e at the end left out; a figure is read as two syllables."""
    letters = re.sub(r"[^a-z]", "", text.lower())
    if not letters:
        return 2 if re.search(r"\d", text) else 1
    groups = len(re.findall(r"[aeiouy]+", letters))
    silent = letters.endswith("e") and not letters.endswith("le") and groups > 1
    return max(1, groups - silent)
