"""A second look at holes in a count: recognise them again with other settings, keep the better reading."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pipeline.model import Word
from pipeline.transcripts.counts import VALUES
from pipeline.transcripts.recognition.audio import RATE, Recording
from pipeline.transcripts.recognition.options import SECOND_LOOK
from pipeline.transcripts.recognition.recognize import recognize
from pipeline.transcripts.recognition.speech import BLOCK, listen
from pipeline.transcripts.recognition.windows import pack

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Hole = tuple[float, float]
Words = tuple[Word, ...]

CONTEXT = 4.0
"""Seconds heard before and after a hole: the calls on both sides tell the recogniser that it is a count."""

LONGEST_HOLE = 20.0
"""Seconds. With its context a hole is to fit what is recognised at once; a longer one is passed over."""

NEIGHBOUR_WITHIN = 10.0
"""Seconds from a hole within which the numbers that its count runs between are looked for."""

LEAST_CONFIDENCE = 0.3
"""Of a number that the second look alone heard. Below it the number may come from the prompt, not from the
sound; and a number made up would hide a miscount."""


def look_again(model: Any, recording: Recording, words: Words, holes: Sequence[Hole]) -> Words:
    """Return the words, those in each hole taken from the second reading where that is the better one."""
    wanted = sorted(hole for hole in holes if 0 < hole[1] - hole[0] <= LONGEST_HOLE)
    if not wanted:
        return words
    for hole, start, samples in _cut(recording, wanted):
        before = tuple(word for word in words if _middle(word) < hole[0])
        old = tuple(word for word in words if _is_in(word, hole))
        after = tuple(word for word in words if _middle(word) > hole[1])
        new = tuple(word for word in _read(model, samples, start) if _is_in(word, hole))
        if _numbers_in_count(new, before, after, hole) > _numbers_in_count(old, before, after, hole):
            words = before + new + after
    return words


def _cut(recording: Recording, holes: Sequence[Hole]) -> Iterator[tuple[Hole, float, NDArray[np.float32]]]:
    """Give each hole with the sound in and around it, and where that starts in seconds."""
    import numpy as np

    waiting, kept, at = list(holes), np.zeros(0, np.float32), 0
    for block in recording.blocks(BLOCK):
        kept = np.concatenate([kept, block])
        at += len(block)
        while waiting and at / RATE >= waiting[0][1] + CONTEXT:
            yield _cut_one(waiting.pop(0), kept, at)
        kept = kept[-round((LONGEST_HOLE + 2 * CONTEXT) * RATE) :]
    for hole in waiting:
        yield _cut_one(hole, kept, at)


def _cut_one(hole: Hole, kept: NDArray[np.float32], at: int) -> tuple[Hole, float, NDArray[np.float32]]:
    begin = at - len(kept)
    first = max(begin, round((hole[0] - CONTEXT) * RATE))
    return hole, first / RATE, kept[first - begin : round((hole[1] + CONTEXT) * RATE) - begin].copy()


def _read(model: Any, samples: NDArray[np.float32], start: float) -> Iterator[Word]:
    for window in pack(listen(samples[i : i + BLOCK] for i in range(0, len(samples), BLOCK))):
        for word in recognize(model, window, SECOND_LOOK):
            yield replace(word, start=round(word.start + start, 3), end=round(word.end + start, 3))


def _numbers_in_count(reading: Words, before: Words, after: Words, hole: Hole) -> int:
    """Count the numbers of a reading that lead from the last number before the hole to the first after it."""
    first = next((n for w in reversed(before) if (n := _value(w)) and hole[0] - w.end <= NEIGHBOUR_WITHIN), None)
    last = next((n for w in after if (n := _value(w)) and w.start - hole[1] <= NEIGHBOUR_WITHIN), None)
    if first is None or last is None or first == last:
        return 0
    direction = 1 if last > first else -1
    reached, found = first, 0
    for word in reading:
        number = _value(word)
        sure = word.probability is None or word.probability >= LEAST_CONFIDENCE
        if number and sure and direction * reached < direction * number < direction * last:
            reached, found = number, found + 1
    return found


def _value(word: Word) -> int | None:
    bare = re.sub(r"[^\w-]", "", word.text.lower()).strip("-")
    return int(bare) if re.fullmatch(r"[0-9]{1,2}", bare) else VALUES.get(bare)


def _middle(word: Word) -> float:
    return (word.start + word.end) / 2


def _is_in(word: Word, hole: Hole) -> bool:
    return hole[0] <= _middle(word) <= hole[1]
