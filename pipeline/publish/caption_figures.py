"""Counts in captions are written as figures, in one style throughout: "and twelve" becomes "and 12".

What counts is a number with a role that a class runs on (reps, reps left, targets, rounds, tempo, seconds,
loads, degrees), one with a unit after it ("two moves") or a part of the class before it ("block two"), and one
that is put right at once by one that counts ("6, no, 7"). A number that only talks stays in words up to ten ("two
thin plates"); above ten it is figures too (DCMP Captioning Key, from memory: words to ten, figures above). A "one"
that stands for a noun ("the last one") stays a word. A presenter's slip stays as it was said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from pipeline.model import Number, Record, Role, Word
from pipeline.publish.caption_words import Rewriting

COUNTS: frozenset[Role] = frozenset(
    ("rep", "left", "half", "target", "rounds", "tempo", "hold", "clock", "countin", "load", "degrees")
)
UNITS = frozenset(
    """
    seconds second minutes minute reps rep rounds sets percent degrees kilos pounds moves exercises supersets
    blocks circuits intervals breaths
    """.split()
)
"""What a number before it measures or counts, whatever it is said for ("take thirty seconds")."""

PARTS_OF_CLASS = frozenset("block move round set superset circuit interval pair".split())
"""What a number after it tells from its like ("block two is longer")."""

MOST_IN_WORDS = 10
"""The greatest number that stays in words where it only talks."""

CORRECTIONS = frozenset(("no", "sorry", "wait", "oops", "i mean", "make that"))
CORRECTED_WITHIN = 4
"""How a presenter puts a number right, and the words within which the right one follows; by judgement."""

BEFORE_PRONOUN = frozenset("last next this that another other each every first final which".split())
"""Words after which "one" stands for a noun."""

LONGEST = 5
"""Words of the longest number: "nine hundred and ninety nine"."""

_ONES = """
    zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen
    seventeen eighteen nineteen
"""
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_VALUES = {word: value for value, word in enumerate(_ONES.split())}
_VALUES |= {word: 10 * tens for tens, word in enumerate(_TENS.split(), 2)}
_PARTS = re.compile(r"^(\W*)(\w(?:.*\w)?)(\W*)$", re.DOTALL)


def figures(record: Record) -> tuple[Rewriting, ...]:
    """Return the rewritings that make the counts of a record figures, in order of place."""
    starts = {number.words[0] for number in record.numbers}
    found: dict[int, Rewriting] = {}
    counts = {number.words[0] for number in record.numbers if number.role in COUNTS}
    for number in record.numbers:
        for first, stop in _number_words(record.words, number, starts):
            text = _written(record.words[first:stop])
            is_count = number.role in COUNTS or _counts_all_the_same(record.words, first, stop, counts)
            if text is not None and is_count and not _stays(record.words, first):
                found.setdefault(first, Rewriting((first, stop), text))
    return tuple(found[first] for first in sorted(found))


def whole_number(text: str) -> int | None:
    """Return the value of a spelled whole number from 0 to 999 ("twenty-one"), or ``None``."""
    parts = text.lower().replace("-", " ").split()
    hundreds = 0
    if "hundred" in parts[:2]:
        at = parts.index("hundred")
        many = 1 if at == 0 or parts[0] == "a" else _VALUES.get(parts[0], 0)
        if not 1 <= many <= 9:
            return None
        hundreds, parts = 100 * many, parts[at + 1 :]
        parts = parts[1:] if len(parts) > 1 and parts[0] == "and" else parts
        if not parts:
            return hundreds
    values = [_VALUES.get(part, -1) for part in parts]
    if len(values) == 1 and values[0] >= 0:
        return hundreds + values[0]
    if len(values) == 2 and values[0] >= 20 and 1 <= values[1] <= 9:
        return hundreds + sum(values)
    return None


def _counts_all_the_same(words: Sequence[Word], first: int, stop: int, counts: set[int]) -> bool:
    """Return whether a number that only talks is figures, as the head of the module has it."""
    value = whole_number(" ".join(_parts(word)[1] for word in words[first:stop]))
    if value is None:
        return False
    after = [_parts(word)[1].lower() for word in words[stop : stop + 2]]
    corrected = bool(after) and (after[0] in CORRECTIONS or " ".join(after) in CORRECTIONS)
    followed = any(place in counts for place in range(stop + 1, stop + 1 + CORRECTED_WITHIN))
    has_unit = bool(after) and after[0] in UNITS
    is_part = first > 0 and words[first - 1].text.lower() in PARTS_OF_CLASS
    return value > MOST_IN_WORDS or has_unit or is_part or (corrected and followed)


def _stays(words: Sequence[Word], index: int) -> bool:
    """Return whether a number would read wrong as figures: "the last 1", "a 100 percent"."""
    if index == 0:
        return False
    _, before, signs = _parts(words[index - 1])
    _, text, _ = _parts(words[index])
    if text.lower() == "one":
        return not signs and before.lower() in BEFORE_PRONOUN
    return text.lower() == "hundred" and before.lower() == "a"


def _number_words(words: Sequence[Word], number: Number, starts: set[int]) -> Iterator[tuple[int, int]]:
    """Yield the ranges of words of a number that are one value each; "three one one" is three."""
    first, last = number.words
    at = first
    while at < last:
        limit = min([at + LONGEST, len(words), *(start for start in starts if start > at)])
        longer = range(limit, at + 1, -1)
        stop = next((stop for stop in longer if _is_one_number(words[at:stop])), at + 1)
        yield at, stop
        at = stop


def _is_one_number(words: Sequence[Word]) -> bool:
    """Return whether words are said as one number: nothing parts them, and they make a value together."""
    texts = [_parts(word) for word in words]
    parted = any(after for _, _, after in texts[:-1]) or any(before for before, _, _ in texts[1:])
    return not parted and whole_number(" ".join(text for _, text, _ in texts)) is not None


def _written(words: Sequence[Word]) -> str | None:
    """Return words of a number as figures with the signs around them; ``None`` for what is no number."""
    before, after = _parts(words[0])[0], _parts(words[-1])[2]
    text = " ".join(_parts(word)[1] for word in words)
    value = whole_number(text)
    if value is not None:
        return f"{before}{value}{after}"
    beats = [_VALUES.get(part.lower()) for part in text.split("-")]
    if len(words) > 1 or None in beats:
        return None
    return before + "-".join(str(beat) for beat in beats) + after


def _parts(word: Word) -> tuple[str, str, str]:
    """Return the signs before a word, the word, and the signs after it."""
    found = _PARTS.match(word.text)
    return (found[1], found[2], found[3]) if found else ("", word.text, "")
