"""Whether the exercise shown beside a count is the one that is done."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.model import Record
from pipeline.publish.counter import CounterState

LIKE = 75.0
"""Likeness (rapidfuzz's token sort ratio, 0 to 100) from which two names are taken for one; by judgement."""

_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)
_BESIDE = re.compile(r"\b(?:left|right|both|each)\b(?:\s+sides?\b)?", re.IGNORECASE)


class ExerciseNames:
    """The names that each set of a class goes by."""

    def __init__(self, record: Record) -> None:
        self._names = [
            tuple(
                name.lower()
                for name in {one.exercise_name, *one.aliases, record.chapters[one.chapter].title}
                if name
            )
            for one in record.sets
        ]
        numbered = {name for names in self._names for name in names if re.search(r"\d", name)}
        pattern = "|".join(re.escape(name) for name in sorted(numbered, key=len, reverse=True))
        self._numbered = re.compile(pattern, re.IGNORECASE) if pattern else None

    def without_numbered(self, text: str) -> str:
        """Return a text without the names that hold a number of their own, such as "90/90 hip switch"."""
        return self._numbered.sub(" ", text) if self._numbered else text

    def fault(self, shown: str, state: CounterState) -> str:
        """Return what is wrong with an exercise shown, for a person; empty where nothing is wrong."""
        sides = {found.lower() for found in _SIDE.findall(shown)}
        if state.work.side and sides and state.work.side not in sides:
            return f"shown: {shown}; done: the {state.work.side} side"
        name = " ".join(_BESIDE.sub(" ", shown).lower().split())
        if not name:
            return ""
        own = self._likeness(name, state.set)
        others = max((self._likeness(name, index) for index in range(len(self._names))), default=0.0)
        if own >= LIKE and own >= others:
            return ""
        return f"shown: {shown}; done: {state.work.exercise_name}"

    def _likeness(self, name: str, index: int) -> float:
        return max((_likeness(name, other) for other in self._names[index]), default=0.0)


@lru_cache(maxsize=4096)
def _likeness(name: str, other: str) -> float:
    from rapidfuzz import fuzz

    words, others = set(name.split()), set(other.split())
    likeness = float(fuzz.token_sort_ratio(name, other))
    # "Squat" beside a goblet squat is a short form, not another exercise.
    return max(likeness, LIKE) if words <= others or (others and others <= words) else likeness
