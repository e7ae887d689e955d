"""The words that captions show: those of the transcript, some written in another way.

A rewriting puts a text in the place of a range of words: "twenty", "one" become "21". What points into the
words afterwards (pieces, numbers, sets …) is moved along, so that a rewritten record is as sound as before.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TypeVar

from pipeline.model import Chapter, Cue, Finding, Number, Record, Word, WordRange, WorkSet


@dataclass(frozen=True, slots=True)
class Rewriting:
    """What stands in the captions for the words ``words[0]`` to ``words[1]`` (stop exclusive)."""

    words: WordRange
    text: str


def rewrite(record: Record, rewritings: Iterable[Rewriting]) -> Record:
    """Return the record with other words in some places, all its indices moved along.

    A rewritten range becomes one word, from the first's start to the last's end. Of rewritings that overlap
    the first in order of place is done.
    """
    words: list[Word] = []
    place: list[int] = []
    following = {one.words[0]: one for one in sorted(rewritings, key=lambda one: one.words, reverse=True)}
    at = 0
    while at < len(record.words):
        one = following.get(at)
        stop = one.words[1] if one else at + 1
        place += [len(words)] * (stop - at)
        word, last = record.words[at], record.words[stop - 1]
        words.append(replace(word, text=one.text, end=max(word.end, last.end)) if one else word)
        at = stop
    place.append(len(words))
    return replace(
        record,
        words=tuple(words),
        pieces=tuple(replace(one, first=place[one.first], stop=place[one.stop]) for one in record.pieces),
        chapters=_moved(record.chapters, place),
        sets=_moved(record.sets, place),
        numbers=_moved(record.numbers, place),
        findings=_moved(record.findings, place),
        cues=_moved(record.cues, place),
    )


_Evidence = TypeVar("_Evidence", Chapter, WorkSet, Number, Finding, Cue)


def _moved(items: Sequence[_Evidence], place: Sequence[int]) -> tuple[_Evidence, ...]:
    return tuple(replace(one, words=_moved_range(one.words, place)) for one in items)


def _moved_range(words: WordRange, place: Sequence[int]) -> WordRange:
    first, stop = words
    if first >= stop:
        return (place[first], place[first])
    return (place[first], place[stop - 1] + 1)
