"""audit.csv: the rep audit, a row a set, as RFC 4180 has it (commas, CR LF, quotes where needed), in UTF-8.

Times are seconds. An empty field means "not said and cannot be told". ``findings`` holds the kinds of what
does not add up, with "; " between them.
"""

from __future__ import annotations

import csv
import io

from pipeline.model import Record
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
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(COLUMNS)
    for index, one in enumerate(record.sets):
        pace = seconds_a_rep(one)
        table.writerow(
            (
                index + 1,
                _plain(record.chapters[one.chapter].title),
                _plain(one.exercise_name),
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
        )
    return out.getvalue()


def _plain(text: str) -> str:
    """Return text that no spreadsheet runs as a formula: what starts like one gets a ``'`` before it.

    OWASP, "CSV Injection": a cell that starts with =, +, -, @, tab or CR is at risk.
    """
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text
