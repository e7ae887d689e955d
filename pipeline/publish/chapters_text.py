"""chapters.txt: the chapter list to paste under an upload, a line a chapter: its time, a blank, its title.

All times have hours where one of them needs them. See ``grain`` for how short chapters join.
"""

from __future__ import annotations

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.clock import HOUR, clock


def write(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters.txt."""
    chapters = listed_chapters(record, grain, template)
    hours = any(chapter.start >= HOUR for chapter in chapters)
    return "".join(f"{clock(chapter.start, hours)} {chapter.title}\n" for chapter in chapters)
