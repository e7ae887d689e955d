"""``repslate analyze --plan``: a class held against its run sheet, among the findings and in ``plan.csv``."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from pipeline.model import InputError

if TYPE_CHECKING:
    from pipeline.model import Record
    from pipeline.plan import Plan

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


def hold_against(plan: Plan, record: Record, lexicon: Path | None) -> tuple[Record, str]:
    """Return the record with a finding for each difference from the run sheet, and the text of plan.csv."""
    from lexicon import load
    from pipeline.plan import add_findings, compare, differences_csv

    differences = compare(plan, record, load(lexicon))
    return add_findings(record, differences), differences_csv(differences)


def plan_text(record: Record) -> str:
    """Return how a class held against its run sheet came out, as a line for a terminal."""
    from pipeline.plan import DIFFERENCE_KINDS
    from pipeline.publish.report_words import count_text

    many = sum(finding.kind in DIFFERENCE_KINDS for finding in record.findings)
    return f"  against the run sheet: {count_text(many, 'difference') if many else 'no difference'}\n"
