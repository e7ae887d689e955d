"""chapters.vtt: the chapter list as a WebVTT chapters track, a cue a chapter, its title the cue's text.

The times are exact to the millisecond, the entries those of chapters.txt. No cue overlaps another, as a
chapters track without nesting asks (W3C WebVTT, section 4.6.2, "chapter title text" and section 2.2).
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
