"""chapters.vtt: the chapter list as a WebVTT chapters track, a cue a chapter, its title the cue's text.

The times are exact to the millisecond, the entries those of chapters.txt. A title is one line of text
without tags (W3C WebVTT, "chapter title text"), and no cue overlaps another.

chapters-nested.vtt has the levels above as well. Its cues keep to "WebVTT file using only nested cues": of
any two, one lies within the other, or they do not overlap; what holds others stands before them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.grain import PublishedChapter, outline
from pipeline.publish.webvtt_file import VttCue, escape_text, webvtt_file


def write(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters.vtt."""
    return webvtt_file(_cue(chapter) for chapter in listed_chapters(record, grain, template))


def write_nested(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters-nested.vtt."""
    return webvtt_file(_nested(outline(record, grain, template)))


def _nested(chapters: Iterable[PublishedChapter]) -> Iterator[VttCue]:
    for chapter in chapters:
        yield _cue(chapter)
        yield from _nested(chapter.parts)


def _cue(chapter: PublishedChapter) -> VttCue:
    return VttCue(chapter.start, chapter.end, escape_text(chapter.title))
