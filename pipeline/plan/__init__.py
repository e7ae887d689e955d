"""What was planned against what was done: a run sheet is read, checked and held against a record.

``README.md`` here describes the sheet. ``read_plan`` reads one, ``compare`` finds how a class differs from it,
``add_findings`` puts that among the record's findings and ``differences_csv`` writes it down by itself.
"""

from pipeline.plan.compare import DIFFERENCE_KINDS, Difference, compare, differences_csv
from pipeline.plan.findings import add_findings
from pipeline.plan.sheet import Plan, PlannedBlock, PlannedExercise, read_plan

__all__ = [
    "DIFFERENCE_KINDS",
    "Difference",
    "Plan",
    "PlannedBlock",
    "PlannedExercise",
    "add_findings",
    "compare",
    "differences_csv",
    "read_plan",
]
