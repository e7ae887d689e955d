"""Tables, CSV and TSV."""

from __future__ import annotations

import pandas as pd
import pytest

from pipeline.model import InputError
from pipeline.transcripts import read_bytes
from tests.transcripts.reading import read_text, said, spans

ROWS = [
    (1.5, 3.0, "Hips back, and down."),
    (4.0, 5.0, 'Say "two".'),
    (6.25, 7.0, "Three\nlines; or | more\there"),
]
FRAME = pd.DataFrame(ROWS, columns=["start", "end", "text"])
FOUND = [(start, end, " ".join(text.split())) for start, end, text in ROWS]


@pytest.mark.parametrize("separator", [",", "\t", ";", "|"])
def test_a_table_that_pandas_writes_is_read_back(separator: str) -> None:
    transcript = read_bytes(FRAME.to_csv(sep=separator, index=False).encode(), "class.txt")
    assert spans(transcript) == FOUND
    assert (transcript.source.kind, transcript.source.timing) == ("table", "cue")
    assert not transcript.warnings


@pytest.mark.parametrize(
    "names",
    [
        "Start,End,Text",
        "begin,stop,caption",
        "FROM,TO,content",
        "in,out,words",
        "start_time,end_time,text",
        "Start (s),End (s),Text",
    ],
)
def test_columns_may_have_their_usual_names(names: str) -> None:
    assert spans(read_text(f"{names}\n1,2,Squat.\n3,4,Stand.")) == [(1, 2, "Squat."), (3, 4, "Stand.")]


def test_columns_may_stand_in_any_order_among_others() -> None:
    transcript = read_text("id,Text,note,Speaker,Start\n7,Squat.,x,Nessa,1:02.5\n8,Stand.,,Idris,0:01:05")
    assert [(w.text, w.start, w.speaker) for w in transcript.words] == [
        ("Squat.", 62.5, "Nessa"),
        ("Stand.", 65.0, "Idris"),
    ]


@pytest.mark.parametrize("names", ["start_ms,end_ms,text", "Start (ms),End (ms),text", "startms,endms,text"])
def test_milliseconds_are_read_where_the_column_says_so(names: str) -> None:
    assert spans(read_text(f"{names}\n1500,3000,Squat.")) == [(1.5, 3.0, "Squat.")]


def test_milliseconds_are_taken_where_nobody_would_speak_so_slowly() -> None:
    transcript = read_text("start,end,text\n1500,3000,Squat low.\n63000,64000,Stand.")
    assert spans(transcript) == [(1.5, 3.0, "Squat low."), (63.0, 64.0, "Stand.")]
    assert "milliseconds" in transcript.warnings[0]


def test_a_decimal_comma_is_read() -> None:
    assert spans(read_text("start;end;text\n1,5;3,0;Squat.")) == [(1.5, 3.0, "Squat.")]


def test_without_an_end_a_row_ends_where_the_next_starts_or_speech_is_done() -> None:
    rows = spans(read_text("start,text\n1,Squat.\n3,Stand up."))
    assert rows == [(1, 3, "Squat."), (3, pytest.approx(3 + 2 / 2.6), "Stand up.")]


def test_a_row_without_a_start_is_named_by_its_line() -> None:
    transcript = read_text('start,end,text\n1,2,"Over\ntwo lines."\nsoon,3,Lost.\n4,5,Stand.')
    assert said(transcript) == "Over two lines. Stand."
    assert transcript.warnings[0].startswith("line 4: left out")


def test_rows_of_whole_paragraphs_are_timed_coarsely() -> None:
    rows = "".join(f'{20 * i},{20 * i + 20},"Sit down. Two. Three, chest tall."\n' for i in range(4))
    assert read_text(f"start,end,text\n{rows}").source.timing == "coarse"


def test_a_table_without_a_text_column_is_refused() -> None:
    with pytest.raises(InputError, match="no times that belong to words"):
        read_bytes(b"start,end,reps\n1,2,3\n", "class.csv")
