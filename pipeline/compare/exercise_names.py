"""Whether the exercise shown beside a count is the one that is done."""

from __future__ import annotations

import re
from functools import lru_cache

from pipeline.model import Record
from pipeline.publish.counter import CounterState

LIKE = 75.0
"""Likeness (rapidfuzz's token sort ratio, 0 to 100) from which two names are taken for one; by judgement."""

SHORT_FORM = 90.0
"""Likeness of a name and one that has all its words and more: a goblet squat may be shown as a squat."""

NAMELESS = ("", "exercise")
"""What a set is called whose exercise nobody named."""

_SIDE = re.compile(r"\b(left|right)\b", re.IGNORECASE)
_BESIDE = re.compile(r"\b(?:left|right|both|each)\b(?:\s+sides?\b)?", re.IGNORECASE)


class ExerciseNames:
    """The names that each set of a class goes by."""

    def __init__(self, record: Record) -> None:
        self._names = [
            tuple(
                name.lower() for name in {one.exercise_name, *one.aliases, record.chapters[one.chapter].title} if name
            )
            for one in record.sets
        ]
        numbered = {name for names in self._names for name in names if re.search(r"\d", name)}
        pattern = "|".join(re.escape(name) for name in sorted(numbered, key=len, reverse=True))
        self._numbered = re.compile(pattern, re.IGNORECASE) if pattern else None

    def part_numbered(self, text: str) -> tuple[str, str]:
        """Return the name in a text that holds a number of its own ("90/90 hip switch"), and the rest."""
        found = self._numbered.search(text) if self._numbered else None
        return (found[0], text[: found.start()] + text[found.end() :]) if found else ("", text)

    def fault(self, shown: str, state: CounterState) -> str:
        """Return what is wrong with an exercise shown; empty where nothing is, or where nobody can tell."""
        if shown.lower() in self._names[state.set]:
            return ""
        sides = {found.lower() for found in _SIDE.findall(shown)}
        if state.work.side and sides and state.work.side not in sides:
            return f"shown: {shown}; done: the {state.work.side} side"
        name = " ".join(_BESIDE.sub(" ", shown).lower().split())
        if not name or state.work.exercise_name.lower() in NAMELESS:
            return ""
        own = self._likeness(name, state.set)
        others = max((self._likeness(name, index) for index in range(len(self._names))), default=0.0)
        # A name that the lexicon does not know is unsure: only another exercise of the class shows it wrong.
        if own >= others and (own >= LIKE or state.work.exercise is None):
            return ""
        if state.work.exercise is None and others < LIKE:
            return ""
        return f"shown: {shown}; done: {state.work.exercise_name}"

    def _likeness(self, name: str, index: int) -> float:
        return max((_likeness(name, other) for other in self._names[index]), default=0.0)


@lru_cache(maxsize=4096)
def _likeness(name: str, other: str) -> float:
    from rapidfuzz import fuzz

    words, others = set(name.split()), set(other.split())
    likeness = float(fuzz.token_sort_ratio(name, other))
    return max(likeness, SHORT_FORM) if words <= others or (others and others <= words) else likeness
