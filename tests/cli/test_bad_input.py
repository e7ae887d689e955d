"""What cannot be used: one line on standard error, exit status 2, nothing left behind."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pipeline.cli import main
from tests.cli.running import ROOT, run

SAMPLE = ROOT / "samples" / "mat-core-holds.srt"
CONTENTS = {
    "empty.vtt": b"",
    "blank.srt": b"\n \n\t\n",
    "picture.vtt": b"\x89PNG\r\n\x1a\n" + bytes(range(256)),
    "archive.srt": b"PK\x03\x04" + bytes(200),
    "letter.txt": b"Dear all,\nthe class moves to noon.\n",
    "cut-off.json": b'{"segments": [{"start": 0, "end": 2, "text": "and one',
    "no-times.vtt": b"WEBVTT\n\nhello there\n",
}
#: First bytes of recordings: RIFF/WAVE (Multimedia Programming Interface 1.0); ISO/IEC 14496-12, 4.3 `ftyp`.
RECORDINGS = {"class.wav": b"RIFF\x24\x00\x00\x00WAVEfmt ", "class.mp4": b"\x00\x00\x00\x18ftypisom"}


def refused(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    """Run a command that has to fail, and return its one line."""
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("repslate: ")
    assert said.err.count("\n") == 1
    return said.err


@pytest.mark.parametrize("name", CONTENTS)
def test_a_file_that_is_no_transcript_is_named(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / name).write_bytes(CONTENTS[name])
    said = refused(["analyze", str(tmp_path / name), "-o", str(tmp_path / "out")], capsys)
    assert name in said
    assert ";" in said, "what would be accepted stands after what is wrong"
    assert [path.name for path in tmp_path.iterdir()] == [name]


@pytest.mark.parametrize("name", RECORDINGS)
def test_a_broken_recording_is_told_apart_from_a_broken_transcript(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / name).write_bytes(RECORDINGS[name] + bytes(64))
    said = refused(["analyze", str(tmp_path / name), "-o", str(tmp_path / "out")], capsys)
    assert f"{name}: cannot be opened as a recording" in said
    assert not (tmp_path / "out").exists()


def test_a_missing_file_and_a_folder_are_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "missing.vtt: cannot be read (No such file" in refused(["analyze", str(tmp_path / "missing.vtt")], capsys)
    assert "cannot be read (Is a directory)" in refused(["analyze", str(tmp_path)], capsys)
    assert list(tmp_path.iterdir()) == []


def test_a_name_with_a_line_break_stays_on_one_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "two lines.vtt" in refused(["analyze", str(tmp_path / "two\nlines.vtt")], capsys)


def test_through_a_pipe_nothing_is_no_class_either(tmp_path: Path) -> None:
    done = run("analyze", "-", "-o", tmp_path)
    assert done.returncode == 2
    assert done.stdout == b""
    assert done.stderr.startswith(b"repslate: -: the file is empty")
    assert done.stderr.count(b"\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_two_inputs_for_one_folder_are_refused_before_anything_is_written(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    inputs = [str(SAMPLE), str(SAMPLE.with_suffix(".vtt"))]
    said = refused(["analyze", *inputs, "-o", str(tmp_path)], capsys)
    assert all(name in said for name in inputs)
    assert "its own -o folder" in said
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("hold_second: 3\n", "line 1: 'hold_second' is no tolerance"),
        ("# ours\nhold_seconds: 3\ntempo_share: wide\n", "line 3: tempo_share is 'wide'"),
        ("half_share: yes\n", "half_share is True"),
        ("half_share: -0.1\n", "half_share is -0.1, which is out of range"),
        ("half_share: .nan\n", "half_share is nan"),
        ("least_confidence: 1.5\n", "a number from 0 to 1"),
        ("hold_seconds: 3\nhold_seconds: 4\n", "line 2: 'hold_seconds' stands already on line 1"),
        ("- hold_seconds\n", "is not a mapping"),
        ("hold_seconds: [3\n", "is not YAML"),
        ("hold_seconds: 3: 4\n", "line 1: is not YAML"),
        ("\x00", "is not YAML"),
        ("3: 4\n", "line 1: '3' is no tolerance"),
        ("[a]: 4\n", "is no tolerance"),
        ("hold_seconds: 1e999.0\n", "hold_seconds is '1e999.0'"),
        ("hold_seconds: " + "9" * 400 + "\n", "is out of range"),
        ("hold_seconds: " + "9" * 5000 + "\n", "cannot be read"),
        ("hold_seconds: 2023-13-40\n", "cannot be read"),
        ("hold_seconds: " + "[" * 5000 + "\n", "is nested too deep"),
    ],
)
def test_settings_that_cannot_be_meant_are_named_with_their_line(
    text: str, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "settings.yaml").write_text(text, "utf-8")
    line = refused(
        ["analyze", str(SAMPLE), "-o", str(tmp_path / "out"), "--settings", str(tmp_path / "settings.yaml")],
        capsys,
    )
    assert "settings.yaml" in line
    assert said in line
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("option", ["--settings", "--lexicon"])
@pytest.mark.parametrize("name", ["missing", "folder", "binary"])
def test_a_settings_or_lexicon_file_that_cannot_be_read_is_named(
    option: str, name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "binary").write_bytes(b"\xff\xfe\x00\x80")
    words = ["analyze", str(SAMPLE), "-o", str(tmp_path / "out"), option, str(tmp_path / name)]
    assert name in refused(words, capsys)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "line 1: is not JSON"),
        (b'{"source":', "line 1: is not JSON"),
        (b"[]", "an object with the record's fields"),
        (b"{}", "source is missing"),
        (b"\x89PNG\r\n", "line 1: is not UTF-8"),
        (b"[" * 200_000, "nested too deep"),
        (json.dumps({"version": 99}).encode(), "a record of version"),
        (b'{"version": 1' + b"0" * 5000 + b"}", "cannot be read"),
    ],
    ids=["empty", "cut off", "no object", "no record", "binary", "deep", "of another version", "huge number"],
)
@pytest.mark.parametrize("command", ["export", "propose"])
def test_a_broken_record_is_named(
    command: str, content: bytes, said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = tmp_path / "record.json"
    record.write_bytes(content)
    words = {
        "export": ["export", str(record), "--as", "chapters.txt", "-o", str(tmp_path / "chapters.txt")],
        "propose": ["lexicon", "propose", str(record)],
    }
    line = refused(words[command], capsys)
    assert str(record) in line
    assert said in line
    assert list(tmp_path.iterdir()) == [record]
