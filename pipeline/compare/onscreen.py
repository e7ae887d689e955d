"""Reads what is shown over a class: a counter or captions as WebVTT, SubRip, SubStation Alpha or CSV.

The form is told by the content, not by the file's name. webvtt-py reads WebVTT, pysubs2 the next two. A CSV
file has a header; of its columns these are read, in whatever order:

- ``start`` or ``time``: seconds, or hours, minutes and seconds with colons; needed
- ``end``: the same; without it a row shows until the next
- ``text``, or else ``n`` and ``target``: what is shown; one of them is needed
- ``exercise``: the exercise shown beside it
"""

from __future__ import annotations

import csv
import html
import io
import json
import re
from dataclasses import dataclass
from pathlib import Path

from pipeline.model import InputError

ACCEPTED = "a counter or captions as WebVTT, SubRip, SubStation Alpha or CSV"
STARTS, ENDS = ("start", "time", "begin"), ("end",)
TEXTS, EXERCISES = ("text", "count", "caption"), ("exercise", "name")


@dataclass(frozen=True, slots=True)
class Shown:
    """What a file shows from ``start`` to ``end`` (seconds); ``place`` is its cue or row, from 1."""

    start: float
    end: float
    text: str
    exercise: str
    place: int


def read_onscreen(path: Path) -> tuple[Shown, ...]:
    """Return what a file shows, in rising order of time.

    Raises :class:`~pipeline.model.InputError` where the file cannot be read or is in no form known here.
    """
    try:
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise InputError(str(path), None, f"cannot be read ({error.strerror or error})", ACCEPTED) from error
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        raise InputError(str(path), line, "is not UTF-8 text", ACCEPTED) from error
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.lstrip().startswith("WEBVTT"):
        shown = _read_webvtt(text, path)
    elif "[Script Info]" in text or re.search(r"\d[,.]\d{1,3} *--> *\d", text):
        shown = _read_by_pysubs2(text, path)
    else:
        shown = _read_table(text, path)
    if not shown:
        raise InputError(str(path), None, "shows nothing", ACCEPTED)
    return tuple(sorted(shown, key=lambda one: (one.start, one.place)))


def _read_webvtt(text: str, path: Path) -> list[Shown]:
    import webvtt
    from webvtt.errors import MalformedCaptionError, MalformedFileError

    try:
        cues = webvtt.from_buffer(io.StringIO(text)).captions
    except (MalformedFileError, MalformedCaptionError, ValueError) as error:
        raise InputError(str(path), None, f"is no WebVTT ({error})", ACCEPTED) from error
    return [
        # webvtt-py's own times in seconds are whole seconds.
        _shown(_clock(cue.start), _clock(cue.end), html.unescape(cue.text), place)
        for place, cue in enumerate(cues, 1)
    ]


def _read_by_pysubs2(text: str, path: Path) -> list[Shown]:
    import pysubs2

    try:
        file = pysubs2.SSAFile.from_string(text)
    except (pysubs2.exceptions.Pysubs2Error, ValueError) as error:
        problem = f"is neither SubRip nor SubStation Alpha ({error})"
        raise InputError(str(path), None, problem, ACCEPTED) from error
    return [
        _shown(event.start / 1000, event.end / 1000, event.plaintext, place)
        for place, event in enumerate(file.events, 1)
        if not event.is_comment
    ]


def _shown(start: float, end: float, text: str, place: int) -> Shown:
    """Return a cue; the payload of a metadata track says in its JSON object what is shown."""
    if text.lstrip().startswith("{"):
        try:
            values = json.loads(text)
        except json.JSONDecodeError:
            values = None
        if isinstance(values, dict):
            return Shown(start, end, _count_of(values), str(values.get("exercise") or ""), place)
    return Shown(start, end, " ".join(text.split()), "", place)


def _count_of(values: dict[str, object]) -> str:
    text = next((values[name] for name in TEXTS if values.get(name) not in (None, "")), None)
    if text is not None:
        return " ".join(str(text).split())
    n, target = values.get("n"), values.get("target")
    if n in (None, ""):
        return ""
    return f"{n} / {target}" if target not in (None, "") else str(n)


def _read_table(text: str, path: Path) -> list[Shown]:
    table = csv.DictReader(io.StringIO(text), strict=True)
    try:
        columns = [str(name).strip().lower() for name in table.fieldnames or ()]
        rows = [(table.line_num, dict(zip(columns, map(_cell, row.values()), strict=False))) for row in table]
    except csv.Error as error:
        raise InputError(str(path), table.line_num, f"is no CSV ({error})", ACCEPTED) from error
    start_column = next((name for name in STARTS if name in columns), None)
    if start_column is None or not {*TEXTS, "n"} & set(columns):
        remedy = f"{ACCEPTED}; a CSV file with the columns start (or time), and text or n"
        raise InputError(str(path), 1, "has no times and texts in a form known here", remedy)
    end_column = next((name for name in ENDS if name in columns), None)
    starts = [_seconds(row[start_column], path, line) for line, row in rows]
    shown = []
    for place, (line, row) in enumerate(rows, 1):
        start = starts[place - 1]
        end = starts[place] if place < len(rows) else start + 1.0
        if end_column is not None and row.get(end_column):
            end = _seconds(row[end_column], path, line)
        exercise = next((row[name] for name in EXERCISES if row.get(name)), "")
        shown.append(Shown(start, end, _count_of(dict(row)), exercise, place))
    return shown


def _cell(value: object) -> str:
    return " ".join(value.split()) if isinstance(value, str) else ""


def _seconds(text: str, path: Path, line: int) -> float:
    try:
        return _clock(text)
    except ValueError as error:
        remedy = "seconds, or hours, minutes and seconds with colons"
        raise InputError(str(path), line, f"has no time in {text!r}", remedy) from error


def _clock(text: str) -> float:
    seconds = 0.0
    for part in text.replace(",", ".").split(":"):
        seconds = 60 * seconds + float(part)
    return seconds
