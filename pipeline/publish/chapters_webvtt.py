"""chapters.vtt: the chapter list as a WebVTT chapters track, a cue a chapter, its title the cue's text.

The times are exact to the millisecond, the entries those of chapters.txt. A title is one line of text
without tags (W3C WebVTT, "chapter title text"), and no cue overlaps another.
"""

from __future__ import annotations

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.webvtt_file import VttCue, escape_text, webvtt_file


def write(record: Record) -> str:
    """Return the text of chapters.vtt."""
    return webvtt_file(
        VttCue(chapter.start, chapter.end, escape_text(chapter.title)) for chapter in listed_chapters(record)
    )
