"""The lexicon's data is sound, and a slip in it is told in one line that says where and what would do."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

import lexicon
from lexicon.fields import COLUMNS

FEW = Path(__file__).with_name("few.csv")


@pytest.fixture
def slip(tmp_path: Path):
    """Write the small file of exercises with one cell of one row changed, and return its path."""

    def write(field: str, value: str, row: int = 0) -> Path:
        with FEW.open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        rows[row][field] = value
        path = tmp_path / "mine.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
        return path

    return write


def test_our_own_exercises_have_no_problem() -> None:
    files = sorted(Path(lexicon.__file__).parent.glob("exercises/*.csv"))
    assert [line for file in files for line in lexicon.check(file)] == []


def test_an_extra_file_adds_exercises_with_all_fields() -> None:
    one = lexicon.load(FEW).exercises["test-swoop-hold"]
    assert one.names == ("Test swoop hold", "frozen swoop")
    assert one.position == ("standing", "bent over")
    assert (one.sides, one.unit, one.seconds_low, one.seconds_high) == ("yes", "seconds", 10.0, 40.0)
    assert one.easier == ("test-swoop",)
    assert one.caution == "Come up slowly."


def test_an_extra_file_adds_nothing_to_the_lexicon_without_it() -> None:
    lexicon.load(FEW)
    assert "test-swoop" not in lexicon.load().exercises


def test_loading_twice_reads_once() -> None:
    assert lexicon.load() is lexicon.load()


def test_a_file_that_changed_is_read_again(slip) -> None:
    path = slip("name", "Before")
    assert lexicon.load(path).exercises["test-swoop"].name == "Before"
    slip("name", "After")
    import os

    os.utime(path, ns=(1, 1))
    assert lexicon.load(path).exercises["test-swoop"].name == "After"


def test_an_override_keeps_what_it_does_not_say(tmp_path: Path) -> None:
    base = lexicon.load()
    known = next(iter(base.exercises.values()))
    extra = tmp_path / "mine.yaml"
    extra.write_text(f"- id: {known.id}\n  caution: Ask first.\n  seconds_high: 90\n", encoding="utf-8")
    changed = lexicon.load(extra).exercises[known.id]
    assert (changed.caution, changed.seconds_high) == ("Ask first.", 90.0)
    assert (changed.name, changed.prime_movers) == (known.name, known.prime_movers)


def test_yaml_lists_and_yes_and_no_are_read_as_a_coach_means_them(tmp_path: Path) -> None:
    extra = tmp_path / "mine.yaml"
    extra.write_text(
        "- {id: test-reach, name: Test reach, other_names: [reach test, testing reach], pattern: mobility,\n"
        "   prime_movers: [latissimus dorsi], equipment: none, position: standing, sides: yes, unit: reps,\n"
        "   seconds_low: 2, seconds_high: 3.5}\n",
        encoding="utf-8",
    )
    one = lexicon.load(extra).exercises["test-reach"]
    assert one.other_names == ("reach test", "testing reach")
    assert (one.sides, one.seconds_high) == ("yes", 3.5)


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("prime_movers", "hamstring", "did you mean 'hamstrings'"),
        ("equipment", "dumbell", "did you mean 'dumbbell'"),
        ("position", "upside down", "accepted: standing, seated"),
        ("sides", "both", "accepted: yes, no, alternating"),
        ("unit", "rep", "did you mean 'reps'"),
        ("seconds_low", "fast", "a number above 0"),
        ("seconds_high", "-2", "a number above 0"),
        ("seconds_low", "9", "is above seconds_high, 4"),
        ("easier", "test-swop", "did you mean 'test-swoop"),
        ("harder", "test-swoop", "is this entry itself"),
        ("name", "", "is empty"),
        ("id", "Test Swoop", "small letters"),
    ],
)
def test_a_slip_is_told_with_its_place_and_what_would_do(slip, field: str, value: str, told: str) -> None:
    path = slip(field, value)
    with pytest.raises(lexicon.LexiconError) as caught:
        lexicon.load(path)
    line = str(caught.value)
    assert line.startswith("mine.csv, line 2")
    assert field in line
    assert told in line
    assert "\n" not in line
    assert line in lexicon.check(path)


def test_an_id_twice_in_a_file_is_a_mistake(slip) -> None:
    problems = lexicon.check(slip("id", "test-swoop", row=2))
    assert any("line 4" in one and "stands already at mine.csv, line 2" in one for one in problems)


def test_a_name_of_two_exercises_needs_a_word_on_how_they_are_told_apart(slip) -> None:
    problems = lexicon.check(slip("other_names", "Swoop-Test", row=2))
    assert len(problems) == 1
    assert "the name 'swoop test' belongs to 'test-swoop' as well" in problems[0]
    assert "told_apart_by" in problems[0]


def test_a_shared_name_that_is_explained_is_no_mistake(tmp_path: Path) -> None:
    text = FEW.read_text(encoding="utf-8")
    text = text.replace("Test flutter,,", "Test flutter,swoop test,").replace("1.5,,,,", "1.5,,,,on the back")
    path = tmp_path / "mine.csv"
    path.write_text(text, encoding="utf-8")
    assert lexicon.check(path) == []


def test_all_problems_are_listed_not_the_first_alone(slip, tmp_path: Path) -> None:
    path = slip("unit", "rep")
    text = path.read_text(encoding="utf-8").replace("supine", "floating")
    path.write_text(text, encoding="utf-8")
    assert len(lexicon.check(path)) >= 2


@pytest.mark.parametrize(
    ("name", "text", "told"),
    [
        ("mine.csv", "name,unit\nSwoop,reps\n", "no column id"),
        ("mine.csv", ",".join(COLUMNS) + "\na-b,A, b,c,d,e,f,g,h,i,j,k,l,m,n,o,p,q\n", "cells in the row"),
        ("mine.csv", "id,name,colour\nnew-one,New,red\n", "colour: no such field"),
        ("mine.yaml", "- id: [oops\n", "line 2"),
        ("mine.yaml", "id: new-one\n", "not a list of exercises"),
    ],
)
def test_a_file_of_the_wrong_shape_says_what_shape_would_do(tmp_path: Path, name: str, text: str, told: str) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    assert any(told in line for line in lexicon.check(path))


def test_a_missing_file_is_one_clear_line() -> None:
    with pytest.raises(lexicon.LexiconError, match=r"nowhere\.csv: No such file or directory; give a CSV"):
        lexicon.load(Path("nowhere.csv"))


def test_a_name_is_found_however_it_is_written() -> None:
    found = lexicon.load(FEW).named("SWOOP-TEST")
    assert [one.id for one in found] == ["test-swoop"]


def test_phrases_are_groups_of_kinds() -> None:
    phrases = lexicon.load().phrases
    assert set(phrases["cues"]) >= {"form", "breathing", "safety", "tempo", "option", "encouragement"}
    assert "long spine" in phrases["cues"]["form"]


def test_the_example_that_the_explanation_gives_is_sound(tmp_path: Path) -> None:
    text = Path(lexicon.__file__).with_name("README.md").read_text(encoding="utf-8")
    example = text.split("```yaml\n")[1].split("```")[0]
    extra = tmp_path / "mine.yaml"
    extra.write_text(example, encoding="utf-8")
    assert lexicon.check(extra) == []
    assert lexicon.load(extra).exercises["harbour-swing"].seconds_low == 1.2
    assert lexicon.load(extra).exercises["goblet-squat"].seconds_high == 6


def test_the_explanation_names_every_column() -> None:
    text = Path(lexicon.__file__).with_name("README.md").read_text(encoding="utf-8")
    assert [column for column in COLUMNS if f"`{column}`" not in text] == []


def test_the_loader_brings_in_neither_the_pipeline_nor_anything_heavy() -> None:
    code = (
        "import sys, lexicon; lexicon.load();"
        "print(sorted({'pipeline', 'spacy', 'pandas', 'numpy', 'rapidfuzz'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
