"""Class scripts built in a test, read as a transcript with gold (``FORMAT.md``)."""

from __future__ import annotations

from pathlib import Path

from tests.bench.corpus import GoldClass, bench_module, load_class


def stamp(at: float) -> str:
    """Write a time in seconds as a script does."""
    return f"{int(at // 60)}:{at % 60:04.1f}"


def spoken(start: float, text: str, end: float | None = None) -> str:
    """Return one spoken line; ``end`` is guessed from its words where it is not given."""
    return f"[{stamp(start)}-{stamp(end)}] {text}" if end is not None else f"[{stamp(start)}] {text}"


def load_script(rows: list[str], folder: Path) -> GoldClass:
    """Load a script, which must keep the rules of the format."""
    path = folder / "built.class.txt"
    path.write_text("\n".join(rows) + "\n", "utf-8")
    compiler = bench_module("compile")
    script = compiler.parse(path)
    problems = [*script.problems, *compiler.check_sets(script)]
    if problems:
        raise ValueError("; ".join(problems))
    return load_class(path)
