"""The lexicon's data is sound, and a slip in it is told in one line that says where and what would do."""

from __future__ import annotations

import csv
import io
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


def test_a_mistake_in_an_entry_is_not_told_again_for_those_that_lead_to_it(slip) -> None:
    (line,) = lexicon.check(slip("unit", "rep"))
    assert "line 2 (test-swoop), unit" in line


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


README = Path(lexicon.__file__).with_name("README.md").read_text(encoding="utf-8")
SHORT_ROW = README.split("```csv\n")[1].split("```")[0]


def written(path: Path, content: bytes) -> Path:
    path.write_bytes(content)
    return path


def test_the_short_row_that_the_explanation_gives_is_sound(tmp_path: Path) -> None:
    file = written(tmp_path / "mine.csv", SHORT_ROW.encode())
    assert lexicon.check(file) == []
    assert lexicon.load(file).exercises["heron-stand"].other_names == ("heron balance", "one-legged heron")


def as_semicolons(text: str) -> str:
    """Return a CSV file as a spreadsheet saves it where 2.5 is written 2,5."""
    rows = list(csv.reader(text.splitlines()))
    stream = io.StringIO()
    csv.writer(stream, delimiter=";").writerows([[cell.replace("10", "10,5") for cell in row] for row in rows])
    return stream.getvalue()


@pytest.mark.parametrize(
    "content",
    [
        SHORT_ROW.replace("\n", "\r\n").encode("utf-8-sig"),
        SHORT_ROW.replace("\n", "\r").encode(),
        SHORT_ROW.replace(",", "\t").encode(),
        SHORT_ROW.replace("10,40", '"10","40",,,').encode(),
        "\n".join(f"{line},," for line in SHORT_ROW.splitlines()).encode() + b"\n" + b"," * 12 + b"\n\n",
        as_semicolons(SHORT_ROW).encode("utf-8-sig"),
    ],
    ids=["mark and carriage returns", "carriage returns alone", "tabs", "quotes", "empty cells", "semicolons"],
)
def test_a_file_is_read_however_a_spreadsheet_saves_it(tmp_path: Path, content: bytes) -> None:
    file = written(tmp_path / "mine.csv", content)
    assert lexicon.check(file) == []
    one = lexicon.load(file).exercises["heron-stand"]
    assert one.other_names == ("heron balance", "one-legged heron")
    assert one.seconds_low in {10, 10.5}
    assert one.seconds_high == 40


def test_a_code_that_lost_its_zeros_in_a_spreadsheet_is_the_same_code(slip) -> None:
    one = lexicon.load(slip("activity_codes", "2022;02020")).exercises["test-swoop"]
    assert one.activity_codes == ("02022", "02020")


def test_a_code_that_no_activity_has_is_told(slip) -> None:
    (line,) = lexicon.check(slip("activity_codes", "02025"))
    assert "line 2 (test-swoop), activity_codes: '02025' is not in the list activities of activities.yaml" in line
    assert "did you mean" in line


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ("heron stand,", '"heron stand,', ["line 2: unexpected end of data; close every double quote"]),
        ("pattern", "patern", ["line 1, patern: no such field; did you mean 'pattern'?", "line 2"]),
        ("unit", "sides", ["line 1, sides: stands twice; each column once", "'seconds' is not known", "unit: is"]),
        ("one-legged heron", "one-legged, heron", ["line 2: 12 cells in the row; 11 cells; put a cell"]),
    ],
)
def test_a_mistake_in_the_shape_of_a_file_is_told_where_it_is(
    tmp_path: Path, before: str, after: str, told: list[str]
) -> None:
    file = written(tmp_path / "mine.csv", SHORT_ROW.replace(before, after, 1).encode())
    problems = lexicon.check(file)
    assert len(problems) == len(told)
    for line, part in zip(problems, told, strict=True):
        assert line.startswith("mine.csv, ")
        assert part in line


def test_a_file_in_another_encoding_is_told_what_would_do(tmp_path: Path) -> None:
    file = written(tmp_path / "mine.csv", SHORT_ROW.replace("heron stand", "plié stand").encode("cp1252"))
    assert lexicon.check(file) == ["mine.csv: not UTF-8 text; give a CSV or YAML file in UTF-8"]


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
