"""The chapters as a list to show: what the flat formats have in common."""

from __future__ import annotations

from pipeline.model import Record
from pipeline.publish.grain import PublishedChapter, leaves, outline


def listed_chapters(
    record: Record, grain: str = "exercise", template: str | None = None
) -> tuple[PublishedChapter, ...]:
    """Return the chapters to list, end to end; see ``grain`` for how they join and what they are called."""
    return tuple(leaves(outline(record, grain, template)))
