"""counter.csv: the counter as a table for whoever makes graphics, a row a count.

Times are seconds. ``text`` is the count as the picture shows it; an empty field means "not said and cannot be
told". ``findings`` holds the kinds of what does not add up, with "; " between them.
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.model import Record
from pipeline.publish.counter import counter_states
from pipeline.publish.csv_file import csv_file
from pipeline.publish.webvtt_file import one_line

COLUMNS = (
    "start",
    "end",
    "set",
    "exercise",
    "side",
    "range",
    "round",
    "unit",
    "n",
    "target",
    "left",
    "text",
    "called",
    "findings",
)


def write(record: Record) -> str:
    """Return the text of counter.csv; sets are numbered from 1, as in audit.csv and the report."""
    return csv_file(COLUMNS, _rows(record))


def _rows(record: Record) -> Iterator[tuple[object, ...]]:
    for one in counter_states(record):
        yield (
            f"{one.start:.3f}",
            f"{one.end:.3f}",
            one.set + 1,
            one_line(one.work.exercise_name),
            one.work.side,
            one.work.range,
            one.work.round,
            one.work.unit,
            one.n,
            one.target,
            one.left,
            one.text,
            "yes" if one.called else "no",
            "; ".join(one.findings),
        )
