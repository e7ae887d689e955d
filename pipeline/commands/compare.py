"""``repslate compare``: a counter or captions that are already made against a kept record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipeline.compare.verdicts import Comparison


def compare_onscreen(source: str, onscreen: Path, output: Path | None) -> Comparison:
    """Return the comparison of a record.json and a file shown over the class; write all verdicts to ``output``.

    Raises :class:`~pipeline.model.InputError`.
    """
    from pipeline.commands.records import read_record, write_file
    from pipeline.compare import compare
    from pipeline.compare.table import table_csv

    comparison = compare(read_record(source), onscreen)
    if output is not None:
        write_file(table_csv(comparison).encode("utf-8"), output)
    return comparison
