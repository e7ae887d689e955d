"""Counter files as somebody else might make them, in the four forms that are read."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pysubs2

from pipeline.model import Record
from pipeline.publish.counter import counter_states


@dataclass(frozen=True)
class Row:
    start: float
    end: float
    text: str
    exercise: str


def rows_of(record: Record, zeros: bool = False) -> list[Row]:
    """What a careful graphics person shows: every count of the class, with or without "0" before the first rep."""
    return [
        Row(one.start, one.end, one.text, one.work.exercise_name)
        for one in counter_states(record)
        if one.n or (zeros and one.n == 0)
    ]


def stamp(seconds: float, comma: str = ".") -> str:
    whole = round(seconds * 1000)
    return f"{whole // 3600000:02}:{whole // 60000 % 60:02}:{whole // 1000 % 60:02}{comma}{whole % 1000:03}"


def as_webvtt(rows: Sequence[Row]) -> str:
    cues = [f"{stamp(row.start)} --> {stamp(row.end)}\n{row.exercise}\n{row.text}\n" for row in rows]
    return "\n".join(["WEBVTT\n", *cues])


def as_subrip(rows: Sequence[Row]) -> str:
    cues = [
        f"{i}\n{stamp(row.start, ',')} --> {stamp(row.end, ',')}\n{row.exercise}: {row.text}\n"
        for i, row in enumerate(rows, 1)
    ]
    return "\n".join(cues)


def as_substation(rows: Sequence[Row]) -> str:
    file = pysubs2.SSAFile()
    for row in rows:
        text = rf"{{\b1}}{row.text}{{\b0}}\N{row.exercise}"
        file.events.append(pysubs2.SSAEvent(round(row.start * 1000), round(row.end * 1000), text))
    text: str = file.to_string("ass")
    return text


def as_csv(rows: Sequence[Row]) -> str:
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(["Time", "Text", "Exercise"])
    table.writerows((f"{row.start:.3f}", row.text, row.exercise) for row in rows)
    return out.getvalue()


FORMS: dict[str, Callable[[Sequence[Row]], str]] = {
    "vtt": as_webvtt,
    "srt": as_subrip,
    "ass": as_substation,
    "csv": as_csv,
}
