"""The benchmark's figures as tables on the screen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from tests.bench.corpus import bench_module

#: The annotated classes that figures are compared on, and those that were added to them later.
FIRST, FURTHER, ALL = "d-classes", "further", "ALL"
COLUMN = 14


def group_of(name: str) -> str:
    """Return which group of classes a class belongs to, by its id."""
    return FIRST if name.startswith("d") else FURTHER


def summarise(tallies: Mapping[str, Counter[str]]) -> dict[str, dict[str, Any]]:
    """Return the scorer's figures for each class, for each group of classes and for all, in that order."""
    figures = bench_module("score").figures
    rows = {name: figures(tally) for name, tally in tallies.items()}
    for group in (FIRST, FURTHER):
        members = [tally for name, tally in tallies.items() if group_of(name) == group]
        if members and len(members) < len(tallies):
            rows[group] = figures(sum(members, Counter()))
    rows[ALL] = figures(sum(tallies.values(), Counter()))
    return rows


def table(title: str, rows: Mapping[str, Mapping[str, Any]]) -> str:
    """Return rows of figures under their names, one line a row."""
    columns = list(dict.fromkeys(column for row in rows.values() for column in row))
    first = max(len(name) for name in [title, *rows]) + 2
    lines = [title.ljust(first) + _line(columns)]
    lines += [name.ljust(first) + _line(_cell(row.get(column)) for column in columns) for name, row in rows.items()]
    return "\n".join(lines)


def _line(cells: Iterable[str]) -> str:
    return " ".join(cell.rjust(COLUMN) for cell in cells)


def _cell(value: Any) -> str:
    if value is None:
        return ""
    return f"{value:.3f}" if isinstance(value, float) else str(value)
