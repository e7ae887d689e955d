"""Where a published chapter starts: with a sentence, a little before its first word, never in the last set.

A jump to a chapter must not miss a word and must not show the end of the exercise before. So a start

- is moved back to the sentence that its first word stands in, where that is near;
- is never before the end of the last set, whatever sentence that cuts;
- leads its first word by ``LEAD``, but not into the word before, nor into an earlier whole second, so that a
  list of whole seconds shows the same starts.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from pipeline.model import Record, Word, WorkSet

LEAD = 0.3
"""Seconds that a chapter starts before its first word: time to hear it whole, under the second that a viewer
would notice (by judgement)."""

REACH = 4.0
"""Seconds that a start may move back to a sentence's start; a longer one is not about the exercise alone."""

PAUSE = 0.7
"""Seconds of silence that part sentences where nothing is punctuated (by judgement)."""

_NEAR = 0.05  # seconds that rounding may take off a time
_SENTENCE_END = re.compile(r"""[.!?…]["'”’)\]]*$""")


def chapter_starts(record: Record) -> list[float]:
    """Return the start of each chapter in seconds, rising; the first is 0."""
    starts: list[float] = []
    for index, chapter in enumerate(record.chapters):
        if index == 0:
            starts.append(0.0)
            continue
        own = [one.start for one in record.sets if one.chapter == index]
        before = [one.end for one in record.sets if one.chapter < index]
        earliest = max([starts[-1], *(end for end in before if end <= min([chapter.end, *own]))])
        start = place_start(record.words, chapter.start, earliest, min([*own, chapter.end]))
        starts.append(start)
    return starts


def set_starts(words: Sequence[Word], sets: Sequence[WorkSet], chapter_start: float) -> list[float]:
    """Return where each set of one chapter starts: with the first sentence after the set before it.

    The first set starts with its chapter: what is said to set it up belongs to it.
    """
    starts = [chapter_start]
    for before, one in pairwise(sets):
        at = bisect_left(words, before.end - _NEAR, key=lambda word: word.start)
        while at < len(words) and words[at].start < one.start and not _begins_sentence(words, at):
            at += 1
        said = words[at].start if at < len(words) and words[at].start < one.start else one.start
        earliest = max(starts[-1], min(before.end, one.start))
        starts.append(_led(words, said, earliest))
    return starts


def place_start(words: Sequence[Word], time: float, earliest: float, latest: float) -> float:
    """Return the start for what begins at ``time``, in seconds, not before ``earliest``.

    Where ``time`` itself is before that, the first sentence until ``latest`` is taken.
    """
    at = bisect_left(words, max(time, earliest) - _NEAR, key=lambda word: word.start)
    if at == len(words) or words[at].start > max(time, earliest) + REACH:
        return max(time, earliest)
    if time < earliest - _NEAR:
        later = at
        while later < len(words) and words[later].start <= latest and not _begins_sentence(words, later):
            later += 1
        found = later < len(words) and words[later].start <= latest
        return _led(words, words[later if found else at].start, earliest)
    first = at
    while first > 0 and not _begins_sentence(words, first):
        if words[first - 1].start < max(earliest - _NEAR, time - REACH):
            return _led(words, words[at].start, earliest)
        first -= 1
    return _led(words, words[first].start, earliest)


def _led(words: Sequence[Word], time: float, earliest: float) -> float:
    at = bisect_left(words, time - _NEAR, key=lambda word: word.start)
    said_before = words[at - 1].end if at else 0.0
    # A caption's last word may be timed until the next caption starts.
    return round(max(time - LEAD, float(int(time)), min(said_before, time), earliest), 3)


def _begins_sentence(words: Sequence[Word], at: int) -> bool:
    if at == 0:
        return True
    before, word = words[at - 1], words[at]
    return (
        _SENTENCE_END.search(before.text) is not None
        or word.start - before.end >= PAUSE
        or before.speaker != word.speaker
    )
