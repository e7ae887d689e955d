"""``repslate analyze --plan`` as a shell runs it."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest

from pipeline.plan import DIFFERENCE_KINDS
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


def read_findings(path: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(path.read_text("utf-8"))["findings"]
    return found


def test_the_differences_stand_beside_the_other_files(folder: Path) -> None:
    done = run("analyze", folder / "d01.vtt", "-o", folder / "out", "--plan", folder / "plan.yaml")
    assert done.returncode == 0, done.stderr
    with (folder / "out" / "d01" / "plan.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kinds = {row["kind"] for row in rows}
    assert kinds == {"left-out", "added"}
    assert "a dance that nobody has heard of was planned and not done." in done.stdout.decode()
    assert f"against the run sheet: {len(rows)} differences" in done.stdout.decode()


def test_the_differences_are_findings_that_a_reader_sees_with_the_others(folder: Path) -> None:
    assert run("analyze", folder / "d01.vtt", "-o", folder / "plain", "--quiet").returncode == 0
    words = ("-o", folder / "held", "--plan", folder / "plan.yaml", "--quiet")
    assert run("analyze", folder / "d01.vtt", *words).returncode == 0
    plain, held = (read_findings(folder / name / "d01" / "record.json") for name in ("plain", "held"))
    assert [one for one in held if one["kind"] not in DIFFERENCE_KINDS] == plain
    assert {one["kind"] for one in held if one not in plain} == {"left-out", "added"}
    assert [one["time"] for one in held] == sorted(one["time"] for one in held)
    page = (folder / "held" / "d01" / "report.html").read_text("utf-8")
    assert all(one["message"] in page for one in held if '"' not in one["message"])


def test_a_class_done_as_planned_says_so_and_has_no_further_finding(folder: Path) -> None:
    record = json.loads((folder / "plain" / "d01" / "record.json").read_text("utf-8"))
    turns = [one["exercise_name"] for one in record["chapters"] if one["kind"] == "exercise"]
    sheet = folder / "as-done.yaml"
    sheet.write_text(json.dumps({"blocks": [{"exercises": [{"exercise": turn} for turn in turns]}]}), "utf-8")
    done = run("analyze", folder / "d01.vtt", "-o", folder / "as-done", "--plan", sheet)
    assert "against the run sheet: no difference" in done.stdout.decode()
    assert read_findings(folder / "as-done" / "d01" / "record.json") == record["findings"]


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
