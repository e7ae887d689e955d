"""Finding a class again on a shelf of kept records."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.cli import main
from pipeline.model import Chapter, Piece, Record, Source, Word


def chapter(name: str, exercise: str | None = None, **more: object) -> Chapter:
    one = Chapter(65.0, 120.0, "exercise", f"{name}, 10 reps", exercise, name, (), None, 0.9, (0, 0))
    return replace(one, **more)  # type: ignore[arg-type]


def keep(shelf: Path, name: str, *chapters: Chapter, said: str = "hello there") -> None:
    words = tuple(Word(text, 5.0 + i, 6.0 + i) for i, text in enumerate(said.split()))
    pieces = (Piece(0, len(words), 5.0, 5.0 + len(words)),)
    source = Source(f"{name}.vtt", "webvtt", "cue", 120.0)
    (shelf / name).mkdir()
    text = Record(source, None, chapters, (), (), (), (), words, pieces).to_json()
    (shelf / name / "record.json").write_text(text, "utf-8")


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    keep(
        tmp_path,
        "monday",
        chapter("Push-up", "push-up"),
        chapter("Goblet squat", "goblet-squat", equipment=("kettlebell",)),
    )
    keep(tmp_path, "tuesday", chapter("Wobbly heron", aliases=("heron wobble",)), said="one, one, sorry, dry throat")
    keep(tmp_path, "friday", chapter("Walking lunge", muscles=("quadriceps",)), chapter("Rest", kind="rest"))
    return tmp_path


def found(words: str, shelf: Path, capsys: pytest.CaptureFixture[str]) -> str:
    assert main(["search", words, str(shelf)]) == 0
    return capsys.readouterr().out.replace(f"{shelf}/", "")


def test_a_class_is_found_by_an_exercise_with_its_time_and_title(
    shelf: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = found("goblet squat", shelf, capsys)
    assert text == "monday/record.json (monday.vtt)\n     1:05  Goblet squat, 10 reps\n"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("press-up", "monday"),
        ("Goblet Squats", "monday"),
        ("squat kettlebell", "monday"),
        ("heron wobbles", "tuesday"),
        ("lunges", "friday"),
        ("quadriceps lunge", "friday"),
    ],
    ids=["another name", "plural", "equipment", "unlisted name", "plural alone", "muscle"],
)
def test_other_words_for_it_find_it_too(words: str, name: str, shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert f"{name}/record.json" in found(words, shelf, capsys)


def test_a_word_has_to_begin_like_one_of_the_exercise(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    keep(shelf, "saturday", chapter("Jog", muscles=("heart and lungs",)))
    assert "saturday" not in found("lunges", shelf, capsys)


def test_all_words_have_to_be_of_one_exercise(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert found("push-up kettlebell", shelf, capsys).startswith("none of 3 searched holds")


def test_where_no_exercise_is_found_what_was_said_is(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = found("dry throat", shelf, capsys)
    assert "tuesday/record.json (tuesday.vtt)" in text
    assert '0:05  "one, one, sorry, dry throat"' in text


def test_a_misspelt_name_is_offered_as_it_should_be(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert found("goblit sqat", shelf, capsys).endswith("close to it: Goblet squat\n")


def test_a_broken_record_is_named_and_the_others_are_searched(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (shelf / "monday" / "record.json").write_text("{", "utf-8")
    assert main(["search", "lunge", str(shelf)]) == 2
    said = capsys.readouterr()
    assert "friday" in said.out
    assert said.err.count("\n") == 1
    assert "monday/record.json, line 1" in said.err


@pytest.mark.parametrize(("words", "problem"), [("…", "holds no word"), ("squat", "holds no record.json")])
def test_what_cannot_be_searched_is_one_line(
    words: str, problem: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["search", words, str(tmp_path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert problem in said.err
    assert said.err.count("\n") == 1
