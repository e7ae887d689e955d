"""How much was done, by muscle and by pattern of movement, as a pandas table.

A set counts once for each prime mover and each pattern of its exercise, and as ``HELPER_SHARE`` of a set for
each muscle that helps. Volume counts what was done; where that cannot be told, what was announced.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Protocol

from pipeline.model import Record, WorkSet

if TYPE_CHECKING:
    import pandas as pd

HELPER_SHARE = 0.5
"""What a set counts for a muscle that only helps (common practice in counting training volume, no source)."""

COLUMNS = ("of", "name", "sets", "reps", "seconds")


class KnownExercise(Protocol):
    """What the table and the summary need to know of an exercise; ``lexicon.Exercise`` knows it."""

    @property
    def equipment(self) -> tuple[str, ...]:
        """What it can be done with, such as ``dumbbell``."""

    @property
    def pattern(self) -> tuple[str, ...]:
        """Patterns of movement, such as ``squat``."""

    @property
    def prime_movers(self) -> tuple[str, ...]:
        """The muscles that do most of the work."""

    @property
    def helpers(self) -> tuple[str, ...]:
        """The muscles that help."""


def volume_frame(record: Record, exercises: Mapping[str, KnownExercise] | None = None) -> pd.DataFrame:
    """Return the volume of a class, a row a muscle and a row a pattern, the most sets first.

    The columns: ``of`` ("muscle" or "pattern"), ``name``, ``sets``, ``reps``, and ``seconds`` of work.
    ``exercises`` are the lexicon's, by id. Without them all muscles of the record count alike, and patterns,
    which the record does not hold, are missing.
    """
    import pandas as pd

    rows = [
        {
            "of": of,
            "name": name,
            "sets": share,
            "reps": reps * share,
            "seconds": (one.end - one.start) * share,
        }
        for one in record.sets
        for reps in [_reps(one)]
        for of, name, share in _shares(record, one, exercises or {})
    ]
    table = pd.DataFrame(rows, columns=list(COLUMNS))
    summed = table.groupby(["of", "name"], as_index=False)[["sets", "reps", "seconds"]].sum()
    ordered = summed.sort_values(["of", "sets", "seconds", "name"], ascending=[True, False, False, True])
    return ordered.round({"sets": 1, "reps": 1, "seconds": 1}).reset_index(drop=True)


def write(record: Record, exercises: Mapping[str, KnownExercise] | None = None) -> str:
    """Return the table as CSV, the text of volume.csv."""
    text: str = volume_frame(record, exercises).to_csv(index=False, lineterminator="\r\n")
    return text


def _reps(one: WorkSet) -> int:
    amount = one.performed if one.performed is not None else one.target
    return amount if amount is not None and one.unit == "reps" else 0


def _shares(record: Record, one: WorkSet, exercises: Mapping[str, KnownExercise]) -> Iterator[tuple[str, str, float]]:
    """Yield what a set counts for: "muscle" or "pattern", its name, and the share of the set."""
    known = exercises.get(one.exercise or "")
    if known is None:
        for muscle in record.chapters[one.chapter].muscles:
            yield "muscle", muscle, 1.0
        return
    for pattern in known.pattern:
        yield "pattern", pattern, 1.0
    for muscle in known.prime_movers:
        yield "muscle", muscle, 1.0
    for muscle in known.helpers:
        if muscle not in known.prime_movers:
            yield "muscle", muscle, HELPER_SHARE
