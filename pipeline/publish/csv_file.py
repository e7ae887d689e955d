"""The frame of a CSV file: RFC 4180 (commas, CR LF, quotes where needed), and no cell that a spreadsheet runs."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[-+]?\d+(?:\.\d+)?")


def csv_file(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """Return the text of a CSV file: its header and a line a row; ``None`` is an empty field."""
    out = io.StringIO()
    table = csv.writer(out)
    table.writerow(columns)
    table.writerows([_plain(cell) if isinstance(cell, str) else cell for cell in row] for row in rows)
    return out.getvalue()


def _plain(text: str) -> str:
    """Return text that no spreadsheet runs as a formula: what starts like one gets a ``'`` before it.

    OWASP, "CSV Injection": a cell that starts with =, +, -, @, tab or CR is at risk. A number is none.
    """
    risky = text.startswith(("=", "+", "-", "@", "\t", "\r")) and not _NUMBER.fullmatch(text)
    return f"'{text}" if risky else text
