"""``repslate analyze --plan`` as a shell runs it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tests.bench.compile import parse, write
from tests.cli.running import run
from tests.publish.example import CLASSES

SHEET = """
blocks:
  - exercises:
      - exercise: a dance that nobody has heard of
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("class")
    write(parse(CLASSES / "d01.class.txt"), made)
    (made / "plan.yaml").write_text(SHEET, "utf-8")
    return made


def test_the_differences_stand_beside_the_other_files(folder: Path) -> None:
    done = run("analyze", folder / "d01.vtt", "-o", folder / "out", "--plan", folder / "plan.yaml")
    assert done.returncode == 0, done.stderr
    with (folder / "out" / "d01" / "plan.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kinds = {row["kind"] for row in rows}
    assert kinds == {"left-out", "added"}
    assert "a dance that nobody has heard of was planned and not done." in done.stdout.decode()


def test_a_difference_counts_where_strictness_is_asked_for(folder: Path) -> None:
    words = ("-o", folder / "strict", "--plan", folder / "plan.yaml", "--strict", "--quiet")
    assert run("analyze", folder / "d01.vtt", *words).returncode == 1


def test_a_wrong_sheet_stops_before_anything_is_written(folder: Path) -> None:
    wrong = folder / "wrong.yaml"
    wrong.write_text("blocks:\n  - rounds: few\n    exercises: [{exercise: squat}]\n", "utf-8")
    done = run("analyze", folder / "d01.vtt", "-o", folder / "wrong", "--plan", wrong)
    assert done.returncode == 2
    assert "wrong.yaml, line 2: rounds is 'few'" in done.stderr.decode()
    assert not (folder / "wrong").exists()


def test_one_sheet_is_of_one_class(folder: Path) -> None:
    done = run("analyze", folder / "d01.vtt", folder / "d01.srt", "--plan", folder / "plan.yaml")
    assert done.returncode == 2
    assert "is a run sheet of one class" in done.stderr.decode()
