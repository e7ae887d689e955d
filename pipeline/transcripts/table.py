"""A table, CSV or TSV, with a row a caption: columns for start and text, and maybe end and speaker.

Column names are taken in any case and with their usual synonyms. Times are seconds or ``h:mm:ss.s``;
a column whose name ends in ``ms`` holds milliseconds.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

from pipeline.model import InputError
from pipeline.transcripts.base import Draft, Passage, tokens
from pipeline.transcripts.times import parse_clock

SYNONYMS = {
    "start": {"start", "begin", "from", "in", "time", "timestamp", "starttime", "begintime", "startseconds"},
    "end": {"end", "to", "out", "stop", "finish", "endtime", "stoptime", "endseconds"},
    "text": {
        "text",
        "caption",
        "captions",
        "content",
        "words",
        "transcript",
        "utterance",
        "sentence",
        "line",
    },
    "speaker": {"speaker", "voice", "who", "name", "presenter", "coach"},
}
DELIMITERS = "\t,;|"
MILLISECONDS = re.compile(r"(?:_| |\(|\[)?(?:ms|msec|msecs|millis|milliseconds)(?:\)|\])?$")
SECONDS = re.compile(r"(?:_| |\(|\[)(?:s|sec|secs|seconds)(?:\)|\])?$")
SLOWEST_PACE = 0.02
"""Words a second over a whole table. The stillest class says more than this (one word in fifty seconds);
whole numbers that come out slower are milliseconds."""


@dataclass(frozen=True, slots=True)
class Columns:
    """Where each column stands, and whether its times are milliseconds."""

    start: int
    text: int
    end: int | None
    speaker: int | None
    start_milliseconds: bool
    end_milliseconds: bool


def matches(text: str) -> bool:
    """Tell a table by a first line that names a start and a text column."""
    return _head(text) is not None


def parse(text: str, name: str) -> Draft:
    """Read a table; rows without a start or a text are left out."""
    head = _head(text)
    if head is None:
        raise InputError(name, 1, "no start and text columns", "name the columns start, end and text")
    delimiter, columns = head
    draft = Draft(kind="table", timing="cue")
    reader = csv.reader(io.StringIO(text), delimiter=delimiter)
    line = 1
    try:
        for row in reader:
            begun, line = line, reader.line_num + 1
            if begun > 1 and any(cell.strip() for cell in row):
                _add_row(draft, columns, row, begun)
    except csv.Error as error:
        draft.notes.add(line, f"the table cannot be read from here on ({error})")
    if not (columns.start_milliseconds or columns.end_milliseconds):
        _mend_milliseconds(draft)
    return draft


def _head(text: str) -> tuple[str, Columns] | None:
    first = text.lstrip("\n").split("\n", 1)[0]
    for delimiter in DELIMITERS:
        try:
            names = next(csv.reader([first], delimiter=delimiter))
        except (csv.Error, StopIteration):
            continue
        columns = _columns(names)
        if columns:
            return delimiter, columns
    return None


def _columns(names: list[str]) -> Columns | None:
    found: dict[str, int] = {}
    milliseconds: set[str] = set()
    for n, written in enumerate(names):
        lowered = written.strip().lower()
        plain = re.sub(r"[\W_]+", "", SECONDS.sub("", MILLISECONDS.sub("", lowered)))
        for column, synonyms in SYNONYMS.items():
            if plain in synonyms and column not in found:
                found[column] = n
                if MILLISECONDS.search(lowered):
                    milliseconds.add(column)
    if "start" not in found or "text" not in found:
        return None
    return Columns(
        found["start"],
        found["text"],
        found.get("end"),
        found.get("speaker"),
        "start" in milliseconds,
        "end" in milliseconds,
    )


def _add_row(draft: Draft, columns: Columns, row: list[str], line: int) -> None:
    start = _time(_cell(row, columns.start), columns.start_milliseconds)
    words = tokens(_cell(row, columns.text), _cell(row, columns.speaker) or None)
    if start is None:
        draft.notes.add(line, "left out: the start is not a time (seconds or h:mm:ss.s)")
    elif words:
        end = _time(_cell(row, columns.end), columns.end_milliseconds)
        draft.passages.append(Passage(line, start, end, words))


def _cell(row: list[str], column: int | None) -> str:
    return row[column].strip() if column is not None and column < len(row) else ""


def _time(cell: str, milliseconds: bool) -> float | None:
    seconds = parse_clock(cell)
    if seconds is None and re.fullmatch(r"[0-9]{1,15}", cell):
        seconds = float(cell)
    if seconds is not None and milliseconds and ":" not in cell:
        seconds /= 1000
    return seconds


def _mend_milliseconds(draft: Draft) -> None:
    """Take whole numbers for milliseconds where, as seconds, hardly anything would be said."""
    starts = [passage.start for passage in draft.passages]
    words = sum(len(passage.tokens) for passage in draft.passages)
    if len(starts) < 2 or any(start % 1 for start in starts) or words > SLOWEST_PACE * (max(starts) - min(starts)):
        return
    draft.notes.add(None, "The times of the table were read as milliseconds, as nothing is said that slowly")
    draft.passages = [
        Passage(p.line, p.start / 1000, None if p.end is None else p.end / 1000, p.tokens) for p in draft.passages
    ]
