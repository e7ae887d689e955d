"""chapters.ffmetadata: the chapters as an FFMETADATA file, which ``ffmpeg -i FILE -map_chapters`` reads.

The form is that of the FFmpeg formats documentation ("Metadata"). It knows no levels: the chapters lie end to
end.
"""

from __future__ import annotations

import re

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.webvtt_file import one_line


def write(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters.ffmetadata; times are in milliseconds."""
    lines = [";FFMETADATA1", f"title={_escape(one_line(record.title or record.source.name))}"]
    for chapter in listed_chapters(record, grain, template):
        lines += [
            "",
            "[CHAPTER]",
            "TIMEBASE=1/1000",
            f"START={round(chapter.start * 1000)}",
            f"END={round(chapter.end * 1000)}",
            f"title={_escape(chapter.title)}",
        ]
    return "\n".join(lines) + "\n"


def _escape(text: str) -> str:
    """Return a value with a backslash before what would be syntax: ``=``, ``;``, ``#`` and ``\\``."""
    return re.sub(r"([=;#\\])", r"\\\1", text)
