"""What the command prints when it is done: a few lines for a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from pipeline.model import Record
from pipeline.publish.clock import clock
from pipeline.publish.report_timeline import numbered_findings
from pipeline.publish.report_words import LOW_CONFIDENCE, count_text, length_text

CAUTION = "Transcribed cues are not checked advice. Stop on pain; ask a qualified professional; follow local rules."


def terminal_summary(record: Record, paths: Sequence[Path] = ()) -> str:
    """Return chapters, sets and findings in brief, and where the files are; ends with a line break."""
    reps = sum(len(one.reps) for one in record.sets)
    unsure = sum(one.confidence < LOW_CONFIDENCE for one in record.sets)
    lines = [
        f"{record.title or record.source.name} ({length_text(record.source.duration)})",
        f"  {count_text(len(record.chapters), 'chapter')}, {count_text(len(record.sets), 'set')}, "
        f"{count_text(reps, 'rep')}" + (f"; {count_text(unsure, 'set')} to check" if unsure else ""),
        f"  {count_text(len(record.findings), 'finding') if record.findings else 'no finding'}",
    ]
    for number, finding in numbered_findings(record):
        lines.append(f"    {number}. {clock(finding.time)} {finding.message}")
    if record.warnings:
        lines.append(f"  {count_text(len(record.warnings), 'note')} on the source, in the report")
    if paths:
        folder = paths[0].parent
        lines.append(f"  files in {folder}: " + ", ".join(path.name for path in paths))
    return "\n".join([*lines, f"  {CAUTION}"]) + "\n"
