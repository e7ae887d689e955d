"""The audit is a table that a spreadsheet and pandas read alike."""

from __future__ import annotations

import io
from dataclasses import replace

import pandas as pd
import pytest

from pipeline.publish import export
from tests.publish.example import example_record


def table(text: str) -> pd.DataFrame:
    return pd.read_csv(io.StringIO(text))


@pytest.mark.parametrize("name", ["d01", "d03", "d07"])
def test_pandas_reads_a_row_a_set(name: str) -> None:
    record = example_record(name)
    rows = table(export(record, "audit.csv"))
    assert list(rows["exercise"]) == [one.exercise_name for one in record.sets]
    assert list(rows["start"]) == [one.start for one in record.sets]
    assert [None if pd.isna(x) else int(x) for x in rows["target"]] == [one.target for one in record.sets]
    assert list(rows["chapter"]) == [record.chapters[one.chapter].title for one in record.sets]
    named = [kind for text in rows["findings"].dropna() for kind in text.split("; ")]
    assert sorted(named) == sorted(finding.kind for finding in record.findings)


def test_seconds_a_rep_leave_out_the_talk_before_the_first() -> None:
    record = example_record("d01")
    one = record.sets[0]
    expected = (one.reps[-1].time - one.reps[0].time) / (len(one.reps) - 1)
    assert table(export(record, "audit.csv"))["seconds_a_rep"][0] == round(expected, 2)


def test_lines_end_as_rfc_4180_has_it() -> None:
    text = export(example_record(), "audit.csv")
    assert text.count("\n") == text.count("\r\n") == len(example_record().sets) + 1


def test_a_tempo_is_no_date_and_a_name_no_formula() -> None:
    """OWASP, "CSV Injection"; that spreadsheets take 1-3 for a date is common practice, no source."""
    record = example_record()
    odd = replace(record.sets[0], exercise_name="=1+1, row", tempo=(1.0, 3.0))
    rows = table(export(replace(record, sets=(odd, *record.sets[1:])), "audit.csv"))
    assert rows["exercise"][0] == "'=1+1, row"
    assert rows["tempo"][0] == "1-3 s"
