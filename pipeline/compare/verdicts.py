"""What a comparison says: a verdict on each number, and on the file's times as a whole."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

VerdictKind = Literal["agrees", "within spread", "wrong number", "wrong exercise", "early", "late", "missing", "extra"]
FileKind = Literal["counter", "captions"]

TOLERANCE = 0.5
"""Seconds that a number may be off its time before that is told."""

ROUNDING = 0.011
"""Seconds that times of files are off by being written in hundredths or thousandths of a second."""

NO_FAULTS: frozenset[VerdictKind] = frozenset(("agrees", "within spread"))
"""The verdicts that say that nothing is wrong, as far as anybody can tell."""

SEEN_OFFSET = 0.1
"""Seconds of offset that are worth a word beside a wrong frame rate."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """One number on the screen, or one that should be there.

    "within spread" is a number more than ``TOLERANCE`` off a time that is itself not known better than that: the
    clock placed the rep, or the transcript tells times coarsely. It is told apart, and is no fault.

    ``time`` is where to look in the file (seconds, as the file has it; for a missing number, where it is
    due), ``shown`` the text there and ``due`` what should stand there, either empty where there is none.
    ``off`` is how many seconds it comes late (early: negative), once a shift of the whole file is undone.
    ``set`` is the set's index in the record, ``place`` the cue or row of the file, from 1. ``note`` says more
    for a person.
    """

    kind: VerdictKind
    time: float
    shown: str
    due: str
    off: float | None = None
    set: int | None = None
    place: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Shift:
    """How the times of a whole file are off: ``t`` of the class stands there as ``factor * t + offset``.

    ``rates`` are the two frame rates that give the factor, the one that the file's times were made for first.
    """

    factor: float = 1.0
    offset: float = 0.0
    rates: tuple[str, str] | None = None

    @property
    def is_none(self) -> bool:
        """Whether the times are as they should be."""
        return self.factor == 1 and self.offset == 0

    def undone(self, time: float) -> float:
        """Return the time of the class that a time of the file stands for."""
        return (time - self.offset) / self.factor

    def done(self, time: float) -> float:
        """Return where a time of the class stands in the file."""
        return self.factor * time + self.offset

    def sentence(self) -> str:
        """Return what is off, for a person; empty where nothing is."""
        parts = []
        if self.rates:
            made, needed = self.rates
            share = f"{abs(self.factor - 1) * 100:.2f} % {'slow' if self.factor > 1 else 'fast'}"
            parts.append(f"runs {share}, as times made for {made} frames a second do on {needed}")
        if abs(self.offset) >= SEEN_OFFSET:
            parts.append(f"is {abs(self.offset):.2f} s {'late' if self.offset > 0 else 'early'}")
        return f"The whole file {' and '.join(parts)}; the rest is told as if it were not." if parts else ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """The verdicts in rising order of time, and the shift of the whole file that they leave out."""

    kind: FileKind
    shift: Shift
    verdicts: tuple[Verdict, ...]

    @property
    def faults(self) -> tuple[Verdict, ...]:
        """The verdicts that something is wrong."""
        return tuple(one for one in self.verdicts if one.kind not in NO_FAULTS)

    @property
    def agrees(self) -> bool:
        """Whether nothing at all is wrong."""
        return not self.faults and self.shift.is_none

    def counts(self) -> dict[str, int]:
        """Return how many numbers have each verdict."""
        return dict(Counter(one.kind for one in self.verdicts))
