"""The checks, in the order in which a person would make them."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.audit.settings import Settings
from pipeline.model import Chapter, Finding, Number, Transcript, WorkSet


def audit(
    transcript: Transcript,
    chapters: Sequence[Chapter],
    sets: Sequence[WorkSet],
    numbers: Sequence[Number],
    settings: Settings | None = None,
) -> list[Finding]:
    """Return all findings, in order of time."""
    return []
