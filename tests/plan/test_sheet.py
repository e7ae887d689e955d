"""A run sheet is read as it is documented, and what is wrong with one is told with its line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import pipeline.plan
from pipeline.model import InputError
from pipeline.plan import Plan, PlannedBlock, PlannedExercise, read_plan

README = Path(pipeline.plan.__file__).with_name("README.md")


def sheet(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "plan.yaml"
    path.write_text(text, "utf-8")
    return path


def test_the_sheet_of_the_guide_is_read_whole(tmp_path: Path) -> None:
    example = re.search(r"```yaml\n(.*?)```", README.read_text("utf-8"), re.S)
    assert example is not None
    plan = read_plan(sheet(tmp_path, example[1]))
    halo = PlannedExercise("kettlebell halo", 5, None, 5, "reps", None, "both")
    swing = PlannedExercise("kettlebell swing", 11, None, 30, "seconds")
    squat = PlannedExercise("goblet squat", 13, None, 10, "reps", (3.0, 1.0, 1.0))
    plank = PlannedExercise("plank", 16, None, 30, "seconds")
    blocks = (PlannedBlock((halo,), "Warm-up"), PlannedBlock((swing, squat, plank), "Circuit", 3))
    assert plan == Plan(blocks, "Thirty minutes, one bell")


SQUAT = "blocks:\n  - exercises:\n      - exercise: squat\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is empty"),
        ("- squat\n", "line 1: the sheet is not written as keys and values; known keys: title, blocks"),
        ("title: x\n", "the sheet has no 'blocks:'"),
        ("blocks: []\n", "line 1: 'blocks:' has no list below it"),
        ("blocks:\n  - name: x\n", "line 2: a block has no 'exercises:'"),
        ("blocks:\n  - exercises:\n      - reps: 3\n", "line 3: an exercise has no 'exercise:'"),
        (SQUAT + "        reps: twelve\n", "line 4: reps is 'twelve', .*; a whole number from 1 to 1000"),
        (SQUAT + "        reps: 0\n", "line 4: reps is '0'"),
        (
            SQUAT + "        reps: 3\n        seconds: 3\n",
            "line 5: squat has reps and seconds; one of the two",
        ),
        (SQUAT + "        tempo: slow\n", "line 4: tempo is 'slow'; seconds with hyphens"),
        (SQUAT + "        sides: each\n", "line 4: sides is 'each'; both, left or right"),
        (SQUAT + "        load: 12\n", "line 4: an exercise has a key 'load'"),
        (SQUAT + "        reps: 3\n        reps: 4\n", "line 5: an exercise has 'reps' twice"),
        ("blocks:\n  - exercises: [\n", "is not YAML"),
        ('title: "\\UFFFFFFFF"\n', "cannot be read"),
        ("title: " + "[" * 5000 + "\n", "is nested too deep"),
    ],
)
def test_what_is_wrong_with_a_sheet_is_told_with_its_line(tmp_path: Path, text: str, told: str) -> None:
    with pytest.raises(InputError, match=told.replace(", .*", ".*")) as error:
        read_plan(sheet(tmp_path, text))
    assert "\n" not in str(error.value)


def test_a_missing_sheet_and_one_that_is_no_text_are_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_plan(tmp_path / "none.yaml")
    (tmp_path / "plan.yaml").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="is not UTF-8 text"):
        read_plan(tmp_path / "plan.yaml")
