"""A comparison as a table to read and as CSV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.compare.verdicts import Comparison, Verdict
from pipeline.publish.clock import timestamp
from pipeline.publish.csv_file import csv_file

SAME_OFF = 0.25
"""Seconds within which counts of a set are off alike: half of what is told at all."""

COLUMNS = ("time", "verdict", "shown", "due", "off", "set", "place", "note")


def table(comparison: Comparison) -> str:
    """Return what does not agree, a line a number, and how many numbers have each verdict.

    What is wrong alike with the counts of a set that follow each other is one line: all missing or too many, the
    same wrong exercise, or as early or late.
    """
    lines = []
    if sentence := comparison.shift.sentence():
        lines.append(sentence)
    rows = [("time", "verdict", "shown", "due", "off by", "note")]
    for group in _alike(comparison.faults):
        first, last = _row(group[0]), group[-1]
        if len(group) > 1:
            until = f"{len(group)} counts until {timestamp(last.time)}"
            first = (*first[:-1], f"{until}; {first[-1]}" if first[-1] else until)
        rows.append(first)
    if len(rows) > 1:
        widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
        lines += ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]
    total = len(comparison.verdicts)
    counts = ", ".join(f"{number} {kind}" for kind, number in comparison.counts().items())
    lines.append(f"{comparison.kind} with {total} numbers: {counts}")
    return "\n".join(lines) + "\n"


def _alike(faults: Sequence[Verdict]) -> Iterator[list[Verdict]]:
    """Yield the faults in order, those that one cause may have together."""
    group: list[Verdict] = []
    for one in faults:
        if group and not _have_one_cause(group[0], one):
            yield group
            group = []
        group.append(one)
    if group:
        yield group


def _have_one_cause(first: Verdict, one: Verdict) -> bool:
    if (first.kind, first.set) != (one.kind, one.set):
        return False
    if one.kind == "wrong exercise":
        return first.note == one.note
    if one.kind in ("early", "late"):
        return abs((first.off or 0) - (one.off or 0)) <= SAME_OFF
    return one.kind in ("missing", "extra") and one.set is not None


def table_csv(comparison: Comparison) -> str:
    """Return every verdict as CSV, times and ``off`` in seconds, sets and places from 1.

    A shift of the whole file is the first row, its verdict "shifted".
    """
    return csv_file(COLUMNS, _csv_rows(comparison))


def _csv_rows(comparison: Comparison) -> Iterator[tuple[object, ...]]:
    if not comparison.shift.is_none:
        offset = f"{comparison.shift.offset:.3f}"
        yield (None, "shifted", None, None, offset, None, None, comparison.shift.sentence())
    for one in comparison.verdicts:
        yield (
            f"{one.time:.3f}",
            one.kind,
            one.shown,
            one.due,
            None if one.off is None else f"{one.off:.3f}",
            None if one.set is None else one.set + 1,
            one.place,
            one.note,
        )


def _row(one: Verdict) -> tuple[str, str, str, str, str, str]:
    off = f"{one.off:+.2f} s" if one.off is not None and one.kind in ("early", "late") else ""
    return (timestamp(one.time), one.kind, one.shown or "-", one.due or "-", off, one.note)
