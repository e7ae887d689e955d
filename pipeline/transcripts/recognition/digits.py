"""Numbers read out digit by digit: "two, zero, one, nine, eighteen" is put together as twenty, nineteen, eighteen.

Synthesised voices read figures so now and then, and a person who calls them over noise may. Told from numbers called
one by one by the count alone: within one sentence, pairs of digits said in quick succession and at least one number
above nine count on, up or down, and the numbers taken one by one do not. What is put together is said in a note.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.model import Word
from pipeline.transcripts.counts import CLAUSE_ENDS, SENTENCE_ENDS, VALUES, lowered
from pipeline.transcripts.recognition.corrections import Correction

QUICK_SUCCESSION = 0.6
"""Seconds from the beginning of a digit to that of the next one of its number. A synthesiser takes 0.2 to 0.4
(``tests/bench/SOUND.md``), and reps are hardly called faster than one in 0.6."""

SENTENCE_PAUSE = 1.0
"""Seconds of silence after which another sentence has begun, whatever the punctuation."""

LARGEST_STEP = 2
"""Numbers from one call to the next within a sentence, as one may be lost."""


def put_together(words: Sequence[Word]) -> tuple[list[Word], list[Correction]]:
    """Return the words with numbers read digit by digit as one word each, and what was put together."""
    kept: list[Word] = []
    corrections: list[Correction] = []
    for sentence in _runs(words):
        numbers = _as_count(sentence)
        for first, *second in numbers or [[word] for word in sentence]:
            if not second:
                kept.append(first)
                continue
            one = _join(first, second[0])
            kept.append(one)
            corrections.append(Correction(first.start, f"{first.text} {second[0].text}", one.text))
    return kept, corrections


def _runs(words: Sequence[Word]) -> Iterator[list[Word]]:
    """Part the words into runs of numbers within one sentence, and the other words one by one."""
    run: list[Word] = []
    for word in words:
        number = _value(word) is not None
        ended = bool(run) and (
            _value(run[-1]) is None
            or not number
            or run[-1].text[-1] in SENTENCE_ENDS
            or word.start - run[-1].end >= SENTENCE_PAUSE
        )
        if ended:
            yield run
            run = []
        run.append(word)
    if run:
        yield run


def _as_count(run: Sequence[Word]) -> list[list[Word]] | None:
    """Return a run of numbers as numbers of one or two words that count on; ``None`` where that is not how it reads."""
    if len(run) < 3 or _counts_on([_number([word]) for word in run]):
        return None
    return next((numbers for numbers in _readings(run) if _counts_on([_number(one) for one in numbers])), None)


def _readings(run: Sequence[Word]) -> Iterator[list[list[Word]]]:
    """Give the ways to read a run as numbers above nine, at least one of them said in one word."""
    ways: list[list[list[list[Word]]]] = [[[]]]
    for stop in range(1, len(run) + 1):
        last = run[stop - 1]
        found = [[*way, [last]] for way in ways[stop - 1]] if _number([last]) > 9 else []
        if stop > 1 and _makes_one(run[stop - 2], last):
            found += [[*way, [run[stop - 2], last]] for way in ways[stop - 2]]
        ways.append(found)
    return (way for way in ways[-1] if len(way) > 1 and any(len(number) == 1 for number in way))


def _makes_one(tens: Word, units: Word) -> bool:
    digits = 1 <= _number([tens]) <= 9 and _number([units]) <= 9
    return digits and units.start - tens.start <= QUICK_SUCCESSION


def _counts_on(numbers: Sequence[int]) -> bool:
    """Tell numbers that go up, or down, from call to call, and at least once by one."""
    steps = [b - a for a, b in pairwise(numbers)]
    one_way = all(1 <= step <= LARGEST_STEP for step in steps) or all(1 <= -step <= LARGEST_STEP for step in steps)
    return one_way and any(abs(step) == 1 for step in steps)


def _number(words: Sequence[Word]) -> int:
    """Return the number that the words of :func:`_runs` make, digit after digit where there are two."""
    return int("".join(str(_value(word)) for word in words))


def _join(tens: Word, units: Word) -> Word:
    bare = units.text.rstrip(SENTENCE_ENDS + CLAUSE_ENDS)
    chances = [word.probability for word in (tens, units) if word.probability is not None]
    text = f"{_number([tens, units])}{units.text[len(bare) :]}"
    return replace(tens, text=text, end=units.end, probability=min(chances, default=None))


def _value(word: Word) -> int | None:
    bare = lowered(word.text).strip(SENTENCE_ENDS + CLAUSE_ENDS)
    return int(bare) if bare.isdecimal() else VALUES.get(bare)
