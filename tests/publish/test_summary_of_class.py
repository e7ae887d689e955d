"""The summary for a class's description, and the volume by muscle and pattern."""

from __future__ import annotations

from dataclasses import replace

import pytest

from lexicon import load
from pipeline.model import Cue, Record
from pipeline.publish import export
from pipeline.publish.report_words import CAUTIONS
from pipeline.publish.volume import volume_frame
from tests.publish.example import CLASSES, example_record
from tests.publish.test_chapter_grain import class_of, work

NAMES = sorted(path.name.split(".")[0] for path in CLASSES.glob("*.class.txt"))


def sections(text: str) -> dict[str, list[str]]:
    head, *parts = text.split("\n\n")
    found = {part.splitlines()[0]: part.splitlines()[1:] for part in parts}
    return {"": head.splitlines(), **found}


def test_the_summary_of_a_class_reads_as_one_expects() -> None:
    record = example_record("d03")
    chapters = (replace(record.chapters[1], equipment=("kettlebell", "barbell")), *record.chapters[2:])
    record = replace(record, chapters=(record.chapters[0], *chapters))
    found = sections(export(record, "summary.txt"))
    assert found[""] == ["Thirty On, Fifteen Off: One Bell", "16 min 1 s, 9 exercises, 17 sets"]
    assert found["Equipment"] == ["- kettlebell"]
    lines = found["The class"]
    assert lines[0] == "- Kettlebell halo: 5 reps a side"
    block = lines.index("- Block 1: 30-second intervals of 3 exercises, 3 rounds")
    assert lines[block + 1] == "  - Kettlebell swing: 30 seconds"
    assert any("30 s" in line or "min" in line for line in found["Work and rest"])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("form", ["summary.txt", "summary.md"])
def test_every_summary_names_all_exercises_and_carries_the_cautions(name: str, form: str) -> None:
    record = example_record(name)
    text = export(record, form, exercises=load().exercises).replace("\\", "").lower()
    assert all(one.exercise_name.lower() in text for one in record.chapters if one.kind == "exercise")
    assert all(caution.lower() in text for caution in CAUTIONS)


def test_options_stand_with_their_time_and_words() -> None:
    record = example_record("d01")
    record = replace(
        record, words=(), pieces=(), cues=(Cue(191.0, 194.0, "option", "Knees down *if* you like.", (0, 0)),)
    )
    assert sections(export(record, "summary.txt"))["Options offered"] == ["- 3:11 easier: “Knees down *if* you like.”"]
    assert "- 3:11 easier: “Knees down \\*if\\* you like.”" in export(record, "summary.md")


def lines_of(record: Record) -> list[str]:
    return sections(export(record, "summary.txt"))["The class"]


def test_rounds_that_climb_or_fall_are_told_in_turn() -> None:
    sets = tuple(work(i, 60 * i + 9, 60 * i + 50, target=n) for i, n in enumerate((10, 8, 8, 8, 6, 8)))
    assert lines_of(class_of("squat", "row", "squat", "row", "squat", "row", sets=sets)) == [
        "- Block 1: squat and row superset, 3 rounds",
        "  - Squat: 10, then 8, then 6 reps",
        "  - Row: 8 reps",
    ]


def test_the_other_side_in_a_chapter_of_its_own_is_no_round() -> None:
    sets = (work(0, 9, 50, side="left"), work(1, 69, 110, side="right"), work(2, 129, 170))
    record = class_of("press", "press", "row", sets=sets)
    assert lines_of(record) == ["- Press: 10 reps a side", "- Row: 10 reps"]
    twice = class_of(
        "press",
        "press",
        "press",
        "press",
        sets=(*sets[:2], *(replace(one, chapter=one.chapter + 2) for one in sets[:2])),
    )
    assert lines_of(twice) == ["- Block 1: press, 2 rounds: 10 reps a side"]


def test_stretches_of_both_sides_say_so_where_nothing_was_counted() -> None:
    sets = tuple(
        work(0, at, at + 20, side=side, target=None, performed=None) for at, side in ((5, "left"), (30, "right"))
    )
    assert lines_of(class_of("side bend", sets=sets)) == ["- Side bend: both sides"]


def test_a_file_name_stands_in_for_a_title() -> None:
    record = replace(class_of("squat"), source=replace(class_of("squat").source, name="low-impact_week.2.vtt"))
    assert export(record, "summary.txt").startswith("Low impact week 2\n")


def test_heart_and_lungs_are_no_muscle() -> None:
    record = replace(class_of("skater", sets=(work(0, 5, 50),)), title="Skaters")
    chapter = replace(record.chapters[0], muscles=("heart and lungs", "quadriceps"))
    text = export(replace(record, chapters=(chapter,)), "summary.txt")
    assert sections(text)["Main muscles"] == ["- quadriceps, 1 set"]


def record_of(exercise: str) -> Record:
    record = example_record("d01")
    sets = tuple(replace(one, exercise=exercise) for one in record.sets[:2])
    return replace(record, sets=sets)


def test_a_helper_gets_half_a_set_and_a_prime_mover_a_whole_one() -> None:
    exercises = load().exercises
    squat = exercises["back-squat"]
    table = volume_frame(record_of("back-squat"), exercises).set_index(["of", "name"])
    assert table.loc[("pattern", "squat"), "sets"] == 2
    assert {table.loc[("muscle", name), "sets"] for name in squat.prime_movers} == {2}
    assert {table.loc[("muscle", name), "sets"] for name in squat.helpers} == {1}


def test_the_volume_of_all_sets_is_that_of_the_class() -> None:
    """An exercise of one pattern gives it as many reps as were done."""
    record = record_of("back-squat")
    done = sum(one.performed or 0 for one in record.sets)
    table = volume_frame(record, load().exercises).set_index(["of", "name"])
    assert table.loc[("pattern", "squat"), "reps"] == done


def test_without_the_lexicon_the_records_own_muscles_count() -> None:
    record = example_record("d01")
    chapters = tuple(replace(one, muscles=("quadriceps",)) for one in record.chapters)
    table = volume_frame(replace(record, chapters=chapters))
    assert table[["of", "name", "sets"]].values.tolist() == [["muscle", "quadriceps", len(record.sets)]]


def test_a_class_without_sets_has_an_empty_table_and_a_summary() -> None:
    record = replace(example_record("d01"), sets=())
    assert volume_frame(record).empty
    assert "Main muscles" not in export(record, "summary.txt")
