"""What every reader hands over, and the recipe for adding a format.

To add a format:

1. Write a module named for it with two functions. ``matches(text: str) -> bool`` tells by the content alone
   (never by the file's ending) whether the text is of this format. ``parse(text: str, name: str) -> Draft``
   reads it. ``text`` is already decoded, without a byte-order mark, its lines ended by ``\\n`` alone;
   ``name`` is only for messages.
2. In ``parse``, make a :class:`Passage` of each caption, segment, paragraph or row, and a :class:`Token` of
   each word. Give the times that the source gives and no others: sorting, overlaps, missing ends and the
   times of single words are the work of ``assemble.py`` and ``clock.py``, the same for all formats.
3. Leave out what cannot be used and say so with ``draft.notes.add(line, problem)``. Raise
   :class:`~pipeline.model.InputError` only where nothing can be used.
4. Add its kind to ``SourceKind`` in ``pipeline/model.py``, and a line to ``READERS`` in ``formats.py``; the first
   reader that matches is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pipeline.model import SourceKind, Timing

LONGEST_TIME = 100 * 3600.0
"""Seconds. No class lasts this long: a later time is a slip of the pen, and the passage is left out."""

LINES_NAMED = 5
"""Lines that a warning names before it only counts the others: enough to find the place, and still short."""


@dataclass(frozen=True, slots=True)
class Token:
    """One word as the source has it. Times are in seconds, ``None`` where the source gives none."""

    text: str
    start: float | None = None
    end: float | None = None
    speaker: str | None = None
    probability: float | None = None


@dataclass(frozen=True, slots=True)
class Passage:
    """A caption, segment, paragraph or row. ``line`` (from 1) is where its time stands in the source."""

    line: int
    start: float
    end: float | None
    tokens: tuple[Token, ...]


@dataclass(slots=True)
class Notes:
    """What had to be mended or left out, kept by problem so that one slip made often is one sentence.

    ``place`` is what the source is counted in: lines of a text, segments of a recogniser's output.
    """

    place: str = "line"
    _lines: dict[str, list[int]] = field(default_factory=dict)

    def add(self, line: int | None, problem: str) -> None:
        """Note a problem (a clause without its full stop) at a line, or of the whole source."""
        lines = self._lines.setdefault(problem, [])
        if line is not None and line not in lines[-1:]:
            lines.append(line)

    def sentences(self) -> tuple[str, ...]:
        """Return a sentence a problem, in the order in which they were met."""
        return tuple(f"{self._where(lines)}{problem}." for problem, lines in self._lines.items())

    def _where(self, lines: list[int]) -> str:
        if not lines:
            return ""
        named = [str(line) for line in lines[:LINES_NAMED]]
        more = len(lines) - len(named)
        if more:
            listed = f"{', '.join(named)} and {more} more"
        else:
            listed = " and ".join([", ".join(named[:-1]), named[-1]] if len(named) > 1 else named)
        return f"{self.place}{'s' if len(lines) > 1 else ''} {listed}: "


@dataclass(slots=True)
class Draft:
    """What a reader found, before the clock: passages in the order of the source."""

    kind: SourceKind
    timing: Timing
    passages: list[Passage] = field(default_factory=list)
    title: str | None = None
    notes: Notes = field(default_factory=Notes)


def tokens(text: str, speaker: str | None = None) -> tuple[Token, ...]:
    """Cut a text at its blanks into words without times."""
    return tuple(Token(word, speaker=speaker) for word in text.split())


def usable_time(seconds: float | None) -> bool:
    """Tell whether a number can be a moment of a recording (NaN, the infinite and the absurd cannot)."""
    return seconds is not None and 0.0 <= seconds <= LONGEST_TIME
