"""The commands about what is on the screen: the overlay, the comparison, captions with names put right."""

from __future__ import annotations

import csv
import io
import json
import subprocess
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from pipeline.cli import main
from pipeline.model import Record
from pipeline.publish import export
from tests.cli.running import run
from tests.compare.onscreen_files import as_csv, as_subrip, rows_of
from tests.publish.example import example_record


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return kept(example_record(), tmp_path)


def kept(record: Record, folder: Path) -> Path:
    path = folder / "record.json"
    path.write_text(record.to_json(), "utf-8")
    return path


def first_seconds(record: Record, seconds: float) -> Record:
    return replace(record, source=replace(record.source, duration=seconds))


def test_an_overlay_has_the_size_and_the_rate_asked_for(tmp_path: Path) -> None:
    record = kept(first_seconds(example_record(), 100), tmp_path)
    film = tmp_path / "counter.webm"
    done = run("overlay", record, "-o", film, "--size", "320x180", "--rate", "29.97")
    assert (done.returncode, done.stderr) == (0, b"")
    command = ["ffprobe", "-v", "error", "-of", "json", "-show_streams", str(film)]
    (stream,) = json.loads(subprocess.run(command, capture_output=True, check=True).stdout)["streams"]
    assert (stream["width"], stream["height"], stream["r_frame_rate"]) == (320, 180, "30000/1001")


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (["--size", "wide"], "--size: 'wide' is no size; width and height in pixels, as 1280x720"),
        (["--size", "101x100"], "size: 101x100 is no size for an overlay; even numbers from 128 to 4096"),
        (["--rate", "fast"], "--rate: 'fast' is no rate; frames a second"),
        (["--rate", "1/0"], "--rate: '1/0' is no rate"),
        (["--rate", "-3"], "rate: -3 is no rate for an overlay"),
    ],
)
def test_what_makes_no_video_is_told_in_one_line(
    words: list[str], problem: str, record: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["overlay", str(record), "-o", str(tmp_path / "counter.webm"), *words]) == 2
    told = capsys.readouterr().err
    assert problem in told
    assert told.count("\n") == 1
    assert list(tmp_path.iterdir()) == [record]


def test_the_schema_of_the_counter_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "counter.vtt"]) == 0
    schema = json.loads(capsys.readouterr().out)
    cues = [line for line in export(example_record(), "counter.vtt").splitlines() if line.startswith("{")]
    jsonschema.Draft202012Validator(schema).validate(json.loads(cues[0]))


def test_a_counter_that_agrees_is_no_finding(record: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    onscreen = tmp_path / "counter.srt"
    onscreen.write_text(as_subrip(rows_of(example_record())), "utf-8")
    assert main(["compare", str(record), str(onscreen), "--strict"]) == 0
    count = len(rows_of(example_record()))
    assert capsys.readouterr().out == f"counter with {count} numbers: {count} agrees\n"


def test_a_fault_is_told_and_with_strict_a_finding(
    record: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = rows_of(example_record())
    rows[4] = replace(rows[4], text="99 / 12")
    onscreen, verdicts = tmp_path / "counter.csv", tmp_path / "verdicts.csv"
    onscreen.write_text(as_csv(rows), "utf-8")
    assert main(["compare", str(record), str(onscreen), "-o", str(verdicts)]) == 0
    assert "wrong number  99 / 12" in capsys.readouterr().out
    assert main(["compare", str(record), str(onscreen), "--strict", "--quiet"]) == 1
    assert capsys.readouterr().out == ""
    table = list(csv.DictReader(io.StringIO(verdicts.read_text("utf-8"))))
    assert [row["shown"] for row in table if row["verdict"] != "agrees"] == ["99 / 12"]
    assert len(table) == len(rows)


def test_a_shifted_file_is_a_finding_of_its_own(record: Path, tmp_path: Path) -> None:
    onscreen = tmp_path / "counter.srt"
    late = [replace(row, start=row.start + 2, end=row.end + 2) for row in rows_of(example_record())]
    onscreen.write_text(as_subrip(late), "utf-8")
    done = run("compare", record, onscreen, "--strict")
    assert done.returncode == 1
    first, second = done.stdout.decode().splitlines()
    assert first == "The whole file is 2.00 s late; the rest is told as if it were not."
    assert second.endswith("agrees")


def test_what_is_no_counter_is_told_in_one_line(
    record: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["compare", str(record), str(tmp_path / "nothing.srt")]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_misheard_names_are_put_right_and_listed_when_asked_for(tmp_path: Path) -> None:
    """d05 is as rough as a recogniser leaves it; its own words say "hammer girls" for hammer curls."""
    script = Path(__file__).parents[1] / "bench" / "classes" / "d05.class.txt"
    assert "hammer girls" in script.read_text("utf-8")
    folder = tmp_path / "class"
    track = tmp_path / "d05.srt"
    track.write_text(export(example_record("d05"), "captions.srt"), "utf-8")
    assert main(["analyze", str(track), "-o", str(folder), "--quiet"]) == 0
    source, fixed = folder / "d05" / "record.json", tmp_path / "fixed.srt"
    assert main(["export", str(source), "--as", "captions.srt", "--fix-names", "-o", str(fixed)]) == 0
    assert "hammer girls" not in " ".join(fixed.read_text("utf-8").split())
    assert "hammer curls" in " ".join(fixed.read_text("utf-8").split())
    changes = list(csv.DictReader((tmp_path / "fixed.changes.csv").open(encoding="utf-8")))
    assert ("hammer girls", "hammer curls") in {(one["heard"], one["written"]) for one in changes}
    plain = tmp_path / "plain.srt"
    assert main(["export", str(source), "--as", "captions.srt", "-o", str(plain)]) == 0
    assert "hammer girls" in " ".join(plain.read_text("utf-8").split())


def test_the_analysis_puts_names_right_only_when_asked_to(tmp_path: Path) -> None:
    """The same captions and the same list as from the record, which itself keeps the words as they were said."""
    track = tmp_path / "d05.srt"
    track.write_text(export(example_record("d05"), "captions.srt"), "utf-8")
    for folder, words in ((tmp_path / "plain", []), (tmp_path / "fixed", ["--fix-names"])):
        assert main(["analyze", str(track), "-o", str(folder), "--quiet", *words]) == 0
    plain, fixed = tmp_path / "plain" / "d05", tmp_path / "fixed" / "d05"
    again = tmp_path / "captions.vtt"
    assert main(["export", str(fixed / "record.json"), "--as", "captions.vtt", "--fix-names", "-o", str(again)]) == 0
    assert (fixed / "captions.vtt").read_bytes() == again.read_bytes() != (plain / "captions.vtt").read_bytes()
    assert (fixed / "captions.changes.csv").read_bytes() == (tmp_path / "captions.changes.csv").read_bytes()
    assert not (plain / "captions.changes.csv").exists()
    assert (fixed / "record.json").read_bytes() == (plain / "record.json").read_bytes()


@pytest.mark.parametrize(
    ("words", "problem"),
    [
        (["--as", "chapters.txt", "-o", "x"], "--fix-names: is not for chapters.txt"),
        (["--as", "captions.vtt"], "give -o FILE as well"),
        (["--as", "poem"], "poem: is no form"),
    ],
)
def test_names_are_put_right_in_captions_with_a_file_alone(
    words: list[str], problem: str, record: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["export", str(record), "--fix-names", *words]) == 2
    assert problem in capsys.readouterr().err
