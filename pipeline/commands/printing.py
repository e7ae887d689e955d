"""What a command says on a terminal: its text, how far it has come, and what it cannot use."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pipeline.model import Record


def print_text(text: str) -> None:
    """Print a text at once, whatever the encoding of standard output."""
    encoding = sys.stdout.encoding or "utf-8"
    # A terminal that cannot show a character shows a question mark rather than stopping the work.
    sys.stdout.write(text.encode(encoding, "replace").decode(encoding))
    sys.stdout.flush()


def write_or_print(text: bytes, output: Path | None) -> None:
    """Write to a file, or to standard output where none is given."""
    from pipeline.commands.records import write_file

    if output is not None:
        write_file(text, output)
    else:
        sys.stdout.buffer.write(text)


def class_text(record: Record, folder: Path) -> str:
    """Return a line on one class of many: how much was found, and where its files are."""
    from pipeline.publish.report_words import count_text

    found = {"chapter": record.chapters, "set": record.sets, "finding": record.findings}
    counts = ", ".join(count_text(len(things), noun) for noun, things in found.items())
    return f"{record.source.name}: {counts}; files in {folder}\n"


def show_share(done: int, total: int) -> None:
    """Show how much of something is done, over what was shown before."""
    print(f"\r{100 * done // total:3} %", end="\n" if done == total else "", file=sys.stderr, flush=True)


def follow_recognition(source: str, quiet: bool) -> Callable[[float, float], None] | None:
    """Return what shows how far a recording is recognised and how long it will take, on a terminal alone."""
    if quiet or not sys.stderr.isatty():
        return None
    begun = time.monotonic()

    def show(done: float, total: float) -> None:
        left = (time.monotonic() - begun) * (total - done) / done if done else 0.0
        share = 100 * done / total if total else 100.0
        line = f"\r{source}: {share:3.0f} % recognised, about {left / 60:.0f} min left "
        print(line, end="\n" if done >= total else "", file=sys.stderr, flush=True)

    return show


def complain(error: Exception) -> None:
    """Say on standard error, in one line, what cannot be used."""
    # A file's name may hold a line break; the line stays one.
    print(" ".join(f"repslate: {error}".split()), file=sys.stderr)
