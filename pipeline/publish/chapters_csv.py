"""chapters.csv: the chapters as a table, a row a chapter, as RFC 4180 has it, in UTF-8.

Times are in seconds and as timecode at the ``rate`` asked for. The other columns are the fields of
``chapter_titles``, so that a spreadsheet can word titles of its own. A chapter has the level that it is of.
"""

from __future__ import annotations

import csv
import io

from pipeline.model import Record
from pipeline.publish.chapter_list import listed_chapters
from pipeline.publish.chapter_titles import FIELDS
from pipeline.publish.timeline_rates import DEFAULT_RATE, read_rate

_FACTS = tuple(name for name in FIELDS if name != "number")
COLUMNS = ("number", "start", "end", "start_timecode", "end_timecode", "level", "title", *_FACTS)


def write(record: Record, grain: str = "exercise", template: str | None = None, rate: str = DEFAULT_RATE) -> str:
    """Return the text of chapters.csv."""
    clock = read_rate(rate)
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(COLUMNS)
    for number, one in enumerate(listed_chapters(record, grain, template), 1):
        times = (one.start, one.end)
        row = [str(number), *(f"{time:.3f}" for time in times)]
        row += [clock.timecode(clock.frame_at(time)) for time in times]
        row += [one.level, one.title, *(one.facts.get(name, "") for name in _FACTS)]
        table.writerow([_plain(cell) for cell in row])
    return out.getvalue()


def _plain(text: str) -> str:
    """Return text that no spreadsheet runs as a formula or takes for a date, as ``3-1-1`` would be.

    OWASP, "CSV Injection": a cell that starts with =, +, -, @, tab or CR is at risk.
    """
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
