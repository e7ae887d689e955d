"""Calls written as words that sound like them: "one, do, three" is put right where the count leaves one number.

A recogniser writes what is common, and "do" is commoner than a bare "two". Whether it was a call is told by what
surrounds it alone: a sentence begins with it or is made up of it, no call near has its number, and it comes when
calls near it, by the pace that lies between them, have that number come. Where any of these is missing, the word
stays as it was heard. What is put right is said in a note, with the word that was heard.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product

from pipeline.model import Word
from pipeline.transcripts.counts import CLAUSE_ENDS, LEAD_INS, SENTENCE_ENDS, VALUES, lowered
from pipeline.transcripts.recognition.corrections import Correction

NUMBERS = {2: "two", 3: "three", 4: "four", 6: "six"}
SOUNDS_LIKE = {
    **dict.fromkeys(("do", "doop", "due", "to", "too"), 2),
    "free": 3,
    **dict.fromkeys(("for", "fore"), 4),
    **dict.fromkeys(("see", "sea", "sick"), 6),
}
"""Words that the small model wrote for calls of spoken classes (``tests/bench/SOUND.md``), and their spellings."""

NO_SENTENCE = frozenset({"do", "doop"})
"""Of these the words that nobody says as a sentence by themselves ("See, it is easier now" somebody may): one
neighbour in the count is enough."""

BEGIN_A_CALL = frozenset({"do", "doop", "free", "see"})
"""Of these the words that a call may begin with and a sentence hardly ever does ("To finish …" and "For this …" many
do): "Do strong shoulders" was "Two, strong shoulders"."""

GOES_ON = frozenset(
    "it you we they i me him her them this that these those the a an my your our us "
    "not if how what why when where who as all try keep stay make let feel check remember".split()
)
"""Words after which those are most likely what they seem: "see how it goes", "do keep tall"."""

PAUSE = 0.3
"""Seconds. A silence this long parts a call from other words as a full stop would."""

FARTHEST = 15.0
"""Seconds from a call to another of its count. Slow reps with their tempo counted aloud take ten."""

MOST_STEPS = 4
"""Numbers from a call to another that tells when it is due: a coach may call every other one, or fewer."""

FEW_STEPS = 2
"""The same for a word that nobody says as a sentence by itself."""

SAME_PLACE = 0.6
"""Seconds between the beginnings of one word, heard twice."""

MOST_UNEVEN = 2.0
"""Times that a count may be slower on one side of a call than on its other side."""

ONE_BREATH = 1.2
"""Seconds from one number to the next in a run that is said in one breath ("three, two, one")."""

EVENLY = 1.5
"""The same where the evidence is weaker: both calls lie on one side, or the sentence goes on after the word."""


@dataclass(frozen=True, slots=True)
class _Step:
    """From a word to a call before or after it: seconds, numbers, and whether the call is sure."""

    seconds: float
    numbers: int
    sure: bool


@dataclass(frozen=True, slots=True)
class _Near:
    """A call near a word: how many seconds after it (negative: before), its number, and whether it is sure."""

    away: float
    number: int
    sure: bool


def put_right(words: Sequence[Word]) -> tuple[list[Word], list[Correction]]:
    """Return the words with misheard calls put right, and what was."""
    kept, corrections = list(words), []
    calls = [_number(word) for word in words]
    perhaps = [SOUNDS_LIKE.get(_bare(word)) if _opens(words, i) else None for i, word in enumerate(words)]
    for i, word in enumerate(words):
        number = perhaps[i]
        if number is None or not _is_due(words, calls, perhaps, i, number):
            continue
        written = word.text.lower().replace(_bare(word), NUMBERS[number])
        written = written.capitalize() if word.text[0].isupper() else written
        kept[i], calls[i] = replace(word, text=written), number
        corrections.append(Correction(word.start, word.text, written))
    return kept, corrections


def doubtful(words: Sequence[Word]) -> list[tuple[int, int]]:
    """Return what may be a call and could not be told by the count: indices of words, and the numbers they would be.

    A sentence begins with such a word, a call near leads up or down to its number, and the number is not called
    near. Only listening again can tell.
    """
    calls = [_number(word) for word in words]
    perhaps = [SOUNDS_LIKE.get(_bare(word)) if _opens(words, i) else None for i, word in enumerate(words)]
    found = []
    for i, number in enumerate(perhaps):
        if number is None:
            continue
        near = [one for one in _calls_near(words, calls, perhaps, i) if one.sure]
        called = any(one.number == number and abs(one.away) <= FARTHEST / 2 for one in near)
        if not called and any(abs(one.number - number) <= MOST_STEPS for one in near):
            found.append((i, number))
    return found


def hear_numbers(words: Sequence[Word], again: Sequence[Word]) -> list[Word]:
    """Return the words, those that are doubtful as heard again where their number was heard in their place then."""
    kept = list(words)
    for i, number in doubtful(words):
        here = words[i]
        second = next((w for w in again if _number(w) == number and abs(w.start - here.start) <= SAME_PLACE), None)
        if second is not None:
            kept[i] = replace(here, text=second.text, probability=second.probability)
    return kept


def _bare(word: Word) -> str:
    return lowered(word.text).strip(SENTENCE_ENDS + CLAUSE_ENDS)


def _opens(words: Sequence[Word], i: int) -> bool:
    """Tell whether a word begins a sentence or a part of it, or has an "and" before it; "too" ends many a part."""
    ends = SENTENCE_ENDS if _bare(words[i]) == "too" else SENTENCE_ENDS + CLAUSE_ENDS
    if i == 0 or words[i - 1].text[-1] in ends or _bare(words[i - 1]) in LEAD_INS:
        return True
    return words[i].start - words[i - 1].end >= PAUSE


def _closes(words: Sequence[Word], i: int) -> bool:
    if i + 1 == len(words) or words[i].text[-1] in SENTENCE_ENDS + CLAUSE_ENDS:
        return True
    return words[i + 1].start - words[i].end >= PAUSE


def _may_begin_a_call(words: Sequence[Word], calls: Sequence[int | None], i: int) -> bool:
    """Tell a word that a sentence begins with, and that has no place there unless it was a call."""
    begins = i > 0 and words[i - 1].text[-1] in SENTENCE_ENDS
    goes_on = _bare(words[i + 1]) in GOES_ON or calls[i + 1] is not None
    return begins and _bare(words[i]) in BEGIN_A_CALL and not goes_on


def _is_due(
    words: Sequence[Word], calls: Sequence[int | None], perhaps: Sequence[int | None], i: int, number: int
) -> bool:
    """Tell whether calls near a word have its number come when it does, and it is not called itself."""
    closed = _closes(words, i)
    if _is_in_a_run(words, calls, i, number, closed):
        return True
    alone = _bare(words[i]) in NO_SENTENCE and words[i].text[-1] in SENTENCE_ENDS + CLAUSE_ENDS
    if not closed and not _may_begin_a_call(words, calls, i):
        return False
    near = list(_calls_near(words, calls, perhaps, i))
    for direction in (1, -1):
        before = [_Step(-one.away, direction * (number - one.number), one.sure) for one in near if one.away < 0]
        after = [_Step(one.away, direction * (one.number - number), one.sure) for one in near if one.away > 0]
        if alone and any(1 <= one.numbers <= FEW_STEPS and one.sure for one in (*before, *after)):
            return True
        if _fits_between(before, after, MOST_UNEVEN if closed else EVENLY):
            return True
        if closed and (_goes_on(before, after) or _goes_on(after, before)):
            return True
    return False


def _is_in_a_run(words: Sequence[Word], calls: Sequence[int | None], i: int, number: int, closed: bool) -> bool:
    """Tell whether two words right beside it, said in the same breath, count on to its number or from it.

    Between the two of them no punctuation need part it from the second: "one, do three." is a run.
    """
    if not closed and (i + 1 == len(words) or not _closes(words, i + 1)):
        return False
    return any(
        all(
            0 <= i + k < len(words)
            and calls[i + k] == number + direction * k
            and abs(words[i + k].start - words[i].start) <= ONE_BREATH * abs(k)
            for k in beside
        )
        for beside in (((-2, -1), (-1, 1), (1, 2)) if closed else ((-1, 1),))
        for direction in (1, -1)
    )


def _fits_between(before: Sequence[_Step], after: Sequence[_Step], most: float) -> bool:
    """Tell whether it comes when it is due from a call before it to one after it, and is not called between them."""
    return any(
        _even(a.seconds / a.numbers, b.seconds / b.numbers, most)
        and not _is_called(before, a.seconds)
        and not _is_called(after, b.seconds)
        for a, b in product(before, after)
        if 1 <= a.numbers <= MOST_STEPS and 1 <= b.numbers <= MOST_STEPS and (a.sure or b.sure)
    )


def _goes_on(side: Sequence[_Step], other: Sequence[_Step]) -> bool:
    """Tell whether two calls on one side of it have it due, and it is not called near."""
    return not _is_called(other, FARTHEST / 2) and any(
        _even(a.seconds / a.numbers, (b.seconds - a.seconds) / (b.numbers - a.numbers), EVENLY)
        and not _is_called(side, b.seconds)
        for a, b in product(side, side)
        if a.seconds < b.seconds
        and 1 <= a.numbers <= MOST_STEPS
        and 1 <= b.numbers - a.numbers <= MOST_STEPS
        and (a.sure or b.sure)
    )


def _is_called(side: Sequence[_Step], seconds: float) -> bool:
    return any(one.numbers == 0 and one.sure and one.seconds <= seconds for one in side)


def _calls_near(
    words: Sequence[Word], calls: Sequence[int | None], perhaps: Sequence[int | None], i: int
) -> Iterator[_Near]:
    for j, word in enumerate(words):
        away = word.start - words[i].start
        if j == i or abs(away) > FARTHEST:
            continue
        call = calls[j]
        if call is not None:
            yield _Near(away, call, True)
        elif (maybe := perhaps[j]) is not None and _closes(words, j):
            yield _Near(away, maybe, False)


def _even(one: float, other: float, most: float) -> bool:
    """Tell two paces (seconds a count) that differ by no more than so many times."""
    return max(one, other) <= most * min(one, other)


def _number(word: Word) -> int | None:
    bare = _bare(word)
    return int(bare) if bare.isdecimal() else VALUES.get(bare)
