"""audit.csv: the rep audit as a table, a row a set.

Times are seconds. An empty field means "not said and cannot be told". ``findings`` holds the kinds of what
does not add up, with "; " between them.
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.model import Record
from pipeline.publish.csv_file import csv_file
from pipeline.publish.set_measures import called_reps, findings_of, seconds_a_rep, tempo_text

COLUMNS = (
    "set",
    "chapter",
    "exercise",
    "side",
    "range",
    "round",
    "unit",
    "start",
    "end",
    "target",
    "performed",
    "called_reps",
    "seconds_a_rep",
    "tempo",
    "findings",
    "confidence",
)


def write(record: Record) -> str:
    """Return the text of audit.csv; sets are numbered from 1 in the record's order, as in report.html."""
    return csv_file(COLUMNS, _rows(record))


def _rows(record: Record) -> Iterator[tuple[object, ...]]:
    for index, one in enumerate(record.sets):
        pace = seconds_a_rep(one)
        yield (
            index + 1,
            record.chapters[one.chapter].title,
            one.exercise_name,
            one.side,
            one.range,
            one.round,
            one.unit,
            f"{one.start:.3f}",
            f"{one.end:.3f}",
            one.target,
            one.performed,
            called_reps(one) if one.unit == "reps" else None,
            None if pace is None else f"{pace:.2f}",
            one.tempo and f"{tempo_text(one.tempo)} s",  # bare, "1-3" would be a date to a spreadsheet
            "; ".join(finding.kind for finding in findings_of(record, index)),
            f"{one.confidence:.2f}",
        )
