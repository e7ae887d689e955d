"""Whether a set of seconds is a position held or a movement gone through: it decides what its seconds are called."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from pipeline.counting.draft import Draft

#: What is held, whatever is said of it. A balance that is usually counted ("bird dog") is where its seconds are.
_HELD = frozenset({"isometric hold", "stretch"})
#: What moves all the time, though weights are held all the while.
_MOVING = frozenset({"carry", "locomotion", "jump", "whole body"})


class Movement(Protocol):
    """What an exercise is: its patterns of movement, and what it is usually counted in."""

    @property
    def pattern(self) -> tuple[str, ...]:
        """Return the kinds of movement that it is."""

    @property
    def unit(self) -> str:
        """Return ``"reps"``, ``"seconds"`` or ``"breaths"``."""


def still_sets(drafts: Sequence[Draft], exercises: Sequence[Movement | None]) -> list[bool]:
    """Tell of each set, whose exercise stands at its place in ``exercises``, whether it is held still.

    The other side of a hold is the same hold, though nobody says "hold" again. Only sets of seconds are asked about.
    """
    out: list[bool] = []
    for k, (draft, exercise) in enumerate(zip(drafts, exercises, strict=True)):
        still = _still(draft, exercise)
        if not still and k and not moves(draft, exercise):
            before = drafts[k - 1]
            still = out[-1] and (before.chapter, before.unit, before.target) == (draft.chapter, "seconds", draft.target)
        out.append(still)
    return out


def moves(draft: Draft, exercise: Movement | None) -> bool:
    """Tell whether a set can be no hold: it is one of pulses, or of what is carried, run or jumped."""
    pattern = frozenset(exercise.pattern) if exercise is not None else frozenset()
    return draft.range == "pulse" or (bool(_MOVING & pattern) and not _HELD & pattern)


def _still(draft: Draft, exercise: Movement | None) -> bool:
    if moves(draft, exercise):
        return False
    if exercise is None:
        return draft.holding
    pattern = frozenset(exercise.pattern)
    balanced = "balance" in pattern and (exercise.unit == "seconds" or draft.counted_still)
    return bool(_HELD & pattern) or balanced or (draft.holding and draft.counted_still)
