"""Number mentions: every word that may be a number, with its value; what it *means* is decided elsewhere.

Numbers come as words ("twenty-five"), figures ("25", "8kg"), ordinals, halves, fixed phrases ("last one",
"one more") and as sound-alikes that a recogniser wrote ("ate", "won", "to", "for"). A sound-alike, like the
pronoun "one", is a mention too, and may turn out to be no number at all.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from pipeline.mentions.utterances import normalise

Form = Literal["word", "figure", "ordinal", "half", "last", "more", "soundalike", "quantity"]

_UNIT_WORDS = """
zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen
eighteen nineteen
"""
_ORDINAL_WORDS = "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth"
UNITS = {word: value for value, word in enumerate(_UNIT_WORDS.split())}
TENS = {word: 20 + 10 * at for at, word in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split())}
ORDINALS = {word: value for value, word in enumerate(_ORDINAL_WORDS.split(), start=1)}
#: What recognisers write for a number that sounds the same (common practice, no source).
SOUNDALIKES = {
    "won": 1, "to": 2, "too": 2, "for": 4, "fore": 4, "forth": 4, "ate": 8, "sicks": 6, "six's": 6, "tin": 10,
    "tan": 10, "tree": 3, "fife": 5, "nein": 9, "eights": 8, "tens": 10, "fours": 4, "sixes": 6,
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
# After these even a common word may be a number ("round to", "drop for").
_LEADS_WORDS = """
round day number just then it the these last only that's and another us is of at on rep side minute drop make set
take block rung
"""
_LEADS = frozenset(_LEADS_WORDS.split())
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


class _Number(NamedTuple):
    """What one or more words say: their form, their values (several where figures run together), how many words."""

    form: Form
    values: Sequence[float]
    length: int = 1


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
        number = _number_at(tokens, words, k, edges)
        if number is None:
            continue
        stop = k + number.length
        first, text = times[k][0], " ".join(words[k:stop])
        step = (times[stop - 1][1] - first) / len(number.values)
        for i, value in enumerate(number.values):
            start, end = first + i * step, first + (i + 1) * step
            found.append(NumberMention((k, stop), text, value, number.form, start, end))
        taken = stop - 1
    return found


def _number_at(tokens: list[str], words: Sequence[str], k: int, edges: frozenset[int]) -> _Number | None:
    """Return the one number that starts at word ``k``, by whichever form it has."""
    return (
        _phrase_at(tokens, words, k)
        or _figure(tokens[k])
        or _spelled_out_at(tokens, words, k, edges)
        or _hyphened(tokens[k])
        or _other_word_at(tokens, k, edges)
    )


def _phrase_at(tokens: list[str], words: Sequence[str], k: int) -> _Number | None:
    """Return "last one", "one more", a half."""
    token = tokens[k]
    following = tokens[k + 1] if k + 1 < len(tokens) and _goes_on(words[k]) else ""
    if token == "last" and following in {"one", "1"}:
        return _Number("last", [1.0], 2)
    if token in {"one", "1", "won"} and following == "more":
        return _Number("more", [1.0])
    if token in _HALVES:
        return _Number("half", [0.5], 2 if token == "half" and following == "way" else 1)
    return None


def _figure(token: str) -> _Number | None:
    """Return "25", "8kg", "3rd", or several figures that a recogniser ran together ("9-10")."""
    match = _FIGURE.match(token)
    if match:
        number = float(f"{match[1]}.{match[2]}") if match[2] else float(match[1])
        return _Number("ordinal" if match[3] in {"st", "nd", "rd", "th"} else "figure", [number])
    if _GLUED.match(token):
        return _Number("figure", [float(part) for part in re.split(r"[-–/,.]", token)])
    return None


def _spelled_out_at(tokens: list[str], words: Sequence[str], k: int, edges: frozenset[int]) -> _Number | None:
    """Return "nine", "twenty five", "two hundred and five"."""
    token = tokens[k]
    if length := _hundreds_at(tokens, words, k, edges):
        return _Number("word", [float(word_value(" ".join(tokens[k : k + length])) or 0)], length)
    if token in TENS and k + 1 < len(tokens) and _goes_on(words[k]):
        unit = UNITS.get(tokens[k + 1], 0)
        if unit in range(1, 10) and k + 1 not in edges and not times_like(tokens, k):
            return _Number("word", [float(TENS[token] + unit)], 2)
    if token in UNITS or token in TENS or token == "hundred":
        return _Number("word", [float(word_value(token) or 0)])
    return None


def _hyphened(token: str) -> _Number | None:
    """Return "twenty-five", "nine-ten" as two, and what begins another word ("three-second", "half-kneeling")."""
    head, _, rest = token.partition("-")
    if not rest:
        return None
    value = word_value(token)
    parts = [value] if value is not None else [word_value(part) for part in token.split("-")]
    if all(part is not None for part in parts):
        return _Number("word", [float(part) for part in parts if part is not None])
    first = word_value(head)
    if first is not None:
        return _Number("word", [float(first)])
    if head in _HALVES:
        return _Number("half", [0.5])
    return _ordinal_or_quantity(head)


def _other_word_at(tokens: list[str], k: int, edges: frozenset[int]) -> _Number | None:
    """Return an ordinal, a quantity, or what sounds like a number."""
    token = tokens[k]
    if token in SOUNDALIKES and (token not in COMMON or _number_could_stand(tokens, k, edges)):
        return _Number("soundalike", [float(SOUNDALIKES[token])])
    return _ordinal_or_quantity(token)


def _ordinal_or_quantity(word: str) -> _Number | None:
    if word in ORDINALS:
        return _Number("ordinal", [float(ORDINALS[word])])
    if word in QUANTITIES:
        return _Number("quantity", [float(QUANTITIES[word])])
    return None


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
