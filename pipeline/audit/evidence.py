"""The class as the checks see it, and the words that a finding shows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from statistics import fmean

from pipeline.model import Chapter, Finding, FindingKind, Number, Role, Transcript, WordRange, WorkSet

#: A finding shows this many words around the number that it is about.
AROUND = 6


@dataclass(frozen=True, slots=True)
class Place:
    """Where something does not add up: at which second, in which set (its index), at which words."""

    time: float
    set: int
    words: WordRange


@dataclass(frozen=True, slots=True)
class Mismatch:
    """What does not add up: what was said, what that had been expected to be, and both in a sentence."""

    said: str
    expected: str
    message: str


@dataclass(frozen=True)
class Class:
    """One class: its transcript, chapters, sets and numbers."""

    transcript: Transcript
    chapters: tuple[Chapter, ...]
    sets: tuple[WorkSet, ...]
    numbers: tuple[Number, ...]

    @property
    def fine(self) -> bool:
        """Whether the clock is fine enough to judge seconds."""
        return self.transcript.source.timing != "coarse"

    @cached_property
    def recognised(self) -> bool:
        """Whether the words were recognised from sound: only a recogniser tells how sure it is of each."""
        return any(word.probability is not None for word in self.transcript.words)

    def trusts(self, work: WorkSet) -> bool:
        """Whether what a set came to can be held against another: coarse stamps may cut a set short."""
        return self.fine or work.target is None or work.performed == work.target

    @cached_property
    def _numbers_of(self) -> dict[int, list[Number]]:
        out: dict[int, list[Number]] = {}
        for one in self.numbers:
            if one.set is not None:
                out.setdefault(one.set, []).append(one)
        return out

    def said_in(self, index: int, role: Role) -> list[Number]:
        """Return the numbers of one role in a set, in order of time."""
        return [one for one in self._numbers_of.get(index, []) if one.role == role]

    def count_confidence(self, index: int) -> float:
        """Return how surely the numbers said in a set were read (0 to 1).

        A count can be right where nobody knows what the exercise is called, so that a name in doubt, which makes a
        set less sure, casts no doubt on it.
        """
        said = self._numbers_of.get(index)
        return fmean(number.confidence for number in said) if said else self.sets[index].confidence

    def exercise_of(self, chapter: int) -> str:
        """Return what tells the exercise of a chapter from others: its id, or its name where the lexicon has none."""
        this = self.chapters[chapter]
        return this.exercise or this.exercise_name.lower()

    def sets_of(self, chapter: int) -> Iterator[tuple[int, WorkSet]]:
        """Yield the sets of a chapter with their indices."""
        for index, one in enumerate(self.sets):
            if one.chapter == chapter:
                yield index, one

    def finding(self, kind: FindingKind, place: Place, mismatch: Mismatch, confidence: float) -> Finding:
        """Make a finding; its evidence is the words around its place. ``confidence`` is 0 to 1."""
        first = max(0, place.words[0] - AROUND)
        stop = min(len(self.transcript.words), place.words[1] + AROUND)
        return Finding(
            kind, place.time, place.set, mismatch.said, mismatch.expected, mismatch.message, confidence, place.words,
            self.transcript.text((first, stop)),
        )  # fmt: skip


def plain(text: str) -> str:
    """Return a word without its capitals and punctuation."""
    return text.lower().strip(".,;:!?")


def name(one: WorkSet) -> str:
    """Name a set for a sentence: exercise, side."""
    return f"{one.exercise_name}, {one.side}" if one.side else one.exercise_name


def count_of(value: int, noun: str) -> str:
    """Write "1 rep", "2 reps"."""
    return f"{value} {noun}" + ("" if value == 1 else "s")
