"""chapters.json: the chapters in the JSON form of the open podcast namespace, version 1.2.

An object with ``version`` and ``chapters``; a chapter has its ``startTime`` in seconds, ``title`` and
``endTime``. The form knows no levels. Its media type is ``application/json+chapters``. (From memory of the
published specification, "JSON Chapters Format".)
"""

from __future__ import annotations

import json
from typing import Any

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.webvtt_file import one_line

VERSION = "1.2.0"


def write(record: Record, grain: str = "exercise", template: str | None = None) -> str:
    """Return the text of chapters.json."""
    chapters = []
    for one in listed_chapters(record, grain, template):
        chapters.append({"startTime": round(one.start, 3), "title": one.title, "endTime": round(one.end, 3)})
    whole: dict[str, Any] = {"version": VERSION}
    if record.title:
        whole["title"] = one_line(record.title)
    whole["chapters"] = chapters
    return json.dumps(whole, ensure_ascii=False, indent=2) + "\n"
