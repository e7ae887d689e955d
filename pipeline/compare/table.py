"""A comparison as a table to read and as CSV."""

from __future__ import annotations

import csv
import io
from itertools import groupby

from pipeline.compare.verdicts import Comparison, Verdict
from pipeline.publish.clock import timestamp

COLUMNS = ("time", "verdict", "shown", "due", "off", "set", "place", "note")


def table(comparison: Comparison) -> str:
    """Return what does not agree, a line a number, and how many numbers have each verdict.

    A wrong exercise beside the counts of a whole set is one line.
    """
    lines = []
    if sentence := comparison.shift.sentence():
        lines.append(sentence)
    rows = [("time", "verdict", "shown", "due", "off by", "note")]
    for (kind, _, note), group in groupby(comparison.faults, key=_topic):
        faults = list(group)
        if kind == "wrong exercise" and len(faults) > 1:
            first, last = faults[0], faults[-1]
            until = f"{len(faults)} counts until {timestamp(last.time)}; {note}"
            rows.append((timestamp(first.time), kind, first.shown, first.due, "", until))
        else:
            rows += [_row(one) for one in faults]
    if len(rows) > 1:
        widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
        lines += ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]
    total = len(comparison.verdicts)
    counts = ", ".join(f"{number} {kind}" for kind, number in comparison.counts().items())
    lines.append(f"{comparison.kind} with {total} numbers: {counts}")
    return "\n".join(lines) + "\n"


def _topic(one: Verdict) -> tuple[str, int | None, str]:
    return one.kind, one.set, one.note


def table_csv(comparison: Comparison) -> str:
    """Return every verdict as CSV (RFC 4180), times and ``off`` in seconds, sets and places from 1.

    A shift of the whole file is the first row, its verdict "shifted".
    """
    out = io.StringIO()
    rows = csv.writer(out)
    rows.writerow(COLUMNS)
    if not comparison.shift.is_none:
        offset = f"{comparison.shift.offset:.3f}"
        rows.writerow(("", "shifted", "", "", offset, "", "", comparison.shift.sentence()))
    for one in comparison.verdicts:
        rows.writerow(
            (
                f"{one.time:.3f}",
                one.kind,
                one.shown,
                one.due,
                "" if one.off is None else f"{one.off:.3f}",
                "" if one.set is None else one.set + 1,
                "" if one.place is None else one.place,
                one.note,
            )
        )
    return out.getvalue()


def _row(one: Verdict) -> tuple[str, str, str, str, str, str]:
    off = f"{one.off:+.2f} s" if one.off is not None and one.kind in ("early", "late") else ""
    return (timestamp(one.time), one.kind, one.shown or "-", one.due or "-", off, one.note)
