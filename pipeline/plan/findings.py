"""Differences from a run sheet as findings of the record, so that whoever reads the audit sees both together.

A finding of this kind says under ``said`` what was done and under ``expected`` what was planned. Its words are
the first of the set or chapter that it is about; what was left out has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.model import Finding, Record, WordRange
from pipeline.plan.compare import Difference

MOST_WORDS = 15
"""Words shown as evidence: a sentence or so, with which a set or an exercise is announced (by judgement)."""

NOT_DONE, NOT_PLANNED = "not done", "not in the run sheet"


def add_findings(record: Record, differences: Sequence[Difference]) -> Record:
    """Return the record with a finding for each difference, all findings in order of time."""
    found = [*record.findings, *(_finding(record, one) for one in differences)]
    return replace(record, findings=tuple(sorted(found, key=lambda one: one.time)))


def _finding(record: Record, one: Difference) -> Finding:
    confidence, words = _read_from(record, one)
    return Finding(
        one.kind,
        one.time,
        one.set,
        one.done or NOT_DONE,
        one.planned or NOT_PLANNED,
        one.message,
        confidence,
        words,
        " ".join(word.text for word in record.words[words[0] : words[1]]),
    )


def _read_from(record: Record, one: Difference) -> tuple[float, WordRange]:
    """Return how sure the set or chapter is that a difference was read from, and its first words.

    What seems left out may have been done unheard: that is as sure as the chapter that stands in its place.
    """
    about = (
        record.sets[one.set]
        if one.set is not None
        else next((chapter for chapter in reversed(record.chapters) if chapter.start <= one.time), None)
    )
    if about is None:
        return 1.0, (0, 0)
    first, stop = (0, 0) if one.kind == "left-out" else about.words
    return about.confidence, (first, min(stop, first + MOST_WORDS))
