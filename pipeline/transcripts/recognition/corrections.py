"""What was put right in recognised words, and the notes that say so to a person."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.transcripts.counts import CLAUSE_ENDS, SENTENCE_ENDS, lowered


@dataclass(frozen=True, slots=True)
class Correction:
    """A call that was put right: when it was made (in seconds), what was heard, and what is written for it."""

    time: float
    heard: str
    written: str


def note(what: str, corrections: Sequence[Correction]) -> list[str]:
    """Return a sentence for a person that says what was put right, and when it was called; none if nothing was."""
    if not corrections:
        return []
    calls = ", ".join(
        f'"{_plain(one.heard)}" to "{_plain(one.written)}" at {int(one.time) // 60}:{int(one.time) % 60:02}'
        for one in corrections
    )
    return [f"{what}: {calls}."]


def _plain(text: str) -> str:
    return lowered(text).strip(SENTENCE_ENDS + CLAUSE_ENDS)
