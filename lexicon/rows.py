"""Reads a file of exercises as rows: CSV, however a spreadsheet saves it, or YAML."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from lexicon.entries import LexiconError
from lexicon.fields import COLUMNS, OPTIONAL_COLUMNS, one_of
from lexicon.wordlists import parse_yaml

DELIMITERS = ",;\t"
"""What may part the cells: where the comma stands in decimals, spreadsheets save with semicolons."""


def read_rows(file: Path, problems: list[LexiconError]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield (place, row) of a CSV or YAML file of exercises, the place as "line 3" or "entry 3".

    A row holds what the file says, unchecked, under the names of known columns. What cannot be read as rows is
    appended to ``problems``.
    """
    try:
        text = file.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = "not UTF-8 text" if isinstance(error, UnicodeDecodeError) else (error.strerror or "unreadable")
        problems.append(LexiconError(file.name, "", "", reason, "give a CSV or YAML file in UTF-8"))
        return
    yield from (_yaml_rows if file.suffix.lower() in {".yaml", ".yml"} else _csv_rows)(file, text, problems)


def _check_fields(fields: Iterable[str], file: Path, place: str, problems: list[LexiconError]) -> None:
    known = (*COLUMNS, *OPTIONAL_COLUMNS)
    for extra in sorted(set(fields) - set(known)):
        problems.append(LexiconError(file.name, place, extra, "no such field", one_of(extra, known)))


def _csv_rows(file: Path, text: str, problems: list[LexiconError]) -> Iterator[tuple[str, dict[str, Any]]]:
    first, _, _ = text.partition("\n")
    delimiter = max(DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        header = [cell.strip() for cell in next(reader, [])]
        if "id" not in header:
            remedy = f"the first line names the columns, with commas: {','.join(COLUMNS)}"
            problems.append(LexiconError(file.name, "line 1", "id", "no column id", remedy))
            return
        _check_fields(filter(None, header), file, "line 1", problems)
        for name in sorted({name for name in header if name and header.count(name) > 1}):
            problems.append(LexiconError(file.name, "line 1", name, "stands twice", "each column once"))
        line = reader.line_num + 1
        for cells in reader:
            place, line = f"line {line}", reader.line_num + 1
            if any(cell.strip() for cell in cells[len(header) :]):
                remedy = f"{len(header)} cells; put a cell that holds a comma in double quotes"
                problems.append(LexiconError(file.name, place, "", f"{len(cells)} cells in the row", remedy))
            elif any(cell.strip() for cell in cells):
                yield place, {name: cell for name, cell in zip(header, cells, strict=False) if name}
    except csv.Error as error:
        remedy = "close every double quote, and write one inside a cell twice"
        problems.append(LexiconError(file.name, f"line {line}", "", str(error), remedy))


def _yaml_rows(file: Path, text: str, problems: list[LexiconError]) -> Iterator[tuple[str, dict[str, Any]]]:
    data = parse_yaml(file, text, problems)
    if data is None:
        return
    if not isinstance(data, list) or not all(isinstance(one, dict) for one in data):
        remedy = "a list of mappings, each with at least an id ('- id: goblet-squat')"
        problems.append(LexiconError(file.name, "", "", "not a list of exercises", remedy))
        return
    for number, one in enumerate(data, start=1):
        _check_fields(map(str, one), file, f"entry {number}", problems)
        yield f"entry {number}", one
