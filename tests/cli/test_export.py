"""One file out of a record that was kept is the file that the analysis wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from lexicon import load
from pipeline.cli import main
from pipeline.publish import FORMATS, export, options_of
from tests.cli.running import run
from tests.publish.example import example_record


@pytest.fixture
def record(tmp_path: Path) -> Path:
    path = tmp_path / "record.json"
    path.write_text(example_record().to_json(), "utf-8")
    return path


@pytest.mark.parametrize("form", FORMATS)
def test_each_form_is_printed_byte_for_byte(
    form: str, record: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["export", str(record), "--as", form]) == 0
    # The command knows the lexicon; the writers of records do not.
    known = {"exercises": load().exercises} if "exercises" in options_of(form) else {}
    assert capsysbinary.readouterr().out == export(example_record(), form, **known).encode("utf-8")


@pytest.mark.parametrize(
    ("form", "words", "options"),
    [
        ("chapters.txt", ["--grain", "set"], {"grain": "set"}),
        ("chapters.vtt", ["--template", "{exercise}!"], {"template": "{exercise}!"}),
        ("captions.srt", ["--line-length", "24"], {"line_length": 24}),
        ("timeline.edl", ["--rate", "30"], {"rate": "30"}),
    ],
)
def test_what_a_form_can_be_told_is_told(
    form: str,
    words: list[str],
    options: dict[str, object],
    record: Path,
    capsysbinary: pytest.CaptureFixture[bytes],
) -> None:
    assert main(["export", str(record), "--as", form, *words]) == 0
    told = capsysbinary.readouterr().out
    assert told == export(example_record(), form, **options).encode("utf-8")
    assert told != export(example_record(), form).encode("utf-8")


@pytest.mark.parametrize(
    ("form", "words", "named"),
    [
        ("audit.csv", ["--grain", "set"], "audit.csv: has no option 'grain'"),
        ("chapters.txt", ["--grain", "rep"], "'rep' is no grain"),
        ("chapters.txt", ["--template", "{exercize}"], "{exercize}"),
        ("captions.srt", ["--line-length", "1"], "lines of 1 characters"),
        ("timeline.edl", ["--rate", "26"], "'26' is no frame rate"),
    ],
)
def test_what_a_form_cannot_be_told_is_one_line(
    form: str, words: list[str], named: str, record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(record), "--as", form, *words]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err.count("\n")) == ("", 1)
    assert named in said.err


def test_a_record_comes_through_a_pipe_too(record: Path) -> None:
    done = run("export", "-", "--as", "counter.vtt", stdin=record.read_bytes())
    assert done.stdout.decode("utf-8") == export(example_record(), "counter.vtt")


def test_a_file_is_written_where_it_is_asked_for_and_replaces_the_old_one(record: Path) -> None:
    target = record.with_name("list.txt")
    target.write_text("old", "utf-8")
    assert main(["export", str(record), "--as", "chapters.txt", "-o", str(target)]) == 0
    assert target.read_text("utf-8") == export(example_record(), "chapters.txt")
    assert set(record.parent.iterdir()) == {record, target}


def test_an_unknown_form_lists_the_known_ones(record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["export", str(record), "--as", "chapters.pdf"]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert all(name in said for name in ("chapters.pdf", *FORMATS))


@pytest.mark.parametrize("target", ["folder", "missing/list.txt", "record.json/list.txt"])
def test_a_place_that_cannot_be_written_is_named(target: str, record: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (record.parent / "folder").mkdir()
    before = record.read_bytes()
    assert main(["export", str(record), "--as", "audit.csv", "-o", str(record.parent / target)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert target in said
    assert record.read_bytes() == before
    assert sorted(path.name for path in record.parent.iterdir()) == ["folder", "record.json"]


def test_half_a_character_in_a_record_stops_no_export(record: Path, capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    title = record.read_text("utf-8").replace(f'"title": "{example_record().title}"', '"title": "A\\ud800"', 1)
    record.write_text(title, "utf-8")
    assert main(["export", str(record), "--as", "report.html"]) == 0
    assert b"<title>A?" in capsysbinary.readouterr().out
