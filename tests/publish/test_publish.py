"""All files are written, or none."""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest

from pipeline import publish as writers
from pipeline.model import InputError, Record, RepslateError, Source
from pipeline.publish import WRITERS, export, publish
from pipeline.publish.summary import terminal_summary
from tests.publish.example import example_record

EMPTY = Record(Source("-", "webvtt", "cue", 0.0), None, (), (), (), (), (), (), ())


def test_every_promised_file_is_written(tmp_path: Path, promised_files: frozenset[str]) -> None:
    paths = publish(example_record(), tmp_path / "out" / "d01")
    assert {path.name for path in paths} == promised_files
    assert set((tmp_path / "out").iterdir()) == {tmp_path / "out" / "d01"}
    for path in paths:
        assert path.read_bytes().decode("utf-8") == export(example_record(), path.name)
    assert Record.from_json((tmp_path / "out" / "d01" / "record.json").read_text("utf-8")) == example_record()


def test_a_second_run_replaces_its_own_files_alone(tmp_path: Path, promised_files: frozenset[str]) -> None:
    publish(example_record("d03"), tmp_path)
    (tmp_path / "notes.txt").write_text("mine", "utf-8")
    publish(example_record("d01"), tmp_path)
    assert (tmp_path / "chapters.txt").read_text("utf-8") == export(example_record("d01"), "chapters.txt")
    assert (tmp_path / "notes.txt").read_text("utf-8") == "mine"
    assert {path.name for path in tmp_path.iterdir()} == promised_files | {"notes.txt"}


def test_a_writer_that_fails_leaves_the_old_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    publish(example_record("d01"), tmp_path / "class")
    before = {path.name: path.read_bytes() for path in (tmp_path / "class").iterdir()}

    def fail(record: Record) -> str:
        raise ZeroDivisionError

    monkeypatch.setitem(writers.WRITERS, "report.html", fail)
    with pytest.raises(ZeroDivisionError):
        publish(example_record("d03"), tmp_path / "class")
    assert {path.name: path.read_bytes() for path in (tmp_path / "class").iterdir()} == before
    assert list(tmp_path.iterdir()) == [tmp_path / "class"]


def test_a_disk_that_fails_halfway_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_bytes = Path.write_bytes

    def fill_up(path: Path, data: bytes) -> int:
        if path.name == "counter.vtt":
            raise OSError(28, "No space left on device")
        return write_bytes(path, data)

    monkeypatch.setattr(Path, "write_bytes", fill_up)
    with pytest.raises(InputError, match="No space left on device"):
        publish(example_record(), tmp_path / "class")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_a_file_is_told_in_one_line(tmp_path: Path) -> None:
    (tmp_path / "class").write_text("", "utf-8")
    with pytest.raises(RepslateError, match="cannot be written") as caught:
        publish(example_record(), tmp_path / "class")
    assert "\n" not in str(caught.value)
    assert {path.name for path in tmp_path.iterdir()} == {"class"}


def test_an_unknown_form_is_told_with_the_known_ones() -> None:
    with pytest.raises(RepslateError, match=r"poem: is no form .*chapters\.txt"):
        export(example_record(), "poem")


@pytest.mark.parametrize("form", sorted(WRITERS))
def test_a_class_without_anything_is_written_too(form: str) -> None:
    text = export(EMPTY, form)
    assert text.startswith(
        {"vtt": "WEBVTT", "html": "<!DOCTYPE html>", "json": "{", "csv": "set,"}.get(form.rsplit(".", 1)[1], "")
    )


def test_the_summary_says_what_was_found_and_where(tmp_path: Path) -> None:
    record = example_record("d03")
    text = terminal_summary(record, [tmp_path / "record.json", tmp_path / "report.html"])
    assert "21 chapters, 17 sets" in text
    assert "5 findings" in text
    assert "2:40 Five, then seven" in text
    assert str(tmp_path) in text
    assert "not checked advice" in text
    assert max(map(len, text.splitlines()[:-2])) < 120


def test_the_summary_says_so_where_nothing_was_found() -> None:
    assert "no finding" in terminal_summary(replace(example_record(), findings=()))


def test_a_file_whose_name_is_not_utf8_gives_files_that_are(tmp_path: Path) -> None:
    """Bytes of a name that are no character become half characters (PEP 383), which UTF-8 has no bytes for."""
    record = example_record("d01")
    name = os.fsdecode(b"cl\xe9an.vtt")
    written = publish(replace(record, title=None, source=replace(record.source, name=name)), tmp_path / "out")
    texts = [path.read_bytes().decode("utf-8") for path in written]
    assert Record.from_json(texts[0]).source.name == "cl?an.vtt"
    assert "cl?an.vtt" in texts[-1]
