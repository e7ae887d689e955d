"""chapters.csv: the chapters as a table, a row a chapter.

Times are in seconds and as timecode at the ``rate`` asked for. The other columns are the fields of
``chapter_titles``, so that a spreadsheet can word titles of its own. A chapter has the level that it is of.
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.chapter_titles import FIELDS
from pipeline.publish.csv_file import csv_file
from pipeline.publish.timeline_rates import DEFAULT_RATE, read_rate

_FACTS = tuple(name for name in FIELDS if name != "number")
COLUMNS = ("number", "start", "end", "start_timecode", "end_timecode", "level", "title", *_FACTS)


def write(record: Record, grain: str = "exercise", template: str | None = None, rate: str = DEFAULT_RATE) -> str:
    """Return the text of chapters.csv."""
    return csv_file(COLUMNS, _rows(record, grain, template, rate))


def _rows(record: Record, grain: str, template: str | None, rate: str) -> Iterator[list[str]]:
    clock = read_rate(rate)
    for number, one in enumerate(listed_chapters(record, grain, template), 1):
        times = (one.start, one.end)
        row = [str(number), *(f"{time:.3f}" for time in times)]
        row += [clock.timecode(clock.frame_at(time)) for time in times]
        row += [one.level, one.title, *(one.facts.get(name, "") for name in _FACTS)]
        yield row
