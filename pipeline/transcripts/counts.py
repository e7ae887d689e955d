"""Numbers counted aloud in a text without word times: where they stand, and which belong to one count.

This serves the word clock alone: a coach who counts reps leaves about the same time for each, so that a count
tells where in a paragraph its words fall. What a number means is worked out later, from all the evidence.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

UNITS = {
    "zero": 0,
    "one": 1,
    "two": 2,
    "three": 3,
    "four": 4,
    "five": 5,
    "six": 6,
    "seven": 7,
    "eight": 8,
    "nine": 9,
}
TEENS = {
    "ten": 10,
    "eleven": 11,
    "twelve": 12,
    "thirteen": 13,
    "fourteen": 14,
    "fifteen": 15,
    "sixteen": 16,
    "seventeen": 17,
    "eighteen": 18,
    "nineteen": 19,
}
TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50}
COMPOUNDS = {f"{ten}-{unit}": TENS[ten] + UNITS[unit] for ten in TENS for unit in UNITS if UNITS[unit]}

MISHEARD = {"won": 1, "ate": 8, "sicks": 6}
"""Words of rough captions that a class hardly ever says but as numbers."""

VALUES = UNITS | TEENS | TENS | COMPOUNDS | MISHEARD

MISHEARD_IN_A_ROW = {"to": 2, "too": 2, "for": 4, "fore": 4, "tin": 10}
"""The same, of words that are also common ones: numbers only next to the number before or behind theirs."""

NOT_COUNTED_BEFORE = re.compile(
    r"(?:of|on|to|for|at|per|each|left|more|times|other|single|"
    r"second|seconds|minute|minutes|o'clock|"
    r"round|rounds|set|sets|rep|reps|breaths|eights|exercises|moves|thing|things|"
    r"kilo|kilos|percent|degrees|inch|inches|"
    r"leg|legs|arm|arms|hand|hands|foot|feet|side|sides|dumbbells)"
)
"""Where no punctuation parts them, a number before one of these says how much, and counts nothing."""

LEAD_INS = frozenset({"and", "that's", "there's"})
"""What coaches say right before a number that they call: "and eight", "that's three"."""

SENTENCE_ENDS = ".!?"
CLAUSE_ENDS = ",;:-–—"
"""The last letters of a word after which a sentence, or a part of one, is over."""

PUNCTUATED_SHARE = 0.04
"""Share of all words. Transcripts with punctuation have it on every eighth at least, rough captions on none; this
stands a third of the way up, since a rough caption may hold a full stop by chance."""

LARGEST_STEP_UP = 4
LARGEST_STEP_DOWN = 2
"""Reps from one number of a count to the next; by judgement. Coaches who count sparsely leave out three reps at
most; counting down, hardly more than one."""

LONGEST_SILENCE = 30.0
"""Seconds between two numbers of one count; by judgement. The largest step up takes 20 s at five seconds a rep;
after a longer time a new set has begun."""

LONGEST_COUNT_IN = 4
"""Numbers of a quick run: "three two one go" and "five six seven eight" are said in one breath, and at no rep's
pace. A longer run may be reps whose words in between are lost."""


def is_punctuated(texts: Sequence[str]) -> bool:
    """Tell whether a transcript has punctuation to go by."""
    return sum(text[-1] in SENTENCE_ENDS + CLAUSE_ENDS for text in texts) >= PUNCTUATED_SHARE * len(texts)


def counted_numbers(texts: Sequence[str]) -> list[int | None]:
    """Return for every word its value where it seems a number counted aloud, and ``None`` elsewhere.

    >>> counted_numbers(["Two.", "Three,", "chest", "tall.", "Take", "two", "dumbbells."])
    [2, 3, None, None, None, None, None]
    """
    values = [_value(text) for text in texts]
    if is_punctuated(texts):
        return [value if _stands_alone(texts, values, i) else None for i, value in enumerate(values)]
    for i in range(1, len(texts)):
        misheard = MISHEARD_IN_A_ROW.get(texts[i].lower())
        before = values[i - 1]
        if misheard is not None and before is not None and abs(misheard - before) == 1:
            values[i] = misheard
    counted = [value if _counts_on(texts, values, i) else None for i, value in enumerate(values)]
    return _without_count_ins(counted)


def find_counts(counted: Sequence[int | None], times: Sequence[float]) -> list[list[int]]:
    """Return the counts, each a list of indices of words: steadily up or steadily down, with no long silence.

    ``times`` are rough times of the words, in seconds.
    """
    counts: list[list[int]] = []
    for i, value in enumerate(counted):
        if value is None:
            continue
        if counts and times[i] - times[counts[-1][-1]] <= LONGEST_SILENCE and _goes_on(counts[-1], counted, value):
            counts[-1].append(i)
        else:
            counts.append([i])
    return [count for count in counts if len(count) > 1]


def lowered(text: str) -> str:
    """Return a word in lower case, its apostrophe straight."""
    return text.lower().replace("’", "'")


def _value(text: str) -> int | None:
    bare = re.sub(r"[^\w-]", "", text.lower()).strip("-")
    if re.fullmatch(r"[0-9]{1,2}", bare):
        return int(bare)
    return VALUES.get(bare)


def _stands_alone(texts: Sequence[str], values: Sequence[int | None], i: int) -> bool:
    """Tell a number that is a clause by itself, and not the second of a quick run ("three, two, one")."""
    before = texts[i - 1] if i else "."
    parted = before[-1] in SENTENCE_ENDS + CLAUSE_ENDS or lowered(before) in LEAD_INS
    in_a_run = i > 0 and values[i - 1] is not None and before[-1] not in SENTENCE_ENDS
    return values[i] is not None and parted and texts[i][-1] in SENTENCE_ENDS + CLAUSE_ENDS and not in_a_run


def _counts_on(texts: Sequence[str], values: Sequence[int | None], i: int) -> bool:
    if values[i] is None:
        return False
    if i + 1 == len(texts) or values[i + 1] is not None:
        return True
    return NOT_COUNTED_BEFORE.fullmatch(lowered(texts[i + 1])) is None


def _without_count_ins(counted: list[int | None]) -> list[int | None]:
    """Leave of a quick run down to one, or from five to eight, only its first number."""
    kept, i = list(counted), 0
    while i < len(counted):
        stop = i + 1
        while stop < len(counted) and _is_next(counted[i : stop + 1]):
            stop += 1
        run = counted[i:stop]
        if 1 < len(run) <= LONGEST_COUNT_IN and (run[-2:] == [2, 1] or (run[0], run[-1]) == (5, 8)):
            kept[i + 1 : stop] = [None] * (len(run) - 1)
        i = stop
    return kept


def _is_next(run: Sequence[int | None]) -> bool:
    numbers = [value for value in run if value is not None]
    steps = {b - a for a, b in pairwise(numbers)}
    return len(numbers) == len(run) and steps in ({1}, {-1})


def _goes_on(count: Sequence[int], counted: Sequence[int | None], value: int) -> bool:
    said = [number for i in count[-2:] if (number := counted[i]) is not None]
    step = value - said[-1]
    direction = step if len(said) < 2 else said[-1] - said[-2]
    return step * direction > 0 and -LARGEST_STEP_DOWN <= step <= LARGEST_STEP_UP
