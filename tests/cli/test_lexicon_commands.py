"""Looking exercises up, checking a file of them, and proposing those that the lexicon lacks."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest

import lexicon
from pipeline.cli import main
from pipeline.model import Chapter, Record, Rep, Source, WorkSet

FEW = Path(__file__).parents[1] / "lexicon" / "few.csv"


def printed(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    assert main(words) == 0
    return capsys.readouterr().out


def found(text: str) -> list[str]:
    """Return the ids of the exercises printed, in their order."""
    titles = [line for line in text.splitlines() if line.endswith(")") and line[:1].isupper()]
    return [line.rpartition("(")[2].rstrip(")") for line in titles]


def test_a_name_is_found_however_it_is_written(capsys: pytest.CaptureFixture[str]) -> None:
    for words in (["goblet", "squat"], ["Goblet-Squat"], ["GOBLET SQUAT"]):
        assert found(printed(["lexicon", "find", *words], capsys))[0] == "goblet-squat"


def test_another_name_leads_to_the_exercise_too(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(["lexicon", "find", "press-up"], capsys)
    assert "(push-up)" in text


def test_a_muscle_and_a_piece_of_equipment_find_what_has_both(capsys: pytest.CaptureFixture[str]) -> None:
    ids = found(printed(["lexicon", "find", "hamstrings", "slider"], capsys))
    assert ids
    for one in ids:
        exercise = lexicon.load().exercises[one]
        assert "hamstrings" in exercise.muscles or any("hamstring" in name for name in exercise.names)
        assert "slider" in exercise.equipment or any("slider" in name for name in exercise.names)


@pytest.mark.parametrize(
    ("words", "muscles"),
    [
        (["quads"], {"quadriceps"}),
        (["lower", "back", "barbell"], {"erector spinae", "quadratus lumborum", "multifidus"}),
        (["rear", "delts", "dumbbell"], {"posterior deltoid"}),
        (["glutes", "kettlebell"], {"gluteus maximus", "gluteus medius", "gluteus minimus"}),
    ],
)
def test_muscles_are_found_by_what_coaches_call_them_those_that_lead_first(
    words: list[str], muscles: set[str], capsys: pytest.CaptureFixture[str]
) -> None:
    ids = found(printed(["lexicon", "find", *words], capsys))
    assert ids
    for one in ids:
        assert muscles & {*lexicon.load().exercises[one].muscles}
    assert muscles & {*lexicon.load().exercises[ids[0]].prime_movers}


def test_a_search_shows_how_the_words_would_stand_in_a_chapter_list(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = printed(["lexicon", "find", "split", "stance", "single", "arm", "row"], capsys)
    assert "as a chapter: Split-stance single-arm row (" in text


def test_a_search_shows_where_the_exercise_stands_among_others_and_what_it_takes(
    capsys: pytest.CaptureFixture[str],
) -> None:
    first = printed(["lexicon", "find", "push-up"], capsys).split("\n\n")[1]
    facts = dict(line.strip().split("  ", 1) for line in first.splitlines()[1:])
    assert "knee push-up" in facts["easier"]
    assert "diamond push-up" in facts["harder"]
    assert facts["position"].strip() == "plank"
    assert facts["intensity"].strip() == (
        "3.8 or 8 MET (Adult Compendium of Physical Activities 2011: 02022, 02020; from memory)"
    )


def test_a_broad_search_says_how_many_more_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(["lexicon", "find", "dumbbell"], capsys)
    assert text.splitlines()[-1].startswith("and ")
    assert "more" in text.splitlines()[-1]


def test_a_misspelt_name_is_still_found(capsys: pytest.CaptureFixture[str]) -> None:
    assert "goblet-squat" in found(printed(["lexicon", "find", "goblit", "sqat"], capsys))


def test_a_word_of_no_exercise_finds_none(capsys: pytest.CaptureFixture[str]) -> None:
    assert printed(["lexicon", "find", "xylophone"], capsys).startswith("no exercise has all of: xylophone")


def test_a_sound_file_of_exercises_passes(capsys: pytest.CaptureFixture[str]) -> None:
    assert printed(["lexicon", "check", str(FEW)], capsys) == f"{FEW}: nothing wrong\n"


def test_every_problem_of_a_file_is_printed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "ours.csv"
    text = FEW.read_text("utf-8").replace(",2,4,", ",4,2,").replace("hip flexors", "hip flexers")
    file.write_text(text, "utf-8")
    assert main(["lexicon", "check", str(file)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert "ours.csv, line 2 (test-swoop), seconds_low: 4 is above seconds_high, 2" in said.err
    assert "'hip flexers' is not in the list muscles" in said.err


def test_a_missing_file_of_exercises_is_one_problem(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lexicon", "check", "nowhere.csv"]) == 2
    assert capsys.readouterr().err.count("\n") == 1


# Proposing


def reps(*times: float) -> tuple[Rep, ...]:
    return tuple(Rep(n, time, True) for n, time in enumerate(times, start=1))


def chapter(name: str, exercise: str | None = None, **more: object) -> Chapter:
    one = Chapter(0.0, 60.0, "exercise", name, exercise, name, (), None, 0.9, (0, 0))
    return replace(one, **more)  # type: ignore[arg-type]


def work_set(of: int, name: str, **more: object) -> WorkSet:
    one = WorkSet(of, None, name, None, None, "reps", 0.0, 10.0, 4, 4, None, None, 0.9, reps(2, 4, 6, 8))
    return replace(one, **more)  # type: ignore[arg-type]


def keep(path: Path, chapters: tuple[Chapter, ...], sets: tuple[WorkSet, ...] = ()) -> str:
    record = Record(Source("class.vtt", "webvtt", "cue", 60.0), None, chapters, sets, (), (), (), (), (), ())
    path.write_text(record.to_json(), "utf-8")
    return str(path)


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_an_exercise_that_the_lexicon_lacks_is_proposed_with_what_the_class_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    chapters = (chapter("Wobbly Heron", aliases=("heron wobble",), equipment=("band",)),)
    sets = (work_set(0, "Wobbly Heron", side="left"), work_set(0, "Wobbly Heron", side="right"))
    path = keep(tmp_path / "record.json", chapters, sets)
    (row,) = rows(printed(["lexicon", "propose", path], capsys))
    told = {name: cell for name, cell in row.items() if cell}
    assert told == {
        "id": "wobbly-heron",
        "name": "wobbly Heron",
        "other_names": "heron wobble",
        "equipment": "band",
        "sides": "yes",
        "unit": "reps",
        "seconds_low": "2.0",
        "seconds_high": "2.0",
    }


def test_what_the_class_does_not_tell_is_left_for_a_person(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = keep(tmp_path / "record.json", (chapter("heron"),))
    (row,) = rows(printed(["lexicon", "propose", path], capsys))
    assert {name for name, cell in row.items() if cell} == {"id", "name"}


def test_known_exercises_and_nameless_ones_are_not_proposed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    chapters = (chapter("Squat", "squat"), chapter("Press-up"), chapter("Exercise"), chapter("", kind="rest"))
    assert main(["lexicon", "propose", keep(tmp_path / "record.json", chapters)]) == 0
    said = capsys.readouterr()
    assert said.out == ""
    assert "is in the lexicon" in said.err


def test_one_exercise_in_two_classes_is_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = keep(tmp_path / "a.json", (chapter("Wobbly heron"),))
    second = keep(tmp_path / "b.json", (chapter("wobbly-heron"), chapter("low heron")))
    ids = [row["id"] for row in rows(printed(["lexicon", "propose", first, second], capsys))]
    assert ids == ["wobbly-heron", "low-heron"]


def test_a_proposal_that_a_person_completes_is_a_sound_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = keep(tmp_path / "record.json", (chapter("Wobbly heron"),), (work_set(0, "Wobbly heron"),))
    (row,) = rows(printed(["lexicon", "propose", path], capsys))
    row |= {
        "pattern": "balance",
        "prime_movers": "gluteus medius",
        "equipment": "none",
        "position": "standing",
        "sides": "yes",
    }
    with (tmp_path / "ours.csv").open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, row)
        writer.writeheader()
        writer.writerow(row)
    assert lexicon.check(tmp_path / "ours.csv") == []
    assert lexicon.load(tmp_path / "ours.csv").named("wobbly heron")
