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
    record = replace(record, cues=(Cue(191.0, 194.0, "option", "Knees down *if* you like.", (0, 0)),))
    assert sections(export(record, "summary.txt"))["Options offered"] == ["- 3:11 “Knees down *if* you like.”"]
    assert "- 3:11 “Knees down \\*if\\* you like.”" in export(record, "summary.md")


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
