"""What counters show in the many ways that people write them, and what is told of each."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.compare import compare
from pipeline.compare.counts import Count, read_count
from pipeline.compare.table import table, table_csv
from pipeline.model import InputError, Record, Rep
from pipeline.publish import export
from tests.compare.onscreen_files import FORMS, rows_of
from tests.publish.example import example_record
from tests.publish.test_counter import class_with, work


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("7 / 12", Count(n=7, target=12)),
        ("7/12", Count(n=7, target=12)),
        ("Rep 7 of 12", Count(n=7, target=12, words="Rep")),
        ("Round 2 · Goblet squat · 7 / 12", Count(n=7, target=12, words="Goblet squat")),
        ("5 left", Count(left=5)),
        ("5 to go!", Count(left=5)),
        ("18 s left", Count(left=18)),
        ("7 left leg lifts", Count(plain=7, words="left leg lifts")),
        ("12 / 30 s", Count(n=12, target=30)),
        ("0:45", Count(plain=45)),
        ("12 reps", Count(plain=12)),
        ("7", Count(plain=7)),
        ("Round 3", None),
        ("Goblet squat", None),
    ],
)
def test_a_count_is_read_as_people_write_it(text: str, count: Count | None) -> None:
    assert read_count(text) == count


def rows(record: Record, texts: list[str], folder: Path, exercise: str = "") -> list[str]:
    """Return the verdicts on a counter that shows texts at 10 s, 12 s, 14 s …"""
    path = folder / "counter.csv"
    lines = [f"{10 + 2 * i},{text},{exercise}" for i, text in enumerate(texts)]
    path.write_text("time,text,exercise\n" + "\n".join(lines), "utf-8")
    return [one.kind for one in compare(record, path).verdicts]


def three_rows(spread: float = 0.0) -> Record:
    reps = tuple(Rep(n, 8.0 + 2 * n, not spread, spread) for n in (1, 2, 3))
    return class_with(work(8, 16, target=4, performed=3, exercise="row", exercise_name="dumbbell row", reps=reps))


def test_counting_up_or_down_is_both_right(tmp_path: Path) -> None:
    assert rows(three_rows(), ["1 / 4", "2 / 4", "3 / 4"], tmp_path) == ["agrees"] * 3
    assert rows(three_rows(), ["3 left", "2 left", "1 left"], tmp_path) == ["agrees"] * 3
    assert rows(three_rows(), ["1", "2", "3"], tmp_path) == ["agrees"] * 3


def test_a_plain_number_counts_the_way_its_neighbours_do(tmp_path: Path) -> None:
    """Of seven reps, "4" after the third is what is left, but this counter counts up."""
    reps = tuple(Rep(n, 8.0 + 2 * n, True) for n in range(1, 8))
    record = class_with(work(8, 24, performed=7, exercise="row", exercise_name="row", reps=reps))
    assert rows(record, list("1244567"), tmp_path) == ["agrees"] * 2 + ["wrong number"] + ["agrees"] * 4
    assert rows(record, list("6543210"), tmp_path) == ["agrees"] * 7


def test_the_wrong_target_is_a_wrong_number(tmp_path: Path) -> None:
    assert rows(three_rows(), ["1 / 4", "2 / 5", "3 / 4"], tmp_path) == ["agrees", "wrong number", "agrees"]


@pytest.mark.parametrize("name", ["dumbbell row", "Row", "Dumbbell rows", "dumbbell row (left side)"])
def test_a_short_form_of_the_exercise_will_do(name: str, tmp_path: Path) -> None:
    assert rows(three_rows(), ["1 / 4"], tmp_path, name)[0] == "agrees"


def test_another_exercise_is_wrong(tmp_path: Path) -> None:
    assert rows(three_rows(), ["1 / 4", "2 / 4", "3 / 4"], tmp_path, "goblet squat") == ["wrong exercise"] * 3


def test_a_name_that_nobody_knows_is_wrong_only_beside_one_of_the_class(tmp_path: Path) -> None:
    unknown = work(8, 12, exercise=None, exercise_name="little twist", reps=(Rep(1, 10.0, True),))
    other = work(30, 34, exercise="squat", exercise_name="goblet squat", reps=(Rep(1, 32.0, True),))
    record = class_with(unknown, other)
    assert rows(record, ["1"], tmp_path, "seated rotation")[0] == "agrees"
    assert rows(record, ["1"], tmp_path, "goblet squat")[0] == "wrong exercise"


def test_a_set_that_nobody_counted_is_not_judged(tmp_path: Path) -> None:
    record = class_with(work(8, 15, exercise="row", target=4), work(30, 34, reps=(Rep(1, 32.0, True),)))
    path = tmp_path / "counter.csv"
    path.write_text("time,text\n10,1 / 4\n12,2 / 4\n25,9 / 4\n32,1\n", "utf-8")
    assert [(one.time, one.kind) for one in compare(record, path).verdicts] == [(25, "extra"), (32, "agrees")]


def test_the_other_side_is_wrong(tmp_path: Path) -> None:
    record = class_with(work(8, 12, exercise="row", exercise_name="row", side="left", reps=(Rep(1, 10.0, True),)))
    assert rows(record, ["1"], tmp_path, "row right") == ["wrong exercise"]
    assert rows(record, ["1"], tmp_path, "row left") == ["agrees"]


def test_a_side_that_is_part_of_the_name_is_no_side(tmp_path: Path) -> None:
    one = work(8, 12, exercise="x", exercise_name="left-leg lift", side="right", reps=(Rep(1, 10.0, True),))
    assert rows(class_with(one), ["1"], tmp_path, "Left-leg lift") == ["agrees"]


def test_over_half_a_second_is_late_unless_the_clock_knows_no_better(tmp_path: Path) -> None:
    path = tmp_path / "counter.csv"
    path.write_text("time,text\n10.9,1 / 4\n12,2 / 4\n14,3 / 4\n", "utf-8")
    assert [one.kind for one in compare(three_rows(), path).verdicts] == ["late", "agrees", "agrees"]
    assert [one.kind for one in compare(three_rows(spread=0.7), path).verdicts] == ["late", "agrees", "agrees"]
    told = compare(three_rows(spread=1.0), path)
    assert [one.kind for one in told.verdicts] == ["within spread", "agrees", "agrees"]
    assert told.verdicts[0].note == "a rep placed by the clock, known to 1.0 s"
    assert told.agrees
    assert table(told) == "counter with 3 numbers: 1 within spread, 2 agrees\n"
    assert table_csv(told).splitlines()[1].startswith("10.900,within spread,1 / 4,1 / 4,0.900,1,1,")


@pytest.mark.parametrize(("off", "verdict"), [(0.5, "agrees"), (0.52, "late"), (-0.5, "agrees"), (-0.52, "early")])
def test_half_a_second_is_the_limit(off: float, verdict: str, tmp_path: Path) -> None:
    path = tmp_path / "counter.csv"
    path.write_text(f"time,text\n10,1 / 4\n{12 + off},2 / 4\n14,3 / 4\n", "utf-8")
    assert [one.kind for one in compare(three_rows(), path).verdicts] == ["agrees", verdict, "agrees"]


def test_a_transcript_with_a_time_every_twenty_seconds_knows_no_seconds(tmp_path: Path) -> None:
    record = replace(three_rows(), source=replace(three_rows().source, timing="coarse"))
    path = tmp_path / "counter.csv"
    path.write_text("time,text\n11.9,1 / 4\n12,2 / 4\n19,3 / 4\n", "utf-8")
    told = compare(record, path)
    assert [one.kind for one in told.verdicts] == ["within spread", "agrees", "late"]
    assert told.verdicts[0].note == "a coarse transcript, known to 3.0 s"


def sets_of_two(starts: list[float]) -> Record:
    return class_with(
        *(
            work(start, start + 8, target=2, performed=2, exercise="row", exercise_name="row",
                 reps=(Rep(1, start + 3, True), Rep(2, start + 6, True)))
            for start in starts
        )
    )  # fmt: skip


def counter_of(record: Record, folder: Path, without: set[float]) -> Path:
    path = folder / "counter.csv"
    rows = [f"{row.start},{row.text}" for row in rows_of(record, zeros=True) if row.start not in without]
    path.write_text("time,text\n" + "\n".join(rows), "utf-8")
    return path


def test_a_zero_is_missed_only_in_a_counter_that_shows_them(tmp_path: Path) -> None:
    record = sets_of_two([10, 30, 50])
    (fault,) = compare(record, counter_of(record, tmp_path, {30})).faults
    assert (fault.kind, fault.time, fault.due) == ("missing", 30, "0 / 2")
    assert compare(record, counter_of(record, tmp_path, {10, 30, 50})).agrees


def test_a_zero_may_come_early_but_not_late(tmp_path: Path) -> None:
    record = sets_of_two([10, 30, 50])
    path = counter_of(record, tmp_path, set())
    text = path.read_text("utf-8")
    path.write_text(text.replace("30,0", "28,0"), "utf-8")
    assert compare(record, path).agrees
    path.write_text(text.replace("30,0", "31.5,0"), "utf-8")
    assert [one.kind for one in compare(record, path).faults] == ["late"]


def test_a_count_that_passes_its_neighbour_is_early_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "counter.csv"
    path.write_text("time,text\n8.1,2 / 4\n10,1 / 4\n14,3 / 4\n", "utf-8")
    told = compare(three_rows(), path)
    assert [(one.kind, one.shown, one.off) for one in told.faults] == [("early", "2 / 4", -3.9)]


def test_a_set_without_any_count_is_one_line(tmp_path: Path) -> None:
    record = sets_of_two([10, 30, 50])
    told = table(compare(record, counter_of(record, tmp_path, {30, 33, 36})))
    assert told.splitlines()[1] == "00:00:30.000  missing  -      0 / 2          3 counts until 00:00:36.000"


@pytest.mark.parametrize("name", ["d01", "d02", "d06", "d10", "f02"])
@pytest.mark.parametrize(
    "form",
    ["counter.vtt", "counter.csv", "counter-16x9.ass", "counter-9x16.ass", "captions.vtt", "captions.srt"],
)
def test_the_files_of_a_class_agree_with_it(name: str, form: str, tmp_path: Path) -> None:
    path = tmp_path / form
    path.write_text(export(example_record(name), form), "utf-8", newline="")
    told = compare(example_record(name), path)
    assert told.kind == re.split(r"[.-]", form)[0]
    assert told.agrees, table(told)


@pytest.mark.parametrize("form", sorted(FORMS))
def test_each_form_is_told_by_its_content(form: str, tmp_path: Path) -> None:
    record = example_record("d01")
    path = tmp_path / "counter.txt"
    path.write_text(FORMS[form](rows_of(record)), "utf-8", newline="")
    assert compare(record, path).agrees


def test_the_table_says_each_fault_on_a_line(tmp_path: Path) -> None:
    path = tmp_path / "counter.csv"
    path.write_text("time,text\n10,1 / 4\n12,7 / 4\n15,3 / 4\n", "utf-8")
    told = compare(three_rows(), path)
    assert table(told).splitlines() == [
        "time          verdict       shown  due    off by   note",
        "00:00:12.000  wrong number  7 / 4  2 / 4",
        "00:00:15.000  late          3 / 4  3 / 4  +1.00 s",
        "counter with 3 numbers: 1 agrees, 1 wrong number, 1 late",
    ]
    assert table_csv(told).splitlines()[2] == "12.000,wrong number,7 / 4,2 / 4,0.000,1,2,"


def test_what_one_cause_may_have_is_one_line(tmp_path: Path) -> None:
    reps = tuple(Rep(n, 8.0 + 2 * n, True) for n in range(1, 9))
    one = work(8, 26, exercise="row", exercise_name="row", performed=8, confidence=0.4, reps=reps)
    path = tmp_path / "counter.csv"
    lines = [f"{8 + 2 * n + (0.9 if n > 4 else 0)},{n}" for n in range(1, 9)]
    path.write_text("time,text\n" + "\n".join(lines), "utf-8")
    assert table(compare(class_with(one), path)).splitlines()[1:] == [
        "00:00:18.900  late     5      5    +0.90 s  4 counts until 00:00:24.900; the record is unsure of this set",
        "counter with 8 numbers: 4 agrees, 4 late",
    ]


@pytest.mark.parametrize(
    ("content", "problem"),
    [
        (b"", "has no times and texts in a form known here"),
        (b"hello there", "has no times and texts in a form known here"),
        (b"time,text\nsoon,1 / 4\n", r"line 2: has no time in 'soon'"),
        (b"time,text\n", "shows nothing"),
        (b"time,text\n1,hello\n", "holds no number that could be checked"),
        (b"\xff\xfe", "line 1: is not UTF-8 text"),
        (b"WEBVTT\n\n", "shows nothing"),
    ],
)
def test_what_cannot_be_used_is_told_in_one_line(content: bytes, problem: str, tmp_path: Path) -> None:
    path = tmp_path / "counter.txt"
    path.write_bytes(content)
    with pytest.raises(InputError, match=problem) as caught:
        compare(three_rows(), path)
    assert "\n" not in str(caught.value)


def test_a_file_that_is_not_there_is_told_in_one_line(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        compare(three_rows(), tmp_path / "nothing.vtt")
