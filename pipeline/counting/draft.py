"""A set as it is laid out, before its exercise is known."""

from __future__ import annotations

from dataclasses import dataclass, field

from pipeline.model import Range, Rep, Side, Unit


@dataclass(frozen=True)
class Draft:
    """A set before its exercise is known. ``span`` and ``gap`` are utterance ranges: the set, the talk before.

    ``numbers`` are the indices of the numbers in the span, ``n_of`` what a call stands for.
    """

    span: tuple[int, int]
    gap: tuple[int, int]
    start: float
    end: float
    chapter: int
    numbers: tuple[int, ...]
    unit: Unit = "reps"
    target: int | None = None
    performed: int | None = None
    side: Side | None = None
    range: Range | None = None
    tempo: tuple[float, ...] | None = None
    round: int | None = None
    reps: tuple[Rep, ...] = ()
    n_of: dict[int, int] = field(default_factory=dict)
    confidence: float = 0.5
    holding: bool = False
    pace: float | None = None
    breaths: bool = False
    timed: bool = False
    counted_still: bool = False
    announced: int | None = None
