"""A whole file that is shifted, or made for another frame rate, is one thing to tell, not a hundred."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pysubs2
import pytest

from pipeline.compare import compare
from pipeline.compare.shift import find_shift
from pipeline.compare.table import table
from pipeline.publish import export
from tests.compare.onscreen_files import as_subrip, as_webvtt, rows_of
from tests.publish.example import example_record
from tests.publish.records import record_of

CLASSES = ["d01", "d04", "d09", "e03"]
TRUE_FILM = 24000 / 1001


@pytest.mark.parametrize("name", CLASSES)
@pytest.mark.parametrize("late", [2.0, -1.5, 63.0])
def test_a_counter_that_is_late_as_a_whole(name: str, late: float, tmp_path: Path) -> None:
    record = example_record(name)
    rows = [replace(row, start=row.start + late, end=row.end + late) for row in rows_of(record)]
    path = tmp_path / "counter.srt"
    path.write_text(as_subrip([row for row in rows if row.start >= 0]), "utf-8")
    told = compare(record, path)
    assert told.shift.rates is None
    assert told.shift.offset == pytest.approx(late, abs=0.05)
    assert [one for one in told.faults if one.kind != "missing"] == []
    assert table(told).count("s late" if late > 0 else "s early") == 1


@pytest.mark.parametrize("name", CLASSES)
def test_a_counter_timed_at_25_for_a_film_of_23_976(name: str, tmp_path: Path) -> None:
    """pysubs2 is the program that makes the mistake, by its own change of frame rate."""
    record = example_record(name)
    file = pysubs2.SSAFile.from_string(as_subrip(rows_of(record)))
    file.transform_framerate(TRUE_FILM, 25)
    path = tmp_path / "counter.ass"
    file.save(str(path))
    told = compare(record, path)
    assert told.shift.rates == ("25", "23.976")
    assert told.shift.factor == pytest.approx(TRUE_FILM / 25)
    assert told.faults == ()
    assert "runs 4.10 % fast, as times made for 25 frames a second do on 23.976" in table(told)
    assert not told.agrees


@pytest.mark.parametrize(("made", "needed"), [(25, 24), (24, 25), (25, TRUE_FILM), (30, 25)])
def test_the_rates_are_told_even_of_a_short_class(made: float, needed: float, tmp_path: Path) -> None:
    """In eight minutes 24 and 23.976 are half a second apart: both explain every number, one of them exactly."""
    record = record_of("samples/low-impact-intervals.vtt")
    file = pysubs2.SSAFile.from_string(as_subrip(rows_of(record)))
    file.transform_framerate(needed, made)
    path = tmp_path / "counter.srt"
    file.save(str(path))
    told = compare(record, path)
    assert told.shift.factor == pytest.approx(needed / made)
    assert told.shift.offset == pytest.approx(0, abs=0.05)
    assert told.faults == ()


@pytest.mark.parametrize("name", CLASSES)
@pytest.mark.parametrize("form", ["captions.srt", "captions.vtt"])
def test_captions_with_both_faults(name: str, form: str, tmp_path: Path) -> None:
    record = example_record(name)
    path = tmp_path / f"new.{form}"
    file = pysubs2.SSAFile.from_string(export(record, form))
    file.transform_framerate(25, TRUE_FILM)
    file.shift(s=3)
    file.save(str(path), format_=form[-3:])
    told = compare(record, path)
    assert told.kind == "captions"
    assert told.shift.rates == ("23.976", "25")
    assert told.shift.offset == pytest.approx(3, abs=0.35)
    assert told.faults == ()


def test_a_file_in_time_is_not_shifted(tmp_path: Path) -> None:
    record = example_record("d01")
    path = tmp_path / "counter.vtt"
    path.write_text(as_webvtt(rows_of(record)), "utf-8")
    told = compare(record, path)
    assert told.shift.is_none
    assert told.agrees


def test_a_few_numbers_that_are_late_are_no_shift_of_the_file(tmp_path: Path) -> None:
    record = example_record("d01")
    rows = rows_of(record)
    late = [replace(row, start=row.start + 2, end=row.end + 2) for row in rows[:20]]
    path = tmp_path / "counter.vtt"
    path.write_text(as_webvtt([*late, *rows[20:]]), "utf-8")
    told = compare(record, path)
    assert told.shift.is_none
    assert {one.kind for one in told.faults} == {"late"}
    assert len(told.faults) == 20


def test_seven_numbers_are_too_few_to_speak_of_a_shift() -> None:
    assert find_shift([(t + 2.0, [float(t)]) for t in range(7)]).is_none
    assert find_shift([(t * t + 2.0, [float(t * t)]) for t in range(8)]).offset == 2
