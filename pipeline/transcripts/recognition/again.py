"""A second look at holes in a count: recognise them again with other settings, keep the better reading."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from pipeline.model import Word
from pipeline.transcripts.counts import VALUES
from pipeline.transcripts.recognition.audio import RATE, Recording
from pipeline.transcripts.recognition.speech import BLOCK, Stretch, listen
from pipeline.transcripts.recognition.windows import Cut, Window, cut, fill

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Hole = tuple[float, float]
Words = tuple[Word, ...]

CONTEXT = 4.0
"""Seconds heard before and after a hole: the calls on both sides tell the recogniser that it is a count."""

LONGEST_HOLE = 20.0
"""Seconds. A longer one is passed over: it is no call or two that are missing."""

NEIGHBOUR_WITHIN = 10.0
"""Seconds from a hole within which the numbers that its count runs between are looked for."""

LEAST_CONFIDENCE = 0.8
"""Of a number that the second look alone heard. Below it the number may come from the prompt, not from the
sound; and a number made up would hide a miscount."""


def can_look_again(hole: Hole) -> bool:
    """Tell a stretch (seconds, from and to) in which a call or two may be missing from a longer one."""
    return 0 < hole[1] - hole[0] <= LONGEST_HOLE


def look_again(recording: Recording, holes: Sequence[Hole]) -> Iterator[Window]:
    """Give the speech in and around the holes, in the order of time, as windows to be recognised again."""
    return fill(
        stretch for start, sound in _cut(recording, _with_context(sorted(holes))) for stretch in _listen(start, sound)
    )


def keep_better(words: Words, heard: Words, holes: Sequence[Hole]) -> Words:
    """Return the words, those in each hole taken from what was heard again where that is the better reading."""
    for hole in sorted(holes):
        before = tuple(word for word in words if _middle(word) < hole[0])
        old = tuple(word for word in words if _is_in(word, hole))
        after = tuple(word for word in words if _middle(word) > hole[1])
        new = tuple(word for word in heard if _is_in(word, hole))
        if _numbers_in_count(new, before, after, hole) > _numbers_in_count(old, before, after, hole):
            words = before + new + after
    return words


def _with_context(holes: Sequence[Hole]) -> list[Hole]:
    """Return the seconds to hear again, from and to; holes near each other are heard as one."""
    spans: list[Hole] = []
    for start, end in holes:
        begin = max(0.0, start - CONTEXT)
        if spans and begin <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(spans[-1][1], end + CONTEXT))
        else:
            spans.append((begin, end + CONTEXT))
    return spans


def _cut(recording: Recording, spans: Sequence[Hole]) -> Iterator[tuple[float, NDArray[np.float32]]]:
    """Give the sound of each span and where it starts, in seconds; decoding ends with the last."""
    import numpy as np

    waiting, kept, at = list(spans), np.zeros(0, np.float32), 0
    for block in recording.blocks(BLOCK):
        if not waiting:
            return
        kept = np.concatenate([kept, block])
        at += len(block)
        while waiting and at / RATE >= waiting[0][1]:
            yield _cut_one(waiting.pop(0), kept, at)
        first = round(waiting[0][0] * RATE) if waiting else at
        kept = kept[max(0, first - (at - len(kept))) :]
    for span in waiting:
        yield _cut_one(span, kept, at)


def _cut_one(span: Hole, kept: NDArray[np.float32], at: int) -> tuple[float, NDArray[np.float32]]:
    begin = at - len(kept)
    first, stop = (max(begin, round(seconds * RATE)) for seconds in span)
    return first / RATE, kept[first - begin : stop - begin].copy()


def _listen(start: float, sound: NDArray[np.float32]) -> Iterator[Cut]:
    """Give the stretches of speech in some sound, on the clock of the recording that it starts in."""
    for stretch, samples in cut(listen(sound[at : at + BLOCK] for at in range(0, len(sound), BLOCK))):
        times = (stretch.start, stretch.voice_start, stretch.voice_end, stretch.end)
        yield Stretch(*(start + time for time in times)), samples


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
