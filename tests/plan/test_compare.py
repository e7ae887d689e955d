"""What was planned against what was done."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from lexicon import load
from pipeline.model import Chapter, Record, Source, Unit, WorkSet
from pipeline.plan import Difference, Plan, PlannedBlock, PlannedExercise, compare, differences_csv
from tests.publish.example import example_record
from tests.publish.records import ANALYSED, SAMPLE_NAMES, record_of


def planned(name: str, reps: int | None = 10, **more: object) -> PlannedExercise:
    return replace(PlannedExercise(name, 1, amount=reps, unit="reps" if reps else None), **more)  # type: ignore[arg-type]


def plan(*blocks: PlannedBlock) -> Plan:
    return Plan(blocks)


def block(*exercises: PlannedExercise, rounds: int = 1) -> PlannedBlock:
    return PlannedBlock(exercises, rounds=rounds)


def done(*turns: str | tuple[str, int] | tuple[str, int, Unit], **more: object) -> Record:
    """A class of a minute an exercise, each with a set of ten reps or as many as are given."""
    chapters, sets = [], []
    for i, turn in enumerate(turns):
        name, amount, unit = (*((turn,) if isinstance(turn, str) else turn), 10, "reps")[:3]
        if not isinstance(turn, str) and len(turn) == 2:
            unit = "reps"
        start = 60.0 * i
        chapters.append(Chapter(start, start + 60, "exercise", name, None, name, (), None, 0.9, (0, 0)))
        one = WorkSet(i, None, name, None, None, unit, start + 20, start + 50, None, amount, None, None, 0.9)
        sets.append(replace(one, **more))  # type: ignore[arg-type]
    source = Source("class.vtt", "webvtt", "cue", 60.0 * len(turns))
    return Record(source, None, tuple(chapters), tuple(sets), (), (), (), (), ())


def kinds(differences: tuple[Difference, ...]) -> list[str]:
    return [one.kind for one in differences]


def test_a_class_done_as_planned_has_no_difference() -> None:
    assert compare(plan(block(planned("squat"), planned("row"))), done("squat", "row")) == ()


def test_what_was_planned_and_not_done_was_left_out() -> None:
    (one,) = compare(plan(block(planned("squat"), planned("row"), planned("plank"))), done("squat", "plank"))
    assert (one.kind, one.planned, one.time) == ("left-out", "row", 60.0)


def test_what_was_done_and_not_planned_was_added() -> None:
    (one,) = compare(plan(block(planned("squat"), planned("row"))), done("squat", "burpee", "row"))
    assert (one.kind, one.done, one.time) == ("added", "burpee", 60.0)


def test_what_was_added_in_each_round_is_told_once() -> None:
    sheet = plan(block(planned("squat"), rounds=2))
    assert kinds(compare(sheet, done("squat", "burpee", "squat", "burpee"))) == ["added"]


def test_a_name_said_less_fully_is_no_further_round() -> None:
    found = compare(plan(block(planned("goblet squat"))), done("goblet squat", "squat"))
    assert kinds(found) == ["added"]


def test_another_order_is_neither_left_out_nor_added() -> None:
    sheet = plan(block(planned("squat"), planned("row"), planned("plank")))
    assert kinds(compare(sheet, done("row", "squat", "plank"))) == ["order-changed"]
    (one,) = compare(sheet, done("squat", "plank", "row"))
    assert one.message.endswith(("after plank.", "after squat."))


def test_other_reps_are_told_with_the_set() -> None:
    (one,) = compare(plan(block(planned("squat", 12), planned("row"))), done("squat", "row"))
    assert (one.kind, one.set, one.planned, one.done) == ("reps-differ", 0, "12 reps", "10 reps")


def test_one_rep_is_no_plural() -> None:
    (one,) = compare(plan(block(planned("squat", 3))), done(("squat", 1)))
    assert one.message == "squat: 3 reps planned, 1 rep done."


def test_seconds_in_place_of_reps_are_another_amount() -> None:
    (one,) = compare(plan(block(planned("plank"))), done(("plank", 30, "seconds")))
    assert (one.kind, one.done) == ("reps-differ", "30 seconds")


@pytest.mark.parametrize(("seconds", "told"), [(30, []), (35, []), (40, ["seconds-differ"])])
def test_people_count_seconds_a_little_slowly(seconds: int, told: list[str]) -> None:
    sheet = plan(block(planned("plank", None, amount=30, unit="seconds")))
    assert kinds(compare(sheet, done(("plank", seconds, "seconds")))) == told


def test_what_nobody_could_tell_is_not_compared() -> None:
    sheet = plan(block(planned("squat", 12, tempo=(3.0, 1.0), sides="both")))
    assert compare(sheet, done("squat", performed=None)) == ()


@pytest.mark.parametrize("rounds", [2, 4])
def test_a_round_more_or_less_is_told_of_each_exercise(rounds: int) -> None:
    sheet = plan(block(planned("squat"), planned("row"), rounds=3))
    found = compare(sheet, done(*("squat", "row") * rounds))
    assert kinds(found) == ["rounds-differ"] * 2
    assert {one.done for one in found} == {str(rounds)}


def test_sets_that_follow_each_other_are_counted() -> None:
    sheet = plan(block(planned("squat", sets=3), planned("row")))
    assert compare(sheet, done("squat", "squat", "squat", "row")) == ()
    (one,) = compare(sheet, done("squat", "squat", "row"))
    assert (one.kind, one.planned, one.done) == ("sets-differ", "3 sets", "2")


def test_left_and_right_are_one_set() -> None:
    record = done("lunge")
    left, right = (replace(record.sets[0], side=side, start=t) for side, t in (("left", 20.0), ("right", 40.0)))  # type: ignore[arg-type]
    sheet = plan(block(planned("lunge", sets=1, sides="both")))
    assert compare(sheet, replace(record, sets=(left, right))) == ()
    assert kinds(compare(sheet, replace(record, sets=(left,)))) == ["sides-differ"]


def test_another_tempo_is_told() -> None:
    sheet = plan(block(planned("squat", tempo=(3.0, 1.0, 1.0))))
    (one,) = compare(sheet, done("squat", tempo=(2.0, 0.0, 2.0)))
    assert (one.kind, one.planned, one.done) == ("tempo-differs", "tempo 3-1-1", "tempo 2-0-2")


def test_a_name_of_the_lexicon_stands_for_its_others() -> None:
    """Any name of an exercise in a sheet finds it under any other name in a class."""
    lexicon = load()
    exercise = lexicon.exercises["romanian-deadlift"]
    record = done("something else")
    chapter = replace(record.chapters[0], exercise=exercise.id)
    for name in (exercise.id, *exercise.names):
        found = compare(plan(block(planned(name))), replace(record, chapters=(chapter,)), lexicon)
        assert found == (), name


def test_a_name_said_less_fully_is_the_same_exercise_but_another_of_its_family_is_not() -> None:
    assert compare(plan(block(planned("goblet squat"))), done("squat")) == ()
    both = plan(block(planned("goblet squat"), planned("jump squat")))
    assert compare(both, done("goblet squat", "jump squat")) == ()
    assert kinds(compare(plan(block(planned("goblet squat"))), done("jump squat"))) == ["added", "left-out"]


def test_an_exercise_of_two_blocks_is_told_apart_by_its_place() -> None:
    sheet = plan(block(planned("plank", 10), planned("squat")), block(planned("row"), planned("plank", 20)))
    assert compare(sheet, done("plank", "squat", "row", ("plank", 20))) == ()


def test_a_development_class_as_its_own_run_sheet_has_no_difference() -> None:
    for name in ("d03", "d12"):
        record = example_record(name)
        turns = [chapter.exercise_name for chapter in record.chapters if chapter.kind == "exercise"]
        sheet = plan(*(block(planned(turn, None)) for turn in turns))
        assert compare(sheet, record) == ()
        without = plan(*(block(planned(turn, None)) for turn in turns[1:]))
        (one,) = compare(without, record)
        assert (one.kind, one.done) == ("added", turns[0])


@pytest.mark.parametrize("name", [*(name for name in ANALYSED if name.endswith("captions")), *SAMPLE_NAMES])
def test_a_class_as_it_was_read_is_as_planned_by_a_sheet_of_itself(name: str) -> None:
    record = record_of(name)
    turns = [i for i, chapter in enumerate(record.chapters) if chapter.kind == "exercise"]
    sheet = plan(*(block(sheet_line(record, index)) for index in turns))
    assert compare(sheet, record, load()) == ()
    less = plan(*(block(sheet_line(record, index)) for index in turns[:-1]))
    (one,) = compare(less, record, load())
    # What comes back later in the class is a further turn of the same exercise, with an amount of its own.
    again = record.chapters[turns[-1]].exercise_name in {record.chapters[i].exercise_name for i in turns[:-1]}
    assert one.kind in ({"reps-differ", "seconds-differ"} if again else {"added"})


def sheet_line(record: Record, index: int) -> PlannedExercise:
    """What a sheet would say of one chapter: its name, and its amount where all its sets have the same."""
    sets = [one for one in record.sets if one.chapter == index]
    amounts = {(one.performed if one.performed is not None else one.target, one.unit) for one in sets}
    amount, unit = amounts.pop() if len(amounts) == 1 else (None, "reps")
    return planned(record.chapters[index].exercise_name, None, amount=amount, unit=unit if amount else None)


def test_the_table_has_a_row_a_difference() -> None:
    found = compare(plan(block(planned("squat", 12), planned("row"))), done("squat"))
    rows = list(csv.DictReader(io.StringIO(differences_csv(found))))
    assert [row["kind"] for row in rows] == ["reps-differ", "left-out"]
    assert rows[0]["set"] == "1"
    assert rows[0]["message"] == "squat: 12 reps planned, 10 reps done."


def test_no_cell_of_the_table_starts_a_formula() -> None:
    (row,) = csv.DictReader(io.StringIO(differences_csv(compare(plan(block(planned("=1+1"))), done()))))
    assert row["planned"] == "'=1+1"


def test_a_class_without_exercises_leaves_all_out() -> None:
    record = done()
    assert kinds(compare(plan(block(planned("squat"), planned("row"))), record)) == ["left-out"] * 2
