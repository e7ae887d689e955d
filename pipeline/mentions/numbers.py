"""Number mentions: every word that may be a number, with its value; what it *means* is decided elsewhere.

Numbers come as words ("twenty-five"), figures ("25", "8kg"), ordinals, halves, fixed phrases ("last one",
"one more") and as sound-alikes that a recogniser wrote ("ate", "won", "to", "for"). A sound-alike, like the
pronoun "one", is a mention too, and may turn out to be no number at all.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from pipeline.mentions.utterances import normalise

Form = Literal["word", "figure", "ordinal", "half", "last", "more", "soundalike", "quantity"]

UNITS = dict(
    zip(
        [
            "zero",
            "one",
            "two",
            "three",
            "four",
            "five",
            "six",
            "seven",
            "eight",
            "nine",
            "ten",
            "eleven",
            "twelve",
            "thirteen",
            "fourteen",
            "fifteen",
            "sixteen",
            "seventeen",
            "eighteen",
            "nineteen",
        ],
        range(20),
        strict=True,
    )
)
TENS = dict(
    zip(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], range(20, 100, 10), strict=True)
)
ORDINALS = dict(
    zip(
        [
            "first",
            "second",
            "third",
            "fourth",
            "fifth",
            "sixth",
            "seventh",
            "eighth",
            "ninth",
            "tenth",
            "eleventh",
            "twelfth",
        ],
        range(1, 13),
        strict=True,
    )
)
#: What recognisers write for a number that sounds the same (common practice, no source).
SOUNDALIKES = {
    "won": 1, "to": 2, "too": 2, "for": 4, "fore": 4, "forth": 4, "ate": 8, "sicks": 6, "six's": 6, "tin": 10,
    "tree": 3, "fife": 5, "nein": 9, "eights": 8, "tens": 10, "fours": 4, "sixes": 6,
}  # fmt: skip
#: Sound-alikes that are also among the commonest words of English: a mention only where a number could stand.
COMMON = frozenset({"to", "too", "for", "tree"})
QUANTITIES = {
    "both": 2, "twice": 2, "once": 1, "thrice": 3, "couple": 2, "pair": 2, "pairs": 2, "single": 1, "double": 2,
    "triple": 3, "dozen": 12, "nought": 0,
}  # fmt: skip
_HALVES = frozenset({"half", "halfway", "midway", "half-way"})
_FIGURE = re.compile(r"^(\d{1,4})(?:\.(\d+))?(st|nd|rd|th|s|x|kg|kgs|kilo|kilos|lb|lbs|k|sec|secs|min|mins)?$")
_GLUED = re.compile(r"^\d{1,2}(?:[-–/,.]\d{1,2}){1,}$")
_LEADS = frozenset(
    [
        "round",
        "day",
        "number",
        "just",
        "then",
        "it",
        "the",
        "these",
        "last",
        "only",
        "that's",
        "and",
        "another",
        "us",
        "is",
        "of",
        "at",
        "on",
        "rep",
        "side",
        "minute",
        "drop",
        "make",
        "set",
        "take",
        "block",
        "rung",
    ]
)


#: Words that may follow "hundred" within one number ("and", "twenty", "five").
LONGEST_REST = 3


@dataclass(frozen=True, slots=True)
class NumberMention:
    """A word (or two) that may be a number: ``value`` is what it says, ``time`` its start in seconds."""

    words: tuple[int, int]
    text: str
    value: float
    form: Form
    time: float
    end: float


def word_value(token: str) -> int | None:
    """Return the value of a spelled-out whole number from zero to 999, or ``None``.

    ``token`` is in lower case, its words joined by blanks or hyphens ("two hundred and five").
    """
    total, current, seen, hundred_seen = 0, -1, False, False
    for part in token.replace("-", " ").split():
        if part == "and":
            if not hundred_seen:
                return None
            continue
        if part == "hundred":
            if hundred_seen or current >= 10:
                return None
            total, current, hundred_seen, seen = (1 if current < 0 else current) * 100, -1, True, True
        elif part in TENS:
            if current >= 0:
                return None
            current, seen = TENS[part], True
        elif part in UNITS:
            if current >= 0 and not (current >= 20 and current % 10 == 0 and 1 <= UNITS[part] <= 9):
                return None
            current, seen = max(current, 0) + UNITS[part], True
        else:
            return None
    return total + max(current, 0) if seen else None


def find_numbers(
    words: Sequence[str], times: Sequence[tuple[float, float]], edges: frozenset[int] = frozenset()
) -> list[NumberMention]:
    """Find every number mention in words as written.

    ``times`` are (start, end) in seconds, one a word; ``edges`` the indices of words that begin an utterance.
    """
    tokens = [normalise(word) for word in words]
    found: list[NumberMention] = []
    taken = -1
    for k, token in enumerate(tokens):
        if k <= taken or not token:
            continue
        for length, values, form in _at(tokens, words, k, edges):
            first, last = times[k][0], times[k + length - 1][1]
            step = (last - first) / len(values)
            for i, value in enumerate(values):
                found.append(
                    NumberMention(
                        (k, k + length), " ".join(words[k : k + length]), value, form,
                        first + i * step, first + (i + 1) * step,
                    )
                )  # fmt: skip
            taken = k + length - 1
    return found


def _at(tokens: list[str], words: Sequence[str], k: int, edges: frozenset[int]) -> list[tuple[int, list[float], Form]]:
    """The one mention that starts at word ``k`` (as a list of none or one): its words, values and form."""
    token = tokens[k]
    following = tokens[k + 1] if k + 1 < len(tokens) else ""
    joined = _goes_on(words[k])
    if token == "last" and following in {"one", "1"} and joined:
        return [(2, [1.0], "last")]
    if token in {"one", "1", "won"} and following == "more" and joined:
        return [(1, [1.0], "more")]
    if token in _HALVES:
        long = token == "half" and following == "way" and joined
        return [(2 if long else 1, [0.5], "half")]
    match = _FIGURE.match(token)
    if match:
        number = float(f"{match[1]}.{match[2]}") if match[2] else float(match[1])
        return [(1, [number], "ordinal" if match[3] in {"st", "nd", "rd", "th"} else "figure")]
    if _GLUED.match(token):
        return [(1, [float(part) for part in re.split(r"[-–/,.]", token)], "figure")]
    if length := _hundreds_at(tokens, words, k, edges):
        return [(length, [float(word_value(" ".join(tokens[k : k + length])) or 0)], "word")]
    head, _, rest = token.partition("-")
    if token in UNITS or token in TENS or token == "hundred":
        if token in TENS and joined and UNITS.get(following, 0) in range(1, 10):
            if k + 1 in edges or times_like(tokens, k):
                return [(1, [float(TENS[token])], "word")]
            return [(2, [float(TENS[token] + UNITS[following])], "word")]
        value = word_value(token)
        return [(1, [float(value if value is not None else 0)], "word")]
    if rest:
        value = word_value(token)
        if value is not None:
            return [(1, [float(value)], "word")]
        parts = [word_value(part) for part in token.split("-")]
        if len(parts) > 1 and all(part is not None for part in parts):
            return [(1, [float(part) for part in parts if part is not None], "word")]
        head_value = word_value(head)
        if head_value is not None:
            return [(1, [float(head_value)], "word")]
        if head in _HALVES:
            return [(1, [0.5], "half")]
        if head in ORDINALS:
            return [(1, [float(ORDINALS[head])], "ordinal")]
        if head in QUANTITIES:
            return [(1, [float(QUANTITIES[head])], "quantity")]
        return []
    if token in ORDINALS:
        return [(1, [float(ORDINALS[token])], "ordinal")]
    if token in QUANTITIES:
        return [(1, [float(QUANTITIES[token])], "quantity")]
    if token in SOUNDALIKES and (token not in COMMON or _number_could_stand(tokens, k, edges)):
        return [(1, [float(SOUNDALIKES[token])], "soundalike")]
    return []


def _hundreds_at(tokens: list[str], words: Sequence[str], k: int, edges: frozenset[int]) -> int:
    """Return how many words the number with a hundred in it has that starts at ``k``; 0 where none does.

    Its rest goes on without a pause, and is no count of its own: "a hundred and twenty", "one hundred five", but not
    "one hundred, one, two", "a hundred one two" or "a hundred and one more".
    """
    hundred = k if tokens[k] == "hundred" else k + 1
    if tokens[hundred : hundred + 1] != ["hundred"] or (hundred > k and UNITS.get(tokens[k], 0) not in range(1, 10)):
        return 0
    stop = k + 1
    while stop < min(len(tokens), hundred + LONGEST_REST + 1) and stop not in edges and _goes_on(words[stop - 1]):
        stop += 1
    for end in range(stop, hundred + 1, -1):
        value = word_value(" ".join(tokens[k:end])) if tokens[end - 1] != "and" else None
        after = tokens[end : end + 1]
        last = UNITS.get(tokens[end - 1], 0)
        more = last == 1 and after == ["more"]
        counts = 0 < last < 19 and bool(after) and UNITS.get(after[0]) == last + 1
        if value is not None and not more and not counts:
            return end - k
    return hundred + 1 - k if hundred < stop else 0


def _goes_on(word: str) -> bool:
    """Return whether no pause is written after a word."""
    return not word.rstrip().endswith((".", ",", "!", "?", ";", ":"))


def times_like(tokens: list[str], k: int) -> bool:
    """Tell whether "twenty one" at ``k`` is two called numbers: the one before also steps by one."""
    before = tokens[k - 1] if k else ""
    return UNITS.get(before) == TENS[tokens[k]] - 1


def _number_could_stand(tokens: list[str], k: int, edges: frozenset[int]) -> bool:
    """Tell whether a common word such as "to" stands where a counted number could."""
    before = tokens[k - 1] if k else ""
    after = tokens[k + 1] if k + 1 < len(tokens) else ""
    starts, ends = k in edges or k == 0, k + 1 in edges or k + 1 == len(tokens)

    def sure(token: str) -> bool:
        return token in UNITS or token.isdigit() or (token in SOUNDALIKES and token not in COMMON)

    return starts or ends or sure(before) or sure(after) or before in _LEADS
