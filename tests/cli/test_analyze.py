"""``repslate analyze`` writes a class's folder, and says what came of it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest

from pipeline.cli import main
from pipeline.record_json import json_schema
from tests.cli.running import ROOT, run

SAMPLES = ROOT / "samples"
SUPERSETS = SAMPLES / "dumbbell-supersets.vtt"
HOLDS = SAMPLES / "mat-core-holds.srt"
#: A class in which everything adds up.
SOUND = """WEBVTT

00:01.000 --> 00:04.000
Welcome in, two bodyweight moves today.

00:10.000 --> 00:13.000
First up, squats. Let's have five.

00:15.000 --> 00:16.000
One.

00:18.000 --> 00:19.000
Two.

00:21.000 --> 00:22.000
Three.

00:24.000 --> 00:25.000
Four.

00:27.000 --> 00:28.000
And five. Lovely.

00:40.000 --> 00:43.000
Thank you for joining me, see you next time.
"""
#: The same class, in which five are announced and four are done.
ONE_SHORT = SOUND.replace("00:27.000 --> 00:28.000\nAnd five. Lovely.", "00:27.000 --> 00:28.000\nAnd rest.")


def folder_of(output: Path) -> Path:
    (folder,) = output.iterdir()
    return folder


def test_a_class_as_a_process_of_its_own(tmp_path: Path, promised_files: frozenset[str]) -> None:
    done = run("analyze", SUPERSETS, "-o", tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    folder = folder_of(tmp_path)
    assert folder.name == "dumbbell-supersets"
    assert {path.name for path in folder.iterdir()} >= promised_files
    assert str(folder).encode() in done.stdout
    assert b"Stop on pain" in done.stdout


def test_the_record_is_of_the_printed_schema(tmp_path: Path) -> None:
    assert main(["analyze", str(HOLDS), "-o", str(tmp_path), "--quiet"]) == 0
    record = json.loads((folder_of(tmp_path) / "record.json").read_text("utf-8"))
    jsonschema.Draft202012Validator(json_schema()).validate(record)
    assert record["source"]["name"] == "mat-core-holds.srt"
    assert record["source"]["kind"] == "subrip"


def test_through_a_pipe_the_folder_is_called_standard_input(tmp_path: Path) -> None:
    done = run("analyze", "-", "-o", tmp_path, stdin=SUPERSETS.read_bytes())
    assert done.returncode == 0
    assert folder_of(tmp_path).name == "standard-input"


def test_without_o_the_folder_is_made_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["analyze", str(SUPERSETS)]) == 0
    assert (tmp_path / "dumbbell-supersets" / "record.json").is_file()


def test_quiet_prints_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["analyze", str(SUPERSETS), "-o", str(tmp_path), "--quiet"]) == 0
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", "")


def test_findings_change_the_exit_status_only_when_strict(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, text, status in (("sound", SOUND, 0), ("short", ONE_SHORT, 1)):
        source = tmp_path / f"{name}.vtt"
        source.write_text(text, "utf-8")
        assert main(["analyze", str(source), "-o", str(tmp_path)]) == 0
        assert main(["analyze", str(source), "-o", str(tmp_path), "--strict"]) == status
        record = json.loads((tmp_path / name / "record.json").read_text("utf-8"))
        assert [one["kind"] for one in record["findings"]] == ["under-target"] * status


def test_settings_reach_the_audit(tmp_path: Path) -> None:
    (tmp_path / "class.vtt").write_text(ONE_SHORT, "utf-8")
    found = {}
    for name, text in (("usual", "# nothing changed\n"), ("certain", "least_confidence: 1\n")):
        (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
        words = ["analyze", str(tmp_path / "class.vtt"), "-o", str(tmp_path / name), "--quiet"]
        assert main([*words, "--settings", str(tmp_path / f"{name}.yaml")]) == 0
        found[name] = json.loads((tmp_path / name / "class" / "record.json").read_text("utf-8"))["findings"]
    assert [one["kind"] for one in found["usual"]] == ["under-target"]
    assert found["usual"][0]["confidence"] < 1
    assert found["certain"] == []


def test_an_exercise_of_ones_own_is_named_in_the_chapters(tmp_path: Path) -> None:
    (tmp_path / "class.vtt").write_text(SOUND.replace("squats", "heron wobbles"), "utf-8")
    lexicon = ROOT / "tests" / "lexicon" / "few.csv"
    (tmp_path / "ours.csv").write_text(
        lexicon.read_text("utf-8").splitlines()[0]
        + "\nheron-wobble,heron wobble,,balance,gluteus medius,,,none,standing,no,reps,2,4,,,,\n",
        "utf-8",
    )
    words = ["analyze", str(tmp_path / "class.vtt"), "-o", str(tmp_path), "--quiet"]
    assert main([*words, "--lexicon", str(tmp_path / "ours.csv")]) == 0
    record = json.loads((tmp_path / "class" / "record.json").read_text("utf-8"))
    assert "heron-wobble" in [one["exercise"] for one in record["chapters"]]


def test_several_classes_each_get_a_folder_and_a_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["analyze", str(SUPERSETS), str(HOLDS), "-o", str(tmp_path)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {"dumbbell-supersets", "mat-core-holds"}
    lines = capsys.readouterr().out.splitlines()
    assert [line.partition(":")[0] for line in lines[:2]] == [SUPERSETS.name, HOLDS.name]
    assert len(lines) == 3, "a line each, and the cautions"


def test_one_bad_class_does_not_keep_the_others_from_being_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "empty.vtt").write_bytes(b"")
    output = tmp_path / "out"
    inputs = [str(tmp_path / "empty.vtt"), str(SUPERSETS)]
    assert main(["analyze", *inputs, "-o", str(output), "--strict"]) == 2
    assert folder_of(output).name == "dumbbell-supersets"
    assert capsys.readouterr().err.count("\n") == 1


def test_a_second_run_gives_the_same_bytes(tmp_path: Path) -> None:
    texts = []
    for _ in range(2):
        assert main(["analyze", str(SUPERSETS), "-o", str(tmp_path), "--quiet"]) == 0
        texts.append({path.name: path.read_bytes() for path in folder_of(tmp_path).iterdir()})
    assert texts[0] == texts[1]


@pytest.mark.parametrize("blocked", ["out", "out/class"], ids=["the folder above", "the folder"])
def test_a_file_where_a_folder_should_be_is_named_and_kept(
    blocked: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copy(SUPERSETS, tmp_path / "class.vtt")
    (tmp_path / blocked).parent.mkdir(exist_ok=True)
    (tmp_path / blocked).write_text("mine", "utf-8")
    before = sorted(tmp_path.rglob("*"))
    assert main(["analyze", str(tmp_path / "class.vtt"), "-o", str(tmp_path / "out")]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert f"{tmp_path / 'out' / 'class'}: cannot be written" in said.err
    assert sorted(tmp_path.rglob("*")) == before
    assert (tmp_path / blocked).read_text("utf-8") == "mine"


def test_a_name_that_is_no_utf_8_is_written_as_well_as_it_can_be(tmp_path: Path) -> None:
    source = tmp_path / "class\udcff.vtt"
    shutil.copy(SUPERSETS, source)
    assert main(["analyze", str(source), "-o", str(tmp_path / "out"), "--quiet"]) == 0
    record = json.loads((folder_of(tmp_path / "out") / "record.json").read_text("utf-8"))
    assert record["source"]["name"] == "class?.vtt"
