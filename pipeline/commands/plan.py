"""``repslate analyze --plan``: a class held against its run sheet, in ``plan.csv`` and on the terminal."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.commands.records import write_file
from pipeline.model import InputError

if TYPE_CHECKING:
    from pipeline.model import Record
    from pipeline.plan import Difference, Plan

FILE = "plan.csv"


def read_plan(path: Path | None, inputs: Sequence[str]) -> Plan | None:
    """Return the run sheet where one is given; it is of one class."""
    from pipeline.plan import read_plan as read

    if path is None:
        return None
    if len(inputs) > 1:
        problem = f"is a run sheet of one class, and {len(inputs)} are given"
        raise InputError(str(path), None, problem, "analyse them one at a time, each with its own sheet")
    return read(path)


def hold_against(plan: Plan, record: Record, folder: Path, lexicon: Path | None) -> tuple[tuple[Difference, ...], Path]:
    """Return how a class differs from its run sheet, and the path of the file that says so."""
    from lexicon import load
    from pipeline.plan import compare, differences_csv

    differences = compare(plan, record, load(lexicon))
    path = folder / FILE
    write_file(differences_csv(differences).encode("utf-8", "replace"), path)
    return differences, path


def differences_text(differences: Sequence[Difference], path: Path) -> str:
    """Return the differences as lines for a terminal."""
    from pipeline.publish.clock import clock
    from pipeline.publish.report_words import count_text

    many = count_text(len(differences), "difference") if differences else "no difference"
    lines = [f"  against the run sheet: {many}, in {path}"]
    lines += [f"    {number}. {clock(one.time)} {one.message}" for number, one in enumerate(differences, 1)]
    return "\n".join(lines) + "\n"
