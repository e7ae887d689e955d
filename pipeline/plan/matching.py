"""Which chapters of a class are which exercises of its run sheet.

The sheet, unrolled round by round, and the chapters of the class are aligned so that as many as can be are
the same exercise in the same order (a dynamic program, as for the edit distance). Names are the same where
the lexicon knows both as one exercise, where they are spelt nearly alike, or where one says the other less
fully ("squat" for "goblet squat").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from pipeline.model import Chapter, Record
from pipeline.plan.sheet import PlannedExercise

if TYPE_CHECKING:
    from lexicon import Lexicon

SAME, NEARLY, LESS_FULLY = 1.0, 0.9, 0.8
"""How good a match is, in whole matches: one exercise by the lexicon, nearly one spelling, one said less fully.

By judgement: two lesser matches outweigh one full one, so that more are matched rather than better."""

ALIKE = 92.0
"""From this likeness on (rapidfuzz's scale, 0 to 100) two spellings are one name; by judgement."""


@dataclass(eq=False, slots=True)
class PlannedItem:
    """A planned exercise and the chapters (indices) in which it was done."""

    planned: PlannedExercise
    rounds: int
    done: list[int] = field(default_factory=list)


class Names:
    """Tells how well a planned exercise fits a chapter."""

    def __init__(self, record: Record, lexicon: Lexicon | None) -> None:
        self.record, self.lexicon = record, lexicon
        self.known: dict[tuple[str, int], float] = {}
        self.ids: dict[str, frozenset[str]] = {}

    def fit(self, planned: PlannedExercise, chapter: int) -> float:
        """Return how good a match a chapter (an index) is, from LESS_FULLY to SAME, and 0 where it is none."""
        key = (planned.name, chapter)
        if key not in self.known:
            self.known[key] = self._fit(planned.name, self.record.chapters[chapter])
        return self.known[key]

    def _fit(self, name: str, chapter: Chapter) -> float:
        from rapidfuzz import fuzz

        planned = _key(name)
        ids = self._ids(name)
        done = {_key(each) for each in (chapter.exercise_name, *chapter.aliases)} - {""}
        if planned in done or (chapter.exercise and (chapter.exercise in ids or chapter.exercise == name)):
            return SAME
        if any(fuzz.token_sort_ratio(planned, each) >= ALIKE for each in done):
            return NEARLY
        words, main = set(planned.split()), set(_key(chapter.exercise_name).split())
        return LESS_FULLY if main and (words <= main or main <= words) else 0.0

    def _ids(self, name: str) -> frozenset[str]:
        """Return the lexicon's exercises of a name; it goes through all of its names, so each is asked for once."""
        if name not in self.ids:
            named = self.lexicon.named(name) if self.lexicon else ()
            self.ids[name] = frozenset(one.id for one in named)
        return self.ids[name]


def align(slots: Sequence[PlannedItem], chapters: Sequence[int], names: Names) -> tuple[list[PlannedItem], list[int]]:
    """Give each item the chapters that fit it in order; return the slots and chapters left over."""
    rows, columns = len(slots), len(chapters)
    best = [[0.0] * (columns + 1) for _ in range(rows + 1)]
    for i in range(rows - 1, -1, -1):
        for j in range(columns - 1, -1, -1):
            fit = names.fit(slots[i].planned, chapters[j])
            taken = fit + best[i + 1][j + 1] if fit else 0.0
            best[i][j] = max(best[i + 1][j], best[i][j + 1], taken)
    i = j = 0
    left: list[PlannedItem] = []
    over: list[int] = []
    while i < rows and j < columns:
        fit = names.fit(slots[i].planned, chapters[j])
        if fit and best[i][j] == fit + best[i + 1][j + 1]:
            slots[i].done.append(chapters[j])
            i, j = i + 1, j + 1
        elif best[i][j] == best[i][j + 1]:
            over.append(chapters[j])
            j += 1
        else:
            left.append(slots[i])
            i += 1
    return left + list(slots[i:]), over + list(chapters[j:])


def _key(name: str) -> str:
    return " ".join("".join(c if c.isalnum() else " " for c in name.lower()).split())
