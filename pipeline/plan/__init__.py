"""What was planned against what was done: a run sheet is read, checked and held against a record.

``README.md`` here describes the sheet. ``read_plan`` reads one, ``compare`` finds how a class differs from it
and ``differences_csv`` writes that down.
"""

from pipeline.plan.compare import Difference, compare, differences_csv
from pipeline.plan.sheet import Plan, PlannedBlock, PlannedExercise, read_plan

__all__ = [
    "Difference",
    "Plan",
    "PlannedBlock",
    "PlannedExercise",
    "compare",
    "differences_csv",
    "read_plan",
]
